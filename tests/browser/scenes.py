"""Every page in every state that looks different: what is checked for access, and what is photographed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Page, expect

from tests.browser.shop_server import ShopServer
from tests.browser.somebody import FIELD


def _as_it_is(_: Page) -> None:
    """Leave the page as it opens."""


@dataclass(frozen=True)
class Scene:
    """A page in a state.

    Args:
        name: a file's name for it.
        path: where it is.
        do: what a hand does there first.
        main_number: whether it shows the number that matters.
    """

    name: str
    path: str
    do: Callable[[Page], None] = _as_it_is
    main_number: bool = False


def scenes(server: ShopServer) -> list[Scene]:
    """Bring bores to every state.

    Args:
        server: the server that they are recorded at.

    Returns:
        The scenes, in the order of the work.
    """
    to_set, to_cut, to_read, to_move = server.open(name="to set"), server.to_cut(), server.to_read(), server.to_move()
    doubted = server.to_read()
    server.enter(doubted, *({"event": "read", "as_read": f"{size} mm"} for size in ("33.356", "33.381")))
    aside = server.to_read()
    server.post(f"/bores/{aside}/quarantine", {"saw": None, "reason": "chatter marks all round", "by": "Ada Quill"})
    ready = "dome_drive_7.ring_gear_register"
    server.on_machine_until(ready, "release")
    released = "dome_drive_7.pinion_seat"
    server.on_machine_until(released, "release")
    look = server.get(f"/bores/{released}")
    signed = {"saw": look["numbers"], "shown": look["advice"]["release"], "by": "Ada Quill"}
    server.post(f"/bores/{released}/release", signed)
    inch = "finder_mount_3.trunnion"
    server.on_machine_until(inch, "move_and_cut")
    return [
        Scene("today", "/"),
        Scene("callout", "/callout?text=62+H6&unit=mm"),
        Scene("callout-empty", "/callout"),
        Scene("start", "/start"),
        Scene("start-refused", "/start", _refused),
        Scene("size-set", f"/bores/{to_set}", main_number=True),
        Scene("size-cut", f"/bores/{to_cut}", main_number=True),
        Scene("size-read", f"/bores/{to_read}", main_number=True),
        Scene("size-typed", f"/bores/{to_read}", _typed, main_number=True),
        Scene("size-surprise", f"/bores/{to_read}", _surprise, main_number=True),
        Scene("size-doubt", f"/bores/{doubted}", main_number=True),
        Scene("size-move", f"/bores/{to_move}", main_number=True),
        Scene("size-unfolded", f"/bores/{to_move}", _unfold, main_number=True),
        Scene("size-inch", f"/rehearse/{inch}", main_number=True),
        Scene("size-waiting", f"/bores/{to_read}", _wait, main_number=True),
        Scene("size-conflict", f"/bores/{to_read}", _conflict, main_number=True),
        Scene("release", f"/bores/{ready}/release", main_number=True),
        Scene("release-signed", f"/bores/{released}/release", main_number=True),
        Scene("release-not-shown", f"/bores/{doubted}/release"),
        Scene("set-aside", f"/bores/{aside}/release"),
        Scene("learned", "/learned"),
        Scene("rehearse", "/rehearse"),
        Scene("device", "/", _settings),
        Scene("no-such-page", "/no-such-page"),
    ]


def _refused(page: Page) -> None:
    page.locator("[name=callout]").fill("28 H6")
    page.locator("[name=hole]").fill("28.4")
    page.locator("[name='adjuster.line']").fill("0.002")
    page.locator("[name=push_off]").fill("0.018")
    page.locator("[name='tool.cut_hole.depth']").fill("0.3")
    page.locator("[data-start] [type=submit]").click()
    expect(page.locator("[data-problem][data-for=hole]")).to_be_visible()


def _typed(page: Page) -> None:
    page.locator(FIELD).fill("33.356")
    expect(page.locator("form[data-primary] [data-understood]")).to_contain_text("33.356")


def _surprise(page: Page) -> None:
    page.locator(FIELD).fill("33.381")
    page.locator(FIELD).press("Enter")
    expect(page.locator("form[data-primary] [data-sure]")).to_be_visible()


def _unfold(page: Page) -> None:
    for summary in page.locator("main summary").all():
        summary.click()


def _wait(page: Page) -> None:
    page.context.set_offline(True)
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(page.locator("[data-waiting] li")).to_have_count(1)


def _conflict(page: Page) -> None:
    """Somebody else's entry is played by the network, so that the bore stays as it is for other scenes."""
    since = '{"said": "read 33.355 mm", "by": "Ada Quill", "event": "read"}'
    page.route(
        "**/entries",
        lambda route: route.fulfill(
            status=409,
            content_type="application/json",
            body='{"problem": "conflict", "wrong": "More was recorded.", "right": "", "since": [' + since + "]}",
        ),
    )
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(page.locator("dialog[data-conflict]")).to_be_visible()


def _settings(page: Page) -> None:
    page.locator("[data-open-settings]").click()
    expect(page.locator("dialog[data-settings]")).to_be_visible()
