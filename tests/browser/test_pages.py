"""The other pages: a callout drawn as it is typed, a bore started from four numbers, a release signed, a rehearsal."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Route, expect

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


def test_a_bore_that_is_roughed_starts_from_four_numbers(server: ShopServer, sit: Sit) -> None:
    person = sit()
    page = person.go("/start")
    page.locator("[name=callout]").fill("28 H6")
    page.locator("[name=hole]").fill("27.812")
    page.locator("[name='adjuster.line']").fill("0.002")
    page.locator("[name=push_off]").fill("0.018")
    page.locator("[name='tool.cut_hole.depth']").fill("0.3")
    page.locator("[data-start] [type=submit]").click()
    page.wait_for_url("**/bores/bore*")
    page.wait_for_selector("html[data-started]", state="attached")
    expect(page.locator("[data-figure]")).to_contain_text("lines")
    bore = page.locator("main").get_attribute("data-bore")
    assert server.get(f"/bores/{bore}")["advice"]["callout"] == "28 H6"


def test_what_is_wrong_at_the_start_is_said_beside_its_field_and_all_is_kept(sit: Sit) -> None:
    page = sit().go("/start")
    page.locator("[name=callout]").fill("28 H6")
    page.locator("[name=hole]").fill("28.4")
    page.locator("[name='adjuster.line']").fill("0.002")
    page.locator("[name=push_off]").fill("0.018")
    page.locator("[name='tool.cut_hole.depth']").fill("0.3")
    page.locator("[data-start] [type=submit]").click()
    expect(page.locator("[data-problem][data-for=hole]")).to_contain_text("larger than the upper limit")
    expect(page.locator("[name=hole]")).to_be_focused()
    page.reload()
    page.wait_for_selector("html[data-started]", state="attached")
    expect(page.locator("[name=hole]")).to_have_value("28.4")
    expect(page.locator("[name='tool.cut_hole.depth']")).to_have_value("0.3")


def test_a_start_whose_answer_is_lost_opens_one_bore(server: ShopServer, sit: Sit) -> None:
    page = sit().go("/start")
    before = len(server.get("/bores")["bores"])
    for name, text in (("callout", "28 H6"), ("hole", "27.812"), ("adjuster.line", "0.002"), ("push_off", "0.018")):
        page.locator(f"[name='{name}']").fill(text)
    page.locator("[name='tool.cut_hole.depth']").fill("0.3")
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
            page.locator("form[data-primary] [type=submit]").click()
            page.wait_for_timeout(300)
            if page.locator("form[data-primary] [data-keep]").is_visible():
                page.locator("form[data-primary] [data-keep]").click()
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
    page.locator("[data-reopen] [name=reason]").fill("the customer asks for another reading")
    page.locator("[data-reopen] [type=submit]").click()
    expect(page.locator("[data-release]")).to_be_visible()
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
