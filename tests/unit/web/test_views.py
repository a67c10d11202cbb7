"""What the pages are made from: the card, the entry, the story, in either unit."""

from __future__ import annotations

import json
import re
from typing import cast

import pytest

from borewright.callout import parse_callout
from borewright.quantity.length import parse_length
from borewright.quantity.say import say_length
from borewright.shop.kept import kept_events, since_opening
from borewright.sizing.bore import Bore
from borewright.sizing.wanted import wanted_by
from borewright.web.card import Fact, card_of
from borewright.web.cuts import Cuts
from borewright.web.panel import held_taps, panel_of
from borewright.web.signing import release_view
from borewright.web.story import passes_of
from borewright.web.views import limits_view, size_view, state_words, today_view
from tests.unit.door.sessions import SESSIONS, WARM
from tests.unit.web.bores import CELL, HUB, PINION, REGISTER, TRUNNION, Sized
from tests.unit.web.visitor import Visitor

NOW = {"size": "46.3590 mm", "low": "46.3563 mm", "high": "46.3617 mm"}


def figure(sized: Sized, unit: str | None = None) -> str:
    return " ".join(piece.text for piece in sized.view(unit).card.figure)


def test_a_dial_is_turned_in_turns_and_lines_from_where_it_stands() -> None:
    sized = Sized(PINION).until("move_and_cut")
    move = sized.bore.advise()["move"]
    assert isinstance(move, dict)
    view = sized.view()
    assert view.card.verb == "Open"
    assert figure(sized) == f"{move['turns']} turn + {move['lines_over']} lines"
    assert view.card.under == "on from where the dial stands, then tighten the tool lock"
    assert view.panel.form is not None
    assert (view.panel.form.default, view.panel.form.unit, view.panel.form.signed) == (move["lines"], "lines", True)
    assert view.panel.form.on_advice


def test_a_readout_shows_what_to_turn_to_and_what_to_read_after_locking() -> None:
    sized = Sized(REGISTER).until("move_and_cut")
    move = sized.bore.advise()["move"]
    assert isinstance(move, dict)
    card = sized.view().card
    assert figure(sized) == move["unlocked"]
    assert card.lock is not None
    assert card.lock.value == move["locked"]
    assert card.lock.note in {"exactly", f"or up to {move['within']} off"}
    assert f"With the tool lock tight it should read {move['locked']}" in card.spoken
    assert str(move["unlocked"]) in card.spoken


@pytest.mark.parametrize(
    ("unlocked", "within", "label", "note"),
    [
        ("+0.113 mm", "0.000 mm", "Tighten the tool lock: it should read", "exactly"),
        ("+0.120 mm", "0.001 mm", "Tighten the tool lock: it should still read", "or up to 0.001 mm off"),
    ],
)
def test_what_is_read_is_told_apart_from_what_is_turned_to(unlocked: str, within: str, label: str, note: str) -> None:
    move = {"direction": "open", "change": "+0.120 mm", "locked": "+0.120 mm", "unlocked": unlocked, "within": within}
    card = card_of({"action": "move_and_cut", "say": "", "move": move}, "mm", adjuster="direct")
    assert (card.verb, card.figure[0].text) == ("Open to", unlocked.split(maxsplit=1)[0])
    assert card.under == "on the diameter: zero with the tool lock tight, loosen, open to it, tighten"
    loose = card_of(
        {"action": "move_and_cut", "move": {**move, "zeroed": "unlocked"}}, "mm", adjuster="direct", on="radius"
    )
    assert loose.under == "on the radius: loosen, zero, open to it, tighten"
    assert card.lock == Fact(label, "+0.120 mm", note)


def test_what_a_bench_measures_is_never_filled_in_with_what_was_wanted() -> None:
    view = Sized(PINION).view()
    advised = cast("dict[str, object]", Sized(PINION).bore.advise()["set"])["diameter"]
    assert " ".join(piece.text for piece in view.card.figure) == advised
    assert view.panel.form is not None
    assert (view.panel.form.field, view.panel.form.default) == ("diameter", "")


def test_a_trial_cut_is_not_called_a_cut_through_the_bore() -> None:
    advice = {"action": "cut", "say": "Make a trial cut at the mouth.", "cut": {"depth": "trial"}, "expect": {}}
    cuts = Cuts(passes=2, trials=1, trial_next=True, land=("46.383 mm", "46.378 to 46.388"))
    card = card_of({**advice, "now": NOW}, "mm", adjuster="dial", cuts=cuts)
    assert card.verb == "Trial cut"
    assert "chamfer" in card.under
    assert "No chamfer" in card.asks
    assert card.facts == (
        Fact("land should measure", "46.383 mm", "46.378 to 46.388", strong=True),
        Fact("hole below it stays", "46.3590 mm", "46.3563 to 46.3617"),
        Fact("still to cut", "2 passes + 1 trial cut", "the next one counted"),
    )
    assert panel_of(wanted_by(advice, in_spindle=True), "mm", "b").taps[0].label == "Trial cut only"


