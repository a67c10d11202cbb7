"""The other pages: a callout drawn as it is typed, a bore started from four numbers, a release signed, a rehearsal."""

from __future__ import annotations

import re
import time
from collections.abc import Callable

import pytest
from playwright.sync_api import Route, expect

from tests.browser.scenes import fill_start
from tests.browser.shop_server import ShopServer
from tests.browser.somebody import FIELD, PATIENCE_MS, Somebody

Sit = Callable[..., Somebody]


def test_a_callout_is_drawn_as_it_is_typed_and_not_scolded_on_the_way(sit: Sit) -> None:
    person = sit()
    page = person.go("/callout")
    page.locator("[name=text]").click()
    person.type("28 H")
    expect(page.locator("[data-problem]").first).to_be_hidden()
    person.type("6")
    expect(page.locator("[data-callout-picture]")).to_contain_text("28.013")
    page.locator("[name=text]").fill("28 Q9z")
    page.locator("[name=text]").press("Enter")
    expect(page.locator("[data-problem]").first).to_be_visible()
    expect(page.locator("[name=text]")).to_have_value("28 Q9z")


def test_limits_stand_only_for_what_is_typed_and_what_is_not_understood_is_named(sit: Sit) -> None:
    person = sit()
    page = person.go("/callout")
    picture = page.locator("[data-callout-picture]")
    page.locator("[name=text]").fill("62 H6")
    expect(picture).to_contain_text("62.019")
    page.locator("[name=text]").fill("62 H6 banana")
    expect(picture).to_have_attribute("data-old", "")
    expect(picture).to_have_text("No limits yet: “banana” is not understood.")
    expect(page.locator("[data-problem]").first).to_be_hidden()
    page.locator("[name=text]").press("Enter")
    expect(page.locator("[data-problem]").first).to_contain_text("“banana” is not understood. Leave it out")
    expect(picture).not_to_contain_text("62.019")
    page.locator("[name=text]").fill("")
    expect(picture).to_contain_text("drawn here")
    page.locator("[name=text]").fill("62 H6")
    expect(picture).to_contain_text("62.019")
    person.context.set_offline(True)
    page.locator("[name=text]").fill("62 H7")
    expect(picture).to_contain_text("The server does not answer.")
    expect(picture).not_to_contain_text("62.019")


def test_a_bore_that_is_roughed_starts_from_four_numbers(server: ShopServer, sit: Sit) -> None:
    person = sit()
    page = person.go("/start")
    fill_start(page)
    page.locator("[data-start] [type=submit]").click()
    page.wait_for_url("**/bores/bore*")
    page.wait_for_selector("html[data-started]", state="attached")
    expect(page.locator("[data-figure]")).to_contain_text("lines")
    bore = page.locator("main").get_attribute("data-bore")
    advice = server.get(f"/bores/{bore}")["advice"]
    assert advice["callout"] == "28 H6"
    assumed = {one["name"] for one in advice["assumptions"]}
    assert {"on", "tool_at_hole"} < assumed
    assert "gauge_step" not in assumed


def test_a_roughed_hole_is_started_by_keyboard_alone_in_under_a_minute(server: ShopServer, sit: Sit) -> None:
    """A hand that types a key every 0.12 s; each number is typed as it is, and what is not known is left."""
    person = sit()
    page = person.go("/start")
    began = time.monotonic()
    page.locator("[name=callout]").focus()
    for text, tabs in (("46.520 ±0.008", 2), ("46.214", 1)):
        person.type(text)
        for _ in range(tabs):
            page.keyboard.press("Tab")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    person.type("0.002")
    for _ in range(3):
        page.keyboard.press("Tab")
    person.type("0.020")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    expect(page.locator("[data-still]")).to_have_text("Nothing is missing.")
    page.keyboard.press("Enter")
    page.wait_for_url("**/bores/bore*")
    page.wait_for_selector("html[data-started]", state="attached")
    assert time.monotonic() - began < 60
    bore = page.locator("main").get_attribute("data-bore") or ""
    (opened,) = [one for one in server.get("/bores")["bores"] if one["bore"] == bore]
    assert (opened["callout"], opened["state"]) == ("46.520 ±0.008", "set")


