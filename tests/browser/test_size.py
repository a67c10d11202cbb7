"""A pass at the Size page: two taps and one number, undo, units, what is understood before it counts."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.shop_server import READOUT, ShopServer
from tests.browser.somebody import FIELD, PHONE, Somebody

Sit = Callable[..., Somebody]
READING = {"event": "read", "as_read": "33.356 mm"}


def test_a_pass_takes_two_taps_and_one_number(server: ShopServer, sit: Sit) -> None:
    bore = server.to_move()
    person = sit()
    page = person.size(bore)
    acts: list[str] = []
    page.on("request", lambda request: acts.append(request.url) if request.url.endswith("/entries") else None)
    person.tap("Moved, tool lock tight")
    person.tap("Cut through")
    size = f"{float(server.get(f'/bores/{bore}')['advice']['now']['size'].partition(' ')[0]):.3f}"
    person.keys(size)
    page.locator("form[data-primary] [type=submit]").click()
    expect(page.locator(FIELD)).to_have_value("")
    assert len(acts) == 3
    *_, moved, cut, reading = server.record(bore)
    assert [moved.split(" ")[0], cut, reading] == ["opened", "cut through", f"read {size} mm"]


def test_the_button_names_the_advised_value_only_while_nothing_else_is_typed(server: ShopServer, sit: Sit) -> None:
    page = sit().size(server.to_move())
    advised = page.locator("form[data-primary] .taken")
    expect(advised).to_be_visible()
    page.locator(FIELD).fill("+9")
    expect(advised).to_be_hidden()
    page.locator(FIELD).fill("")
    expect(advised).to_be_visible()


def test_nobody_enters_what_a_readout_shows_without_having_looked(server: ShopServer, sit: Sit) -> None:
    bore = server.to_move(adjuster=READOUT)
    person = sit()
    page = person.size(bore)
    before = server.record(bore)
    expect(page.locator(FIELD)).to_have_attribute("placeholder", "as shown")
    person.settle()
    page.locator("form[data-primary] [type=submit]").click()
    expect(page.locator("form[data-primary] [data-understood]")).to_have_text("Nothing was entered.")
    assert server.record(bore) == before
    expect(page.locator(".lock")).to_contain_text("do not cut; set it again.")


def test_the_tool_is_set_by_what_the_bench_shows_and_not_by_what_was_wanted(server: ShopServer, sit: Sit) -> None:
    bore = server.open()
    person = sit()
    page = person.size(bore)
    wanted = page.locator("[data-figure]").inner_text().split()[0]
    assert wanted == server.get(f"/bores/{bore}")["advice"]["set"]["diameter"].split()[0]
    expect(page.locator(FIELD)).to_have_value("")
    before = server.record(bore)
    page.locator("form[data-primary] [type=submit]").click()
    expect(page.locator("form[data-primary] [data-understood]")).to_have_text("Nothing was entered.")
    assert server.record(bore) == before
    expect(page.locator("[data-figure]")).to_contain_text(wanted)
    person.keys(wanted)
    page.locator("form[data-primary] [type=submit]").click()
    server.expect(bore, f"set to {wanted} mm")


def test_undo_stands_away_from_what_is_pressed_most(server: ShopServer, sit: Sit) -> None:
    bores = [server.to_move(), server.to_cut()]
    for viewport in ({"width": 1280, "height": 800}, PHONE):
        person = sit(viewport=viewport)
        for bore in bores:
            page = person.size(bore)
            undo = page.locator("[data-undo]").bounding_box()
            main = page.locator(".panel .main").filter(visible=True).first.bounding_box()
            assert undo is not None
            assert main is not None
            across = max(undo["x"] - main["x"] - main["width"], main["x"] - undo["x"] - undo["width"])
            down = undo["y"] - main["y"] - main["height"]
            assert max(across, down) >= 96, (viewport, undo, main)


def test_number_keys_and_button_stand_in_one_view_of_a_phone(server: ShopServer, sit: Sit) -> None:
    """In each state that asks for a number: nobody scrolls with a wet glove to confirm what was just typed."""
    doubted = server.to_read()
    server.enter(doubted, *({"event": "read", "as_read": f"{size} mm"} for size in ("33.356", "33.396")))
    readout = str(server.post("/rehearsals", {"kind": "large bridge, alloy steel", "seed": 4})["bore"])
    server.on_machine_until(readout, "move_and_cut")
    inch = "finder_mount_3.trunnion"
    server.on_machine_until(inch, "move_and_cut")
    paths = [f"/bores/{bore}" for bore in (server.open(), server.to_read(), server.to_move(), doubted)]
    paths += [f"/bores/{server.to_move(adjuster=READOUT)}", f"/rehearse/{readout}", f"/rehearse/{inch}"]
    person = sit(viewport=PHONE)
    for path in paths:
        page = person.go(path)
        for piece in ("[data-figure]", FIELD, "form[data-primary] bw-keypad", "form[data-primary] [type=submit]"):
            box = page.locator(piece).bounding_box()
            assert box is not None
            assert box["y"] >= 0, (path, piece)
            assert box["y"] + box["height"] <= PHONE["height"], (path, piece, box)


def test_keys_stay_where_they_are_while_a_number_is_typed(server: ShopServer, sit: Sit) -> None:
    person = sit(viewport=PHONE)
    page = person.size(server.to_read())
    zero = page.locator("form[data-primary] [data-key='0']")
    before = zero.bounding_box()
    person.keys("33.356")
    expect(page.locator("form[data-primary] [data-understood]")).to_contain_text("33.356")
    assert zero.bounding_box() == before


def test_what_a_readout_is_turned_to_is_not_what_it_reads_with_the_lock_tight(server: ShopServer, sit: Sit) -> None:
    page = sit().size(server.to_move(adjuster=READOUT))
    turned, read = page.locator(".plate.order"), page.locator(".lock")
    expect(turned).to_contain_text("zero with the tool lock tight, loosen, open to it, tighten")
    expect(read).to_contain_text("Tighten the tool lock: it should")
    look = "(one) => { const s = getComputedStyle(one); return [parseFloat(s.fontSize), s.backgroundColor] }"
    (large, _), (small, _) = (page.locator(one).evaluate(look) for one in ("[data-figure] b", ".lock b"))
    assert large >= 2 * small
    assert turned.evaluate(look)[1] != read.evaluate(look)[1]


def test_the_move_can_be_heard_by_a_button_that_is_seen(server: ShopServer, sit: Sit) -> None:
    for viewport in ({"width": 1280, "height": 800}, PHONE):
        page = sit(viewport=viewport).size(server.to_move())
        button = page.locator("[data-speak]")
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 48
        assert box["width"] >= 120
        names = ("fontSize", "borderTopWidth")
        type_px, border_px = (button.evaluate(f"(one) => parseFloat(getComputedStyle(one).{name})") for name in names)
        assert type_px >= 18
        assert border_px >= 1


def test_a_person_named_on_the_device_stands_behind_what_is_entered(server: ShopServer, sit: Sit) -> None:
    bore = server.open()
    person = sit()
    page = person.size(bore)
    page.get_by_role("button", name="This device").click()
    page.locator("[data-setting=person]").fill("Ada Quill")
    page.get_by_role("button", name="Done").click()
    page.locator(FIELD).fill("33.36")
    person.tap("Enter as measured")
    page.reload()
    assert "Ada Quill" in server.get(f"/bores/{bore}")["html"]


def test_a_double_tap_is_one_entry(server: ShopServer, sit: Sit) -> None:
    bore = server.to_cut()
    person = sit()
    page = person.size(bore)
    page.locator(".panel [data-act]").first.dblclick()
    expect(page.locator("#panel-title")).to_have_text("What does the gauge show?")
    person.settle()
    assert sum(said in {"cut through", "trial cut"} for said in server.record(bore)) == 1


def test_a_second_enter_does_not_accept_the_next_advice_unread(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    server.enter(bore, READING)
    person = sit()
    page = person.size(bore)
    page.locator(FIELD).fill("33.355")
    page.keyboard.press("Enter")
    expect(page.locator("#panel-title")).to_have_text("Is it moved, and the tool lock tight?")
    page.keyboard.press("Enter")
    person.settle()
    server.expect(bore, "read 33.355 mm")


def test_enter_alone_enters_nothing_where_nothing_is_offered(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    before = server.record(bore)
    page.locator(FIELD).press("Enter")
    expect(page.locator("form[data-primary] [data-understood]")).to_have_text("Nothing was entered.")
    assert server.record(bore) == before


def test_what_surprises_is_shown_before_it_counts_and_asked_about(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    page.locator(FIELD).fill("33.396")
    page.locator(FIELD).press("Enter")
    understood = page.locator("form[data-primary] [data-understood]")
    expect(understood).to_contain_text("33.396 mm")
    expect(page.locator("form[data-primary] [data-sure]")).to_be_visible()
    assert "read 33.396 mm" not in server.record(bore)
    expect(understood).to_contain_text("does not fit (expected 33.")
    expect(understood).to_contain_text("Read it again first.")
    keep = page.locator("form[data-primary] [data-keep]")
    expect(page.locator("form[data-primary] .main[data-mend]")).to_have_text("Read again")
    expect(keep).not_to_have_class("main")
    expect(keep).to_be_in_viewport(ratio=1)
    expect(page.locator("form[data-primary] bw-keypad")).to_be_hidden()
    page.locator("form[data-primary] [data-mend]").click()
    expect(page.locator("form[data-primary] bw-keypad")).to_be_visible()
    expect(page.locator(FIELD)).to_have_value("33.396")
    expect(page.locator(FIELD)).to_be_focused()
    page.locator(FIELD).press("Enter")
    page.locator("form[data-primary] [data-keep]").click()
    expect(page.locator(FIELD)).to_have_value("")
    server.expect(bore, "read 33.396 mm")


def test_what_cannot_be_is_said_and_kept_in_the_field(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().size(bore)
    page.locator(FIELD).fill("333.46")
    page.locator(FIELD).press("Enter")
    expect(page.locator("form[data-primary] [data-understood]")).to_contain_text("cannot be that far")
    expect(page.locator(FIELD)).to_have_value("333.46")
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(page.locator(FIELD)).to_have_value("")
    server.expect(bore, "read 33.356 mm")


def test_undo_asks_once_and_marks_what_it_withdraws(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    server.enter(bore, READING)
    person = sit()
    page = person.size(bore)
    undo = page.locator("[data-undo]")
    undo.click()
    expect(undo).to_contain_text("Tap again")
    page.keyboard.press("Escape")
    expect(undo).not_to_contain_text("Tap again")
    undo.click()
    page.locator("h1").click()
    expect(undo).not_to_contain_text("Tap again")
    server.expect(bore, "read 33.356 mm")
    undo.click()
    undo.click()
    expect(page.locator("[data-undo]")).to_contain_text("cut through")
    server.expect(bore, "read 33.356 mm (withdrawn)", "withdrew 4")


def test_nothing_is_ticked_for_the_person_and_what_was_not_said_stops_nothing(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    points = page.locator("[data-point]")
    assert points.count() == 4
    assert not any(points.nth(place).is_checked() for place in range(4))
    points.first.check()
    said, *rest = [points.nth(place).get_attribute("data-point") for place in range(4)]
    page.locator("[data-ready]").click()
    server.expect(bore, f"note: Ready to gauge: {said}. not said: {'; '.join(map(str, rest))}")
    expect(page.locator("[data-undo]")).to_contain_text("Ready to gauge")
    expect(points.first).to_be_checked()
    person.read("33.356")
    server.expect(bore, "read 33.356 mm")


def test_what_was_ticked_for_one_pass_is_not_ticked_for_the_next(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    page.locator("[data-point]").first.check()
    server.enter(bore, *({"event": "read", "as_read": "33.356 mm"} for _ in range(2)))
    server.enter(bore, {"event": "moved", "lines": "+10"}, {"event": "passed", "depth": "full"})
    expect(page.locator("[data-state-words]")).to_contain_text("pass 2")
    expect(page.locator("[data-point]").first).not_to_be_checked()


def test_a_move_shows_its_sign_from_the_first_key_on(server: ShopServer, sit: Sit) -> None:
    bore = server.to_move()
    person = sit()
    page = person.size(bore)
    person.keys("9.5")
    expect(page.locator(FIELD)).to_have_value("+9.5")
    page.locator("form[data-primary] [data-key=sign]").click()
    expect(page.locator(FIELD)).to_have_value("-9.5")
    page.locator("form[data-primary] [data-key=back]").click()
    expect(page.locator(FIELD)).to_have_value("-9.")
    page.locator("form[data-primary] [data-key=clear]").click()
    expect(page.locator(FIELD)).to_have_value("")


def test_the_unit_shown_changes_no_stored_value(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    server.enter(bore, READING)
    numbers = server.get(f"/bores/{bore}")["numbers"]
    person = sit()
    page = person.size(bore)
    page.locator(FIELD).fill("33.28")
    page.locator("[data-switch-unit]").click()
    page.wait_for_selector("html[data-started]", state="attached")
    expect(page.locator("body")).to_have_attribute("data-show", "in")
    assert "in" in page.locator("[data-card]").inner_text()
    assert server.get(f"/bores/{bore}")["numbers"] == numbers
    person.go("/")
    page.locator(f"a[href^='/bores/{bore}']").click()
    page.wait_for_selector("html[data-started]", state="attached")
    expect(page.locator("body")).to_have_attribute("data-show", "in")


def test_a_reading_typed_in_the_other_unit_is_kept_as_typed(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().size(bore)
    page.locator("form[data-primary] [data-key=unit]").click()
    page.locator(FIELD).fill("1.31322")
    page.locator(FIELD).press("Enter")
    expect(page.locator(FIELD)).to_have_value("")
    server.expect(bore, "read 1.31322 in")


def test_what_is_half_typed_outlives_a_reload(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    person.keys("33.2")
    page.reload()
    expect(page.locator(FIELD)).to_have_value("33.2")


def test_something_else_that_happened_is_entered_below(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().size(bore)
    page.get_by_text("Something else happened").click()
    form = page.locator("[data-more] form[data-field=text]")
    form.locator("input").fill("film wiped twice")
    form.locator("[type=submit]").click()
    expect(form.locator("input")).to_have_value("")
    page.wait_for_function("() => document.body.textContent.includes('film wiped twice')")
    assert "film wiped twice" in server.record(bore)[-1]
    expect(page.locator(".others[data-more]")).to_be_visible()


@pytest.mark.parametrize("page_path", ["/bores/no_such_bore", "/no-such-page"])
def test_a_page_that_is_not_there_says_so(server: ShopServer, sit: Sit, page_path: str) -> None:
    page = sit().page
    answer = page.goto(page_path)
    assert answer is not None
    assert answer.status == 404
    assert "Traceback" not in page.content()
    expect(page.locator("h1")).to_contain_text("There is no")
    assert server.process is not None


def test_a_reading_says_where_it_was_taken_and_the_next_place_is_offered(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    page.get_by_text("Where in the bore, and how the part is held").click()
    for choice in ("near the mouth, 3.3 mm", "0°", "in the machine"):
        page.get_by_role("radio", name=choice, exact=True).check()
    person.keys("33.356")
    page.locator("form[data-primary] [type=submit]").click()
    server.expect(bore, "read 33.356 mm 3.3 mm deep at 0°, in the machine")
    expect(page.locator("details.where")).to_have_attribute("open", "")
    for choice in ("near the mouth, 3.3 mm", "90°", "in the machine"):
        expect(page.get_by_role("radio", name=choice, exact=True)).to_be_checked()
    person.keys("33.357")
    page.locator("form[data-primary] [type=submit]").click()
    server.expect(bore, "read 33.357 mm 3.3 mm deep at 90°, in the machine")


def test_the_parts_temperature_is_one_tap_away(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().size(bore)
    page.get_by_text("The part's temperature", exact=True).click()
    page.locator("#warm-1").fill("22.5")
    page.locator("form:has(#warm-1) [type=submit]").click()
    server.expect(bore, "part 22.5 °C")
