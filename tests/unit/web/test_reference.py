"""The reference of what is served: every route, field, status and limit stands in it, and nothing that is not there."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from starlette.routing import Route

from borewright.web import answers, cut_desk, gauge_desk, guard, pages
from borewright.web.app import create_app

PAGE = (Path(__file__).parents[3] / "docs" / "reference" / "http.md").read_text(encoding="utf-8")
_ACT = re.compile(r"^\| (GET|POST) \| `(\S+)` \| (.*) \|$", re.MULTILINE)


def sent(act: dict[str, Any]) -> set[str]:
    """List the fields that an act takes."""
    schema = act.get("requestBody", {}).get("content", {}).get("application/json", {}).get("schema", {})
    return set(schema.get("properties", {}))


def test_every_page_stands_in_the_reference_and_none_that_there_is_not() -> None:
    section = PAGE.partition("## Pages")[2].partition("## ")[0]
    rows = re.findall(r"^\| (`.*?) \|", section, re.MULTILINE)
    told = {path for row in rows for path in re.findall(r"`(/[^`]*)`", row)}
    served = [*pages.ROUTES.routes, *cut_desk.PAGES.routes, *gauge_desk.PAGES.routes]
    assert told == {route.path for route in served if isinstance(route, Route)}


def test_every_act_stands_in_the_reference_with_its_fields(folder: Path) -> None:
    told = {(method, path): said for method, path, said in _ACT.findall(PAGE)}
    described = create_app(folder, demo=False).openapi()["paths"]
    acts = {(method.upper(), path): act for path, methods in described.items() for method, act in methods.items()}
    assert set(told) == set(acts)
    everywhere = set(re.findall(r"^\*\*`(\w+)`\*\*", PAGE, re.MULTILINE)) | {"show"}
    for where, act in acts.items():
        assert sent(act) - everywhere <= set(re.findall(r"`(\w+)`", told[where])), where


def test_every_status_and_limit_stands_in_the_reference() -> None:
    told = set(re.findall(r"^\| (\d{3}) \|", PAGE, re.MULTILINE))
    assert told == {"200", "404", *(str(status) for _, status in answers.STATUS)}
    assert f"{guard.MOST_BODY // 1024} KiB" in PAGE
    for refused in ("421", "403", "405", "413", "415"):
        assert re.search(rf"\| {refused}\b", PAGE)