def test_a_move_says_what_cut_it_is_for() -> None:
    trial = Sized(TRUNNION).until("move_and_cut").view().card
    assert (trial.meant, trial.facts[0].label) == ("for a trial cut only", "land should measure")
    last = Sized(PINION).until("move_and_cut")
    while last.view().card.facts[-1].value != "1 pass":
        last.step()
        last.until("move_and_cut")
    assert last.view().card.meant == "for the last pass"
    last.step()
    assert last.view().card.under == "the last pass, through the bore"


@pytest.mark.parametrize(("depth", "first"), [("trial", "I cut: trial only"), ("full", "I cut: the whole depth")])
def test_a_cut_made_without_advice_is_recorded_and_not_ordered(depth: str, first: str) -> None:
    taps = held_taps({"cut": {"depth": depth}})
    assert taps[0].label == first
    assert [json.loads(tap.act)["depth"] for tap in taps] == sorted(["trial", "full"], key=lambda one: one != depth)


def test_what_a_readout_shows_is_never_offered() -> None:
    form = Sized(REGISTER).until("move_and_cut").view().panel.form
    assert form is not None
    assert (form.field, form.default, form.placeholder, form.seen) == ("shown_locked", "", "as shown", True)
    dial = Sized(PINION).until("move_and_cut").view().panel.form
    assert dial is not None
    assert dial.placeholder == f"as advised: {dial.default}"


def test_a_gauge_to_be_set_anew_is_asked_for_its_ring_and_not_called_done() -> None:
    advice = {"action": "measure", "say": "Set the gauge on its master again.", "measure": {"setting": "anew"}}
    card = card_of(advice, "mm", adjuster="dial")
    assert (card.verb, card.figure[0].text) == ("Set the gauge again", "on its ring")
    form = panel_of(wanted_by(advice, in_spindle=True), "mm", "b").form
    assert form is not None
    assert (form.event, form.field, form.default) == ("set_on", "size", "")


@pytest.mark.parametrize(
    ("place", "figure_is", "tells"),
    [("same", "same place", "misread"), ("across", "across", "oval"), ("depth", "new depth", "taper")],
)
def test_measuring_again_says_where_and_why(place: str, figure_is: str, tells: str) -> None:
    card = card_of({"action": "measure", "say": "Measure again.", "place": place}, "mm", adjuster="dial")
    assert card.verb == "Measure again"
    assert [piece.text for piece in card.figure] == [figure_is]
    assert tells in card.under


def test_a_lock_is_the_tools_wherever_it_is_not_the_spindles() -> None:
    """The tool's lock and the spindle locked out stand on one card: each is named whole."""
    for number in (PINION, REGISTER):
        sized = Sized(number)
        for _ in range(14):
            if sized.bore.advise()["action"] in {"release", "quarantine"}:
                break
            view = sized.view()
            card, form = view.card, view.panel.form
            said = [card.under, *card.steps, card.spoken, view.panel.ask, view.state_note, *view.panel.ready]
            said += [card.lock.label] if card.lock else []
            said += [form.ask, form.submit] if form else []
            for words in said:
                bare = re.sub(r"tool lock|locked out|lock it out|loosen the tool lock", "", words, flags=re.IGNORECASE)
                assert "lock" not in bare.lower(), words
            sized.step()


def test_a_readout_keeps_its_own_unit_whatever_is_shown() -> None:
    sized = Sized(REGISTER).until("move_and_cut")
    assert figure(sized, "in") == figure(sized, "mm")
    assert sized.view("in").card.facts[0].value.endswith(" in")
    form = sized.view("in").panel.form
    assert form is not None
    assert form.unit == "mm"


def test_a_dial_that_closes_says_both_turns() -> None:
    move = {"direction": "close", "change": "-0.012 mm", "lines": "-6", "back_lines": 20}
    advice = {
        "action": "move_and_cut",
        "say": "Close 6 lines, tighten the tool lock, cut.",
        "move": move,
        "odds": {"oversize": 0.02},
    }
    card = card_of(advice, "mm", adjuster="dial")
    assert card.verb == "Close"
    assert [piece.text for piece in card.figure] == ["20", "lines, then open", "14"]
    assert card.risky
    assert card.risk == Fact("over size after it", "2.0 %")
    assert Fact("tool closes by", "12 µm", "6 lines in all") in card.facts


