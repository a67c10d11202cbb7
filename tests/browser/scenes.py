"""Every page in every state that looks different: what is checked for access, and what is photographed."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Page, expect

from tests.browser.shop_server import READOUT, ShopServer
from tests.browser.somebody import FIELD
from tests.unit.door.sessions import SESSIONS, WARM


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
    moved = server.to_move()
    server.enter(moved, {"event": "moved", "lines": "+10"})
    doubted, left_open = server.to_read(), server.to_read()
    server.enter(doubted, *({"event": "read", "as_read": f"{size} mm"} for size in ("33.356", "33.396")))
    placed = server.to_read()
    where = {"depth": "3.3 mm", "direction_deg": "0"}
    server.enter(placed, {"event": "read", "as_read": "33.356 mm", "place": where, "state": "free"})
    little = server.to_move()
    server.enter(
        little,
        {"event": "moved", "lines": "+27"},
        {"event": "passed", "depth": "full"},
        *({"event": "read", "as_read": f"{size} mm"} for size in ("33.399", "33.399")),
    )
    aside = server.to_read()
    server.post(f"/bores/{aside}/quarantine", {"saw": None, "reason": "chatter marks all round", "by": "Ada Quill"})
    ready = "dome_drive_7.encoder_hub"
    server.on_machine_until(ready, "release")
    released = "dome_drive_7.pinion_seat"
    server.on_machine_until(released, "release")
    look = server.get(f"/bores/{released}")
    signed = {"saw": look["numbers"], "shown": look["advice"]["release"], "by": "Ada Quill"}
    server.post(f"/bores/{released}/release", signed)
    readout = server.to_move(adjuster=READOUT)
    last = _to_last(server)
    twice = str(server.post("/rehearsals", {"kind": "large bridge, alloy steel", "seed": 4})["bore"])
    server.on_machine_until(twice, "move_and_cut")
    like = [server.open(name=f"bearing {place}", tool={"id": "head-4"}) for place in ("left", "middle", "right")]
    keep_gauges(server)
    warm = server.open(**{**WARM, "name": "mirror cell"})
    server.enter(warm, *SESSIONS["too warm to be shown in, left to stand"].entries[:7])
    held = server.open(clamps="0.006", name="thin sleeve")
    server.enter(held, {"event": "set", "diameter": "33.43"}, {"event": "seated"}, {"event": "passed"})
    server.enter(held, *({"event": "read", "as_read": "33.412 mm"},) * 4)
    inch = "finder_mount_3.trunnion"
    server.on_machine_until(inch, "move_and_cut")
    return [
        Scene("today", "/"),
        Scene("callout", "/callout?text=62+H6&unit=mm"),
        Scene("callout-empty", "/callout"),
        Scene("cut-empty", "/cut"),
        Scene("cut", "/cut?callout=62+H6&unit=mm&hole=61.5&material=42CrMo4&nose=0.4&feed=0.08&bar=40&overhang=180"),
        Scene(
            "cut-refused", "/cut?callout=62+H6&unit=mm&hole=61.5&material=oak&nose=0.4&feed=0.08&load=100&gives=0.01"
        ),
        Scene("start", "/start"),
        Scene("callout-refused", "/callout", _not_understood),
        Scene("start-filled", "/start", _filled),
        Scene("start-refused", "/start", _refused),
        Scene("size-set", f"/bores/{to_set}", main_number=True),
        Scene("size-cut", f"/bores/{to_cut}", main_number=True),
        Scene("size-read", f"/bores/{to_read}", main_number=True),
        Scene("size-places", f"/bores/{placed}", main_number=True),
        Scene("size-typed", f"/bores/{to_read}", _typed, main_number=True),
        Scene("size-surprise", f"/bores/{to_read}", _surprise, main_number=True),
        Scene("size-doubt", f"/bores/{doubted}", main_number=True),
        Scene("size-move", f"/bores/{to_move}", main_number=True),
        Scene("size-moved", f"/bores/{moved}", main_number=True),
        Scene("size-last", f"/bores/{last}", main_number=True),
        Scene("size-readout", f"/bores/{readout}", main_number=True),
        Scene("size-readout-rehearsal", f"/rehearse/{twice}", main_number=True),
        Scene("size-stand", f"/bores/{warm}", main_number=True),
        Scene("size-clamps", f"/bores/{held}", main_number=True),
        Scene("size-release", f"/bores/{ready}", main_number=True),
        Scene("size-unfolded", f"/bores/{to_move}", _unfold, main_number=True),
        Scene("size-little-left", f"/bores/{little}", main_number=True),
        Scene("size-why", f"/bores/{to_move}", _why, main_number=True),
        Scene("size-inch", f"/rehearse/{inch}", main_number=True),
        Scene("size-waiting", f"/bores/{to_read}", _wait, main_number=True),
        Scene("size-waiting-moved", f"/bores/{to_move}", _wait_moved, main_number=True),
        Scene("size-conflict", f"/bores/{to_read}", _conflict, main_number=True),
        Scene("out-of-reach", f"/bores/{left_open}", _reload),
        Scene("release", f"/bores/{ready}/release", main_number=True),
        Scene("release-signed", f"/bores/{released}/release", main_number=True),
        Scene("release-not-shown", f"/bores/{doubted}/release"),
        Scene("set-aside", f"/bores/{aside}/release"),
        Scene("passes", f"/bores/{to_set}/passes", main_number=True),
        Scene("passes-moved", f"/bores/{to_move}/passes", main_number=True),
        Scene("order", f"/bores/{like[0]}/order", main_number=True),
        Scene("prove", f"/bores/{to_set}/prove"),
        Scene("prove-under-way", f"/bores/{to_cut}/prove", _prove_some),
        Scene("prove-refused", f"/bores/{to_read}/prove", _prove_wrongly),
        Scene("proved", f"/bores/{to_move}/prove", _prove_all, main_number=True),
        Scene("gauges", "/gauges", _set_on_ring),
        Scene("learned", "/learned"),
        Scene("rehearse", "/rehearse"),
        Scene("device", "/", _settings),
        Scene("no-such-page", "/no-such-page"),
    ]


def keep_gauges(server: ShopServer) -> None:
    """Take in a gauge, a ring that is overdue and one that is not.

    Args:
        server: where.
    """
    paper = {"event": "certified", "size": "33.4012 mm", "expanded": "0.8 µm", "report": "R-17", "due": "2020-03-01"}
    server.post("/gauges/ring-33/entries", {"entry": paper})
    server.post("/gauges/ring-62/entries", {"entry": {**paper, "size": "62.0004 mm", "due": "2099-03-01"}})
    described = {"event": "described", "instrument": "dial bore gauge", "needle": "minus", "step": "1 µm"}
    server.post("/gauges/bore-gauge-2/entries", {"entry": described})
    server.post("/gauges/bore-gauge-2/entries", {"entry": {"event": "set_on", "master": "ring-33"}})


def _set_on_ring(page: Page) -> None:
    page.get_by_text("Set on a ring").first.click()
    expect(page.locator("label.ring").first).to_be_visible()


def _not_understood(page: Page) -> None:
    page.locator("[name=text]").fill("62 H6 banana")
    page.locator("[name=text]").press("Enter")
    expect(page.locator("[data-problem]").first).to_be_visible()


def fill_start(page: Page, hole: str = "27.812") -> None:
    """Say what a bore is started from: four numbers, the gauge's step and how the tool stands.

    Args:
        page: the page that starts a bore.
        hole: what the gauge shows in the hole.
    """
    page.locator("[name=callout]").fill("28 H6")
    page.locator("[name=hole]").fill(hole)
    page.locator("[name='gauge.shows'][value='0.001 mm']").check(force=True)
    page.locator("[name='adjuster.line']").fill("0.002")
    page.locator("[name=push_off]").fill("0.018")
    page.locator("[name='tool.stands'][value=cut]").check(force=True)


def _filled(page: Page) -> None:
    fill_start(page)
    expect(page.locator("[data-callout-picture] svg").first).to_be_attached()


def _to_last(server: ShopServer) -> str:
    """Follow the advice, each pass leaving what was expected of it, until the next pass is the last."""
    bore, left = server.to_move(), ""
    for _ in range(20):
        look = server.get(f"/bores/{bore}")
        advice, entry = look["advice"], look["wanted"]["entry"]
        if advice["action"] == "move_and_cut" and advice["passes_left"] == 1:
            return bore
        if entry["event"] == "read":
            entry["as_read"] = f"{left} mm"
        elif entry["event"] in {"moved", "passed"}:
            left = _LEAVES.findall(look["html"])[0]
        server.enter(bore, entry)
    raise AssertionError(server.record(bore))


_LEAVES = re.compile(r"<dt>(?:leaves|land should measure)</dt><dd><b>(\d+\.\d{3})")
"""What the card says that the next cut leaves, of the land where it is a trial."""


def _refused(page: Page) -> None:
    fill_start(page, "28.4")
    page.locator("[data-start] [type=submit]").click()
    expect(page.locator("[data-problem][data-for=hole]")).to_be_visible()


def _typed(page: Page) -> None:
    page.locator(FIELD).fill("33.356")
    expect(page.locator("form[data-primary] [data-understood]")).to_contain_text("33.356")


def _surprise(page: Page) -> None:
    page.locator(FIELD).fill("33.396")
    page.locator(FIELD).press("Enter")
    expect(page.locator("form[data-primary] [data-sure]")).to_be_visible()


def _unfold(page: Page) -> None:
    for summary in page.locator("main summary").all():
        summary.click()


PROOF = ["0.150", "0.1515", "0.007", "0.1505", "0.1515", "0.0065", "0.1505", "0.152", "0.007"]
PROOF += ["0.1505", "0.152", "0.0075", "0.151", "0.1525", "0.007", "0.0005"]
PROOF += ["0.001", "0.0025", "0.0035", "0.004", "0.005"]
"""What an indicator showed on the tip of an invented tool, mm on the radius."""


def _prove(page: Page, shown: list[str]) -> None:
    """Type the indicator's step, then what it showed, one number after the other."""
    for number, text in enumerate(["0.0005", *shown], 0):
        page.locator("form[data-entry] input[data-value]").fill(text)
        page.locator("form[data-entry] [type=submit]").click()
        if number < len(PROOF):
            expect(page.locator(".under")).to_contain_text(f"Reading {number + 1} of {len(PROOF)}")


