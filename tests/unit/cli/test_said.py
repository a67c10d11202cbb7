"""What is typed at the prompt, and the entry it becomes."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.cli.prompts import entry_of, question_for
from borewright.cli.said import WORDS, Said, is_yes, understand
from borewright.errors import EntryError
from borewright.record.entry import ENVELOPE, read_entry
from borewright.record.fields import payload_plain
from borewright.record.kinds import EVENT_KINDS
from borewright.record.told import said_back


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", Said(None, "", "")),
        ("   ", Said(None, "", "")),
        (" 46,491 mm ", Said(None, "", "46,491 mm")),
        (".0003", Said(None, "", ".0003")),
        ("+9.5", Said(None, "", "+9.5")),
        ("- 3", Said(None, "", "- 3")),
        ("Ø46.5", Said(None, "", "Ø46.5")),
        ("?", Said("why", "?", "")),
        ("? arithmetic", Said("why", "?", "")),
        ("U", Said("undo", "u", "")),
        ("t 21.4", Said("temperature", "t", "21.4")),
        ("Close 9.5", Said("moved", "close", "9.5")),
        ("n: chip under  the foot", Said("note", "n", "chip under  the foot")),
        ("read\t46.5", Said("read", "read", "46.5")),
        ("\x1b\x07q", Said("leave", "q", "")),
    ],
)
def test_nothing_values_and_words_are_told_apart(typed: str, said: Said) -> None:
    assert understand(typed) == said


def test_a_word_that_is_not_known_suggests_one_and_offers_a_note() -> None:
    with pytest.raises(EntryError) as caught:
        understand("raed 46.5")
    assert caught.value.given == "raed 46.5"
    assert "Did you mean read?" in caught.value.right
    assert "n and a note" in caught.value.right


@given(st.text(max_size=40))
def test_anything_typed_is_understood_or_refused_in_words(typed: str) -> None:
    with contextlib.suppress(EntryError):
        assert understand(typed).rest == understand(typed).rest.strip()


def test_no_word_has_two_meanings() -> None:
    names = [name for names in WORDS.values() for name in names]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(
    ("typed", "adjuster", "entry"),
    [
        ("read 46.491", "dial", {"event": "read", "as_read": "46.491"}),
        ("check 45.9", "dial", {"event": "hole_checked", "as_read": "45.9"}),
        ("set 46.31", "dial", {"event": "set", "diameter": "46.31"}),
        ("cut", "dial", {"event": "passed", "depth": "full"}),
        ("trial", "dial", {"event": "passed", "depth": "trial"}),
        ("move 9.5", "dial", {"event": "moved", "lines": "+9.5"}),
        ("open 9,5 lines", "dial", {"event": "moved", "lines": "+9,5"}),
        ("close 1 line", "dial", {"event": "moved", "lines": "-1"}),
        ("close -3", "dial", {"event": "moved", "lines": "-3"}),
        ("move −3", "dial", {"event": "moved", "lines": "-3"}),
        ("open 0.012", "direct", {"event": "moved", "shown_locked": "+0.012"}),
        ("open 12 µm", "offset", {"event": "moved", "change": "+12 µm"}),
        ("t 21.4", "dial", {"event": "temperature", "of": "part", "celsius": "21.4", "when": "now"}),
        ("t tool 75 F", "dial", {"event": "temperature", "of": "tool", "celsius": "75 F", "when": "now"}),
        ("t cut 23", "dial", {"event": "temperature", "of": "part", "celsius": "23", "when": "cut"}),
        ("ring 46.500", "dial", {"event": "set_on", "on": "ring", "size": "46.500"}),
        ("blocks 46.500", "dial", {"event": "set_on", "on": "blocks", "size": "46.500"}),
        ("recheck 46.500 46.501", "dial", {"event": "rechecked", "size": "46.500", "as_read": "46.501"}),
        ("n chip", "dial", {"event": "noted", "text": "chip", "stream": "bore"}),
        ("aside mouth torn", "dial", {"event": "quarantined", "reason": "mouth torn"}),
        ("reopen measured again", "dial", {"event": "reopened", "reason": "measured again"}),
        ("seated", "dial", {"event": "seated"}),
        ("edge", "dial", {"event": "edge_changed"}),
        ("clamp", "dial", {"event": "clamped"}),
        ("unclamp", "dial", {"event": "unclamped"}),
    ],
)
def test_words_become_entries_that_the_record_takes(typed: str, adjuster: str, entry: dict[str, object]) -> None:
    said = understand(typed)
    assert said.word is not None
    made = entry_of(said.word, said, adjuster=adjuster, opens=True)
    assert made == entry
    kind, payload = read_entry(made, "mm")
    assert said_back(kind.name, payload_plain(payload))


def test_a_bare_move_goes_the_way_advised() -> None:
    assert entry_of("moved", Said(None, "", "9.5"), adjuster="dial", opens=False)["lines"] == "-9.5"
    assert entry_of("moved", Said(None, "", "9.5"), adjuster="dial", opens=True)["lines"] == "+9.5"
    assert entry_of("moved", Said(None, "", "+9.5"), adjuster="dial", opens=False)["lines"] == "+9.5"


@pytest.mark.parametrize("typed", ["read", "set", "open", "t tool", "ring", "recheck 46.5", "n", "check"])
def test_a_word_without_its_value_says_how_it_is_typed(typed: str) -> None:
    said = understand(typed)
    assert said.word is not None
    with pytest.raises(EntryError, match=r"Type \w+"):
        entry_of(said.word, said, adjuster="dial", opens=True)


def test_every_kind_of_event_can_be_said_back() -> None:
    for _, name in EVENT_KINDS:
        assert said_back(name, {})


@pytest.mark.parametrize("yes", ["", "y", "Yes", " YES "])
def test_enter_says_yes(yes: str) -> None:
    assert is_yes(yes)
    assert not is_yes("n")


ACTIONS: tuple[dict[str, object], ...] = (
    {"action": "set", "set": {"diameter": "46.310 mm"}},
    {"action": "move_and_cut", "move": {"direction": "open", "lines": "+9.5"}},
    {"action": "move_and_cut", "move": {"direction": "close", "lines": "-3", "back_lines": 12}},
    {"action": "move_and_cut", "move": {"direction": "open", "unlocked": "+0.412 mm", "locked": "+0.411 mm"}},
    {"action": "move_and_cut", "move": {"direction": "open", "change": "+0.412 mm", "locked": "+0.412 mm"}},
    {"action": "cut"},
    {"action": "measure"},
    {"action": "check_hole"},
    {"action": "release"},
    {"action": "quarantine"},
)


@pytest.mark.parametrize("advice", ACTIONS)
@pytest.mark.parametrize("simulated", [True, False])
def test_what_enter_enters_is_known_to_the_record(advice: dict[str, object], simulated: bool) -> None:
    question = question_for(advice, in_spindle=True, simulated=simulated)
    assert question.offer is not None or question.hint
    if question.offer is None or question.offer["event"] in {"released", "quarantined"}:
        return
    entry = {**question.offer}
    if entry["event"] in {"read", "hole_checked"}:
        assert "as_read" not in entry
        entry["as_read"] = "46.5"
    read_entry(entry, "mm")
    assert set(entry) - set(ENVELOPE) or entry["event"] == "seated"


def test_a_person_is_never_offered_a_reading() -> None:
    for advice in ACTIONS:
        offer = question_for(advice, in_spindle=True, simulated=False).offer
        assert offer is None or offer["event"] not in {"read", "hole_checked", "temperature"}


def test_the_spindle_is_asked_for_before_a_cut_of_a_tool_just_set() -> None:
    assert question_for({"action": "cut"}, in_spindle=False, simulated=False).offer == {"event": "seated"}