def test_switching_the_unit_changes_no_byte_of_the_record() -> None:
    sized = Sized(PINION).until("move_and_cut")
    before = [event.hash for event in sized.stored]
    metric, inch = sized.view("mm"), sized.view("in")
    assert [event.hash for event in sized.stored] == before
    assert metric.numbers == inch.numbers
    assert [row.said for row in metric.rows] == [row.said for row in inch.rows]
    assert metric.limits == "46.512 to 46.528 mm"
    assert inch.limits == "1.83119 to 1.83181 in"
    assert "thou" in inch.strips[0][1]


def test_inch_changes_are_said_in_thou_and_tenths() -> None:
    sized = Sized(TRUNNION).until("move_and_cut")
    (change,) = [fact for fact in sized.view().card.facts if fact.label == "tool opens by"]
    assert "thou" in change.value
    assert "lines in all" in change.note


def test_the_first_aim_on_the_strip_is_what_the_card_says_the_pass_leaves() -> None:
    sized = Sized(TRUNNION).until("move_and_cut")
    while cast("dict[str, str]", sized.bore.advise()["cut"])["depth"] == "trial":
        sized.step()
        sized.until("move_and_cut")
    view = sized.view()
    size = view.card.facts[0].value.split()[0]
    assert f"Pass 1 aims at {size}," in view.strips[0][1]


def test_states_stand_large_and_ask_about_the_lock() -> None:
    sized = Sized(PINION)
    said = [state_words(sized.bore, seated=True)]
    sized.step()
    said.append(state_words(sized.bore, seated=False))
    sized.step()
    for _ in range(7):
        said.append(state_words(sized.bore, seated=True))
        sized.step()
    assert list(dict.fromkeys(said)) == [
        ("Tool not set", ""),
        ("Set, not in the spindle", ""),
        ("Set, not cut", "tool lock tight?"),
        ("Cut, not measured", "pass 1"),
        ("Measured once", "pass 1"),
        ("Measured twice", "pass 1"),
        ("Moved, not cut", "tool lock tight?"),
        ("Cut, not measured", "pass 2"),
    ]


def test_a_tool_that_cut_the_hole_is_not_asked_about_its_lock() -> None:
    given = {"callout": "61.998/62.014", "unit": "mm", "hole": "61.642", "push_off": "0.018"}
    adjuster = {"kind": "dial", "line": "0.002", "on": "diameter"}
    tool = {"cut_hole": {"depth": "0.3"}}
    bore = Bore.start({**given, "adjuster": adjuster, "gauge": {"step": "0.001"}, "tool": tool})
    assert state_words(bore, seated=True) == ("Hole roughed", "tool as it cut it")


def test_a_tool_that_was_set_is_put_in_first() -> None:
    sized = Sized(PINION)
    sized.step()
    view = sized.view()
    assert view.card.action == "seat"
    assert view.card.verb == "Put the tool in"
    assert json.loads(view.panel.taps[0].act) == {"event": "seated"}


def test_a_pass_takes_two_taps_and_numbers() -> None:
    sized = Sized(PINION).until("move_and_cut")
    moved = sized.view().panel
    assert moved.form is not None
    assert moved.form.whole_default
    sized.step()
    cut = sized.view().panel
    assert [json.loads(tap.act)["depth"] for tap in cut.taps] == ["full", "trial"]
    sized.step()
    read = sized.view().panel
    assert read.form is not None
    assert (read.form.field, read.form.default) == ("as_read", "")
    assert read.ready


def test_every_entry_that_a_form_would_make_is_understood() -> None:
    sized = Sized(PINION).until("move_and_cut")
    values = {
        "as_read": "46.2",
        "celsius": "21.4",
        "diameter": "46.3",
        "size": "46.5",
        "text": "wet",
        "lines": "+3",
        "minutes": "60",
    }
    view = sized.view()
    entries = [{"event": form.event, form.field: values[form.field], **json.loads(form.filled)} for form in view.others]
    entries += [json.loads(tap.act) for tap in view.taps]
    assert len(entries) > len(values)
    for entry in entries:
        before = sized.bore.twin().record(entry)
        assert before["event"] == entry["event"], entry