def test_an_empty_form_holds_nothing_that_looks_like_an_entry(sit: Sit) -> None:
    person = sit()
    for path in ("/start", "/callout", "/rehearse", "/cut", "/gauges"):
        page = person.go(path)
        fields = page.locator("main :is(input:not([type=radio], [type=checkbox]), textarea)").all()
        assert fields, path
        for field in fields:
            assert not field.get_attribute("placeholder"), path
    page = person.go("/start")
    assert {field.input_value() for field in page.locator("main input:not([type=radio])").all()} == {""}
    assert page.locator("[name='gauge.shows']:checked").count() == 0
    assert page.locator("[name='tool.stands']:checked").count() == 0
    assert page.locator("[name='adjuster.on']:checked").get_attribute("value") == "not known"


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1440, 900), (390, 844)])
def test_the_way_on_stands_under_the_last_question_and_over_none(sit: Sit, width: int, height: int) -> None:
    page = sit(viewport={"width": width, "height": height}).go("/start")
    button = page.locator("[data-start] [type=submit]")
    if width >= 1280:  # all four questions stand above it at once, answered or not
        expect(button).to_be_in_viewport(ratio=1)
    fill_start(page)
    expect(page.locator("[data-callout-picture]")).to_contain_text("28.013")
    if width >= 1280:
        expect(button).to_be_in_viewport(ratio=1)
    for top in (0, 0.3, 0.6, 1):
        page.evaluate("top => window.scrollTo(0, top * document.body.scrollHeight)", top)
        bar, last = page.locator(".go").bounding_box(), page.locator(".four").bounding_box()
        assert bar is not None
        assert last is not None
        assert last["y"] + last["height"] <= bar["y"]


def test_nothing_is_taken_for_the_tool_that_stands_in_the_spindle(sit: Sit) -> None:
    page = sit().go("/start")
    fill_start(page)
    expect(page.locator("[data-still]")).to_have_text("Nothing is missing.")
    page.locator("[name='tool.stands'][value=cut]").evaluate("one => { one.checked = false; }")
    page.locator("[name=hole]").fill("27.813")
    expect(page.locator("[data-still]")).to_have_text("Still to say: how the tool in the spindle stands.")
    page.locator("[data-start] [type=submit]").click()
    expect(page.locator("[data-problem][data-for='tool.stands']")).to_contain_text("still to say")


def test_what_is_missing_is_named_and_the_hand_put_there(sit: Sit) -> None:
    page = sit().go("/start")
    fill_start(page)
    page.locator("[name=hole]").fill("")
    expect(page.locator("[data-still]")).to_have_text("Still to say: the hole as it is.")
    page.locator("[data-start] [type=submit]").click()
    expect(page.locator("[data-problem][data-for=hole]")).to_contain_text("still to say: the hole as it is")
    expect(page.locator("[name=hole]")).to_be_focused()


def test_a_gauge_of_another_step_and_inches_are_asked_for_as_they_are(server: ShopServer, sit: Sit) -> None:
    page = sit().go("/start")
    page.locator("[name=unit][value=in]").check(force=True)
    expect(page.locator("[data-only='unit=mm']")).to_be_hidden()
    expect(page.locator("#e-push_off")).to_have_text("such as .0008")
    page.locator("[data-start] [type=submit]").click()
    expect(page.locator("[data-problem][data-for=callout]")).to_contain_text("still to say")
    page.locator("[name=callout]").fill("2.2470 ±.0004")
    page.locator("[name=hole]").fill("2.2350")
    page.locator("[name='gauge.shows'][value='other in']").check(force=True)
    page.locator("[name='adjuster.line']").fill(".0001")
    page.locator("[name=push_off]").fill(".0008")
    page.locator("[name='tool.stands'][value=no]").check(force=True)
    page.locator("[data-start] [type=submit]").click()
    expect(page.locator("[data-problem][data-for='gauge.step']")).to_contain_text("the gauge's step")
    page.locator("[name='gauge.step']").fill(".00025")
    page.locator("[name='adjuster.on'][value=diameter]").check(force=True)
    page.locator("[data-start] [type=submit]").click()
    page.wait_for_url("**/bores/bore*")
    bore = page.locator("main").get_attribute("data-bore")
    assumed = {one["name"] for one in server.get(f"/bores/{bore}")["advice"]["assumptions"]}
    assert "on" not in assumed