def _prove_some(page: Page) -> None:
    _prove(page, PROOF[:4])


def _prove_wrongly(page: Page) -> None:
    _prove(page, PROOF[:2])
    page.locator("form[data-entry] input[data-value]").fill("-0.007 in")
    page.locator("form[data-entry] [type=submit]").click()
    expect(page.locator("[data-understood]")).to_contain_text("closed further")


def _prove_all(page: Page) -> None:
    _prove(page, PROOF)
    expect(page.locator("[data-keep-proof]")).to_be_visible()


def _why(page: Page) -> None:
    page.locator("[data-why] > summary").click()
    page.locator(".settle > summary").first.click()
    expect(page.locator(".settle form[data-entry]").first).to_be_visible()


def _wait(page: Page) -> None:
    page.context.set_offline(True)
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(page.locator("[data-waiting] li")).to_have_count(1)


def _reload(page: Page) -> None:
    page.evaluate("async () => { await navigator.serviceWorker.ready; }")
    _wait(page)
    page.reload()
    expect(page.locator("[data-all-waiting] li")).to_have_count(1)


def _wait_moved(page: Page) -> None:
    page.context.set_offline(True)
    page.route("**/entries", lambda route: route.abort())
    page.get_by_text("Something else happened").click()
    form = page.locator("[data-more] form[data-event=moved]")
    form.locator("input").fill("+10")
    form.locator("[type=submit]").click()
    expect(page.locator("[data-held-said]")).to_be_visible()


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