def test_a_warm_pass_is_held_against_what_was_expected_at_20_degrees() -> None:
    """What the gauge shows of a part at 35 °C is 69 µm larger than the hole; it is not called off by as much."""
    bore = Bore.start({**WARM, "name": "mirror cell"})
    for entry in SESSIONS["too warm to be shown in, left to stand"].entries[:7]:
        bore.record(entry)
    history = [*bore.events("bore"), *bore.events("tool"), *bore.events("gauge")]
    story = passes_of(since_opening(kept_events(history)), bore.belief, "mm", bore.model.growth)
    (one,) = (told for told in story if told.left)
    assert one.left_mm == pytest.approx(200.072)
    expected = parse_length(f"{one.expected} mm").mm
    off = 200.072 - 15 * bore.model.growth - expected
    assert one.off == f"at 20 °C {say_length(abs(off), 'mm')} {'larger' if off > 0 else 'smaller'} than expected"
    assert abs(off) < 0.012


def test_the_story_tells_what_each_pass_was_to_leave_and_left() -> None:
    sized = Sized(PINION).until("release")
    passes = sized.view().passes
    assert [one.title for one in passes] == ["Pass 1", "Pass 2", "Pass 3"]
    assert passes[0].tool.startswith("set to ")
    assert passes[1].tool.startswith("opened ")
    assert all(one.expected and one.left and one.off for one in passes)


def test_a_doubtful_reading_is_left_out_of_what_the_pass_left() -> None:
    sized = Sized(PINION)
    while sized.bore.state != "measured":
        sized.step()
    first = sized.view().passes[-1]
    sized.record({"event": "read", "as_read": f"{float(first.left) + 0.1:.3f}"})
    last = sized.view().passes[-1]
    assert last.left == first.left
    assert len(last.doubted) == 1
    doubts = sized.view().card.doubts
    assert len({(doubt.label, doubt.note) for doubt in doubts}) == len(doubts) >= 2


def test_the_last_entry_can_be_undone_until_the_bore_is_finished() -> None:
    sized = Sized(PINION).until("release")
    undo = sized.view().undo
    assert undo is not None
    assert undo.said.startswith("read ")
    shown = release_view("b-1", sized.bore, sized.history()).shown
    sized.record({"event": "released", **json.loads(shown)})
    assert sized.view().undo is None


def test_a_release_carries_the_bores_own_numbers_whatever_is_shown() -> None:
    sized = Sized(PINION).until("release")
    metric = release_view("b-1", sized.bore, sized.history(), unit="mm")
    inch = release_view("b-1", sized.bore, sized.history(), unit="in")
    assert metric.shown == inch.shown
    assert inch.size.endswith(" in")
    assert metric.may_release
    assert f"hole {metric.size.split()[0]} mm" in metric.strips[0][1]


def test_a_release_shows_its_readings_their_correction_and_both_limits() -> None:
    sized = Sized(PINION).until("release")
    view = release_view("b-1", sized.bore, sized.history())
    judged = cast("dict[str, object]", sized.bore.advise()["release"])
    assert len(view.readings) == judged["readings"]
    mean = sum(parse_length(one).mm for one in view.readings) / len(view.readings)
    corrected = mean + parse_length(view.correction, signed=True).mm
    assert parse_length(view.size).mm == pytest.approx(corrected, abs=0.00011)
    shares = [float(str(judged[name])) for name in ("oversize", "probability", "undersize")]
    assert sum(shares) == pytest.approx(1.0, abs=2e-6)
    assert [fact.label for fact in view.odds] == ["over size", "under size"]


def test_a_verdict_is_said_in_words_that_nobody_takes_for_a_unit() -> None:
    sized = Sized(PINION).until("release")
    view = release_view("b-1", sized.bore, sized.history())
    assert (view.verdict, view.verdict_title) == ("in", "Shown within limits")
    assert (view.limits, view.tolerance) == ("46.512 to 46.528 mm", "16 µm")
    assert release_view("b-1", sized.bore, sized.history(), unit="in").tolerance == "6 tenths"
    sized.record({"event": "released", **json.loads(view.shown)})
    signed = release_view("b-1", sized.bore, sized.history()).signed
    assert signed is not None
    assert signed.said == "released: shown within limits, 46.5197 mm ± 0.0031 mm, proof at 95 %"


def test_a_bore_that_is_out_says_on_which_side() -> None:
    sized = Sized(PINION)
    while sized.bore.state != "measured":
        sized.step()
    view = release_view("b-1", sized.bore, sized.history())
    assert (view.verdict, view.verdict_title) == ("out", "Not to size yet")
    assert view.move == str(sized.bore.advise()["say"]).removesuffix(".")
    assert view.move
    assert view.short == say_length(round(sized.bore.model.lower_mm - sized.bore.belief.hole_mm, 9), "mm")