def test_a_cut_stands_in_for_a_guess_at_the_start(server: ShopServer, sit: Sit) -> None:
    page = sit().go("/start")
    fill_start(page)
    page.locator("[name=push_off]").fill("")
    expect(page.locator("[data-still]")).to_have_text("Still to say: the push-off.")
    page.locator("main details").first.evaluate("one => { one.open = true; }")
    typed = {"material": "42CrMo4", "cut.feed": "0.08", "cut.nose": "0.4", "cut.load": "100", "cut.gives": "0.012"}
    for name, value in typed.items():
        page.locator(f"[name='{name}']").fill(value)
    expect(page.locator("[data-still]")).to_have_text("Nothing is missing.")
    page.locator("[data-start] [type=submit]").click()
    page.wait_for_url("**/bores/*")
    bore = page.locator("main").get_attribute("data-bore")
    assumed = {one["name"]: one["origin"] for one in server.get(f"/bores/{bore}")["advice"]["assumptions"]}
    assert assumed["push_off"].startswith("assumed by physics: 42CrMo4")
    page.goto(f"{page.url.split('?')[0]}/passes")
    expect(page.locator(".cut-passes dt").first).to_have_text("plan")


def test_what_is_wrong_at_the_start_is_said_beside_its_field_and_all_is_kept(sit: Sit) -> None:
    page = sit().go("/start")
    fill_start(page, "28.4")
    page.locator("[name='tool.cut_hole.depth']").fill("0.3")
    page.locator("[data-start] [type=submit]").click()
    expect(page.locator("[data-problem][data-for=hole]")).to_contain_text("larger than the upper limit")
    expect(page.locator("[name=hole]")).to_be_focused()
    page.reload()
    page.wait_for_selector("html[data-started]", state="attached")
    expect(page.locator("[name=hole]")).to_have_value("28.4")
    expect(page.locator("[name='tool.cut_hole.depth']")).to_have_value("0.3")
    expect(page.locator("[name='gauge.shows'][value='0.001 mm']")).to_be_checked()


def test_a_start_whose_answer_is_lost_opens_one_bore(server: ShopServer, sit: Sit) -> None:
    page = sit().go("/start")
    before = len(server.get("/bores")["bores"])
    fill_start(page)
    lost: list[str] = []

    def lose(route: Route) -> None:
        route.fetch()
        lost.append("an answer")
        route.abort()

    page.route("**/api/v1/bores", lose)
    page.locator("[data-start] [type=submit]").click()
    expect(page.locator("[data-problem]:not([data-for])")).to_contain_text("kept here")
    page.unroute("**/api/v1/bores")
    page.locator("[data-start] [type=submit]").click()
    page.wait_for_url("**/bores/bore*")
    assert (len(lost), len(server.get("/bores")["bores"])) == (1, before + 1)


def test_the_readout_and_the_offset_ask_for_their_step_instead(sit: Sit) -> None:
    page = sit().go("/start")
    expect(page.locator("[name='adjuster.step']")).to_be_hidden()
    page.locator("[name='adjuster.kind'][value=offset]").check(force=True)
    expect(page.locator("[name='adjuster.step']")).to_be_visible()
    expect(page.locator("[name='adjuster.line']")).to_be_hidden()


def test_a_bore_is_rehearsed_released_and_taken_up_again(server: ShopServer, sit: Sit) -> None:
    """Every tap of a whole bore, from the list of rehearsals to a signed release and back."""
    person = sit()
    page = person.go("/rehearse")
    expect(page.get_by_label("Machine number")).to_have_value(re.compile(r"\d+"))
    page.locator("[name=seed]").fill("11")
    page.locator("[data-rehearse] [type=submit]").click()
    page.wait_for_url(re.compile("/rehearse/.+"))
    page.wait_for_selector("html[data-started]", state="attached")
    bore = page.locator("main").get_attribute("data-bore") or ""
    for _ in range(60):
        if page.locator(".panel a[href*='/release']").count():
            break
        numbers = page.locator("main").get_attribute("data-numbers")
        person.settle()
        page.locator("[data-machine]").first.click()
        if page.locator("form[data-primary]").count():
            page.wait_for_function(f"() => document.querySelector({FIELD!r}).value !== ''")
            keep = page.locator("form[data-primary] [data-keep]")  # asked, at once or on Enter, where it surprises
            if not keep.is_visible():
                page.locator(FIELD).press("Enter")
            page.wait_for_timeout(300)
            if keep.is_visible():
                keep.click()
        else:
            expect(page.locator("[data-told]")).to_contain_text("The machine")
            page.keyboard.press("Enter")
        expect(page.locator("main")).not_to_have_attribute("data-numbers", numbers or "", timeout=PATIENCE_MS)
    page.locator(".panel a[href*='/release']").click()
    page.wait_for_selector("html[data-started]", state="attached")
    expect(page.locator("[data-release]")).to_be_visible()
    page.locator("[data-release] [name=by]").fill("Ada Quill")
    page.locator("[data-release] [type=submit]").click()
    expect(page.locator(".signed")).to_contain_text("Ada Quill")
    expect(page.locator(".signed")).to_contain_text("Released: shown within limits, ")
    expect(page.locator("[data-decided]")).to_contain_text(re.compile("Released, and (rightly|wrongly)"))
    told = page.locator("[data-debrief]")
    for what in ("The hole came out at", "push-off", "lock shift", "gauge's setting", "form", "wrong unseen", "Pass 1"):
        expect(told).to_contain_text(what)
    again = told.get_by_role("link", name="Rehearse the same machine again")
    expect(again).to_have_attribute("href", re.compile(r"/rehearse\?kind=large%20bridge%2C%20alloy%20steel&seed=11"))
    page.locator("[data-reopen] [name=reason]").fill("the customer asks for another reading")
    page.locator("[data-reopen] [type=submit]").click()
    expect(page.locator("[data-release]")).to_be_visible()
    expect(page.locator("[data-debrief]")).to_have_count(0)
    assert any("taken up" in said or "reopen" in said for said in server.record(bore)[-1:])