def test_readings_are_shown_with_the_digits_that_the_gauge_has() -> None:
    sized = Sized(PINION).until("release")
    assert release_view("b-1", sized.bore, sized.history()).readings == ("46.518 mm", "46.520 mm")


def test_a_size_that_is_not_measured_is_called_expected() -> None:
    sized = Sized(PINION).until("measure")
    assert "expected " in sized.view().strips[0][1]
    assert sized.view().card.facts[0].label == "expected, not measured"
    read = Sized(PINION).until("release")
    assert "hole " in read.view().strips[0][1]


def test_nothing_measured_is_no_verdict() -> None:
    sized = Sized(PINION)
    view = release_view("b-1", sized.bore, sized.history())
    assert (view.verdict, view.may_release, view.size) == ("", False, "")
    assert view.verdict_words == "Nothing was measured since the last pass."


def test_bores_of_one_name_are_told_apart_by_their_record() -> None:
    sized = Sized(CELL)
    named = str(sized.bore.opening.given.name)
    assert size_view(named.replace(" ", "-"), sized.bore, sized.history()).which == ""
    assert size_view("cell-6", sized.bore, sized.history()).which == "cell-6"


def test_rehearsals_stand_last_and_are_counted_apart() -> None:
    stands = [(name, Sized(CELL).bore, Sized(CELL).history(), None) for name in ("one", "two", "three")]
    view = today_view(stands, rehearsed=["one"])
    assert [line.bore for line in view.under_way] == ["two", "three", "one"]
    assert (len(view.cut_in_metal), len(view.rehearsals)) == (2, 1)


def test_today_parts_what_is_under_way_from_what_is_finished() -> None:
    done, under_way = Sized(PINION).until("release"), Sized(CELL)
    done.record({"event": "released", **json.loads(release_view("b", done.bore, done.history()).shown)})
    stands = [("one", done.bore, done.history(), None), ("two", under_way.bore, under_way.history(), None)]
    view = today_view(stands)
    assert [line.bore for line in view.finished] == ["one"]
    assert [line.bore for line in view.under_way] == ["two"]
    assert view.under_way[0].next == under_way.bore.advise()["say"]
    assert "d-figure" not in view.under_way[0].strip


def test_a_hole_not_well_known_is_measured_first() -> None:
    view = Sized(HUB).view()
    assert view.card.verb == "Measure the hole"
    assert view.panel.form is not None
    assert view.panel.form.event == "hole_checked"


@pytest.mark.parametrize(
    ("text", "unit", "values"),
    [
        ("62 H6", None, ["62.000 mm", "62.019 mm"]),
        ("2.2470 ±.0004", "in", ["2.2466 in", "2.2474 in"]),
    ],
)
def test_a_callout_is_shown_with_all_its_digits(text: str, unit: str | None, values: list[str]) -> None:
    view = limits_view(parse_callout(text, unit))  # type: ignore[arg-type]
    assert [fact.value for fact in view.facts] == values
    assert len(view.pictures) == 3


def test_a_tool_that_was_moved_otherwise_than_advised_says_so(visitor: Visitor) -> None:
    bore = visitor.open()
    visitor.enter(bore, {"event": "set", "diameter": visitor.look(bore)["advice"]["set"]["diameter"]})
    visitor.enter(bore, {"event": "seated"})
    visitor.enter(bore, {"event": "passed", "depth": "full"})
    left = float(str(visitor.look(bore)["advice"]["now"]["size"]).split(" ")[0])
    for _ in range(2):
        visitor.enter(bore, {"event": "read", "as_read": f"{left:.3f}"})
    advised = str(visitor.look(bore)["advice"]["move"]["lines"])
    assert advised.startswith("+")
    visitor.enter(bore, {"event": "moved", "lines": "+10"})
    assert f">10 moved, {advised.lstrip('+')} advised<" in visitor.get(f"/bores/{bore}").text
    visitor.enter(bore, {"event": "passed", "depth": "trial"})
    assert "moved-note" not in visitor.get(f"/bores/{bore}").text


def test_a_tool_that_was_moved_as_advised_says_nothing_of_it() -> None:
    sized = Sized(TRUNNION).until("move_and_cut")
    sized.step()
    assert sized.view().moved_note == ""


def test_clamps_that_are_to_be_let_go_stand_large() -> None:
    advice = {
        "action": "measure",
        "say": "Let the clamps go, then measure.",
        "measure": {"setting": "same", "state": "free"},
    }
    assert card_of({**advice, "now": NOW}, "mm", adjuster="dial").verb == "Let the clamps go"