def test_a_bore_is_set_aside_with_its_reason(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().go(f"/bores/{bore}/release")
    page.get_by_text("Set it aside instead").click()
    page.locator("[data-quarantine] [name=reason]").fill("chatter marks all round")
    page.locator("[data-quarantine] [name=by]").fill("Ada Quill")
    page.locator("[data-quarantine] [type=submit]").click()
    expect(page.locator(".signed")).to_contain_text("Set aside by Ada Quill")


def test_nobody_signs_numbers_that_are_older_than_the_bore(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().go(f"/bores/{bore}/release")
    page.get_by_text("Set it aside instead").click()
    page.locator("[data-quarantine] [name=reason]").fill("chatter marks")
    with page.expect_event("load"):
        server.enter(bore, {"event": "read", "as_read": "33.356 mm"})
    page.wait_for_selector("html[data-started]", state="attached")
    expect(page.locator("[data-quarantine] [name=reason]")).to_have_value("chatter marks")


def test_settings_are_kept_on_the_device_and_hold_before_the_first_paint(sit: Sit) -> None:
    person = sit()
    page = person.go("/")
    page.locator("[data-open-settings]").click()
    page.locator("[data-setting=theme][value=dark]").check(force=True)
    page.locator("[data-setting=text][value=huge]").check(force=True)
    page.get_by_role("button", name="Done").click()
    page.add_init_script(
        "document.addEventListener('DOMContentLoaded', () => { window.early = {...document.documentElement.dataset}; })"
    )
    person.go("/callout")
    assert page.evaluate("[window.early.theme, window.early.text]") == ["dark", "huge"]
    other = sit().go("/")
    assert other.evaluate("document.documentElement.dataset.theme ?? null") is None


def test_the_next_move_is_read_aloud_where_the_device_is_set_so(server: ShopServer, sit: Sit) -> None:
    bore = server.to_cut()
    person = sit()
    page = person.page
    page.add_init_script(
        """window.said = [];
        window.speechSynthesis.speak = (words) => window.said.push(words.text);
        localStorage.setItem('borewright.speak', 'on');"""
    )
    person.size(bore)
    page.locator("[data-speak]").click()
    assert page.evaluate("window.said") == [page.locator("[data-say]").get_attribute("data-say")]
    person.tap("Cut through")
    page.wait_for_function("() => window.said.length === 2")
    assert "easure" in page.evaluate("window.said[1]")


def test_a_bore_is_started_with_the_gauge_and_the_tool_on_record(server: ShopServer, sit: Sit) -> None:
    described = {"event": "described", "instrument": "dial bore gauge", "step": "1 µm"}
    server.post("/gauges/bore-gauge-9/entries", {"entry": described})
    page = sit().go("/start")
    fill_start(page)
    page.locator("main details").first.evaluate("one => { one.open = true; }")
    assert page.locator("#gauges option[value=bore-gauge-9]").count() == 1
    page.get_by_label("What the gauge is called").fill("bore-gauge-9")
    page.get_by_label("What the tool is called").fill("head-9")
    page.locator("[data-start] [type=submit]").click()
    page.wait_for_url("**/bores/*")
    page.goto("/gauges")
    card = page.locator(".instrument", has=page.get_by_role("heading", name="bore-gauge-9"))
    expect(card).to_contain_text("1 bore")
    page.goto("/start")
    assert page.locator("#tools option[value=head-9]").count() == 1
