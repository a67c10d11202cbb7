"""What finished bores on record teach the next one, through the shop's own acts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from borewright.learning.taught import Taught, taught_by
from borewright.record.stream import StreamId
from borewright.rehearsal.advised import SIGNED, follow, start_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.shop import acts, bores
from borewright.shop import learned as learned_room
from borewright.shop.learned import lessons
from borewright.shop.store import Store
from borewright.sizing.bore import Bore

KIND = KINDS["middle head, carbon steel"]
TOOL = "winch-head"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "data") as opened:
        yield opened


def given(**changes: object) -> dict[str, object]:
    """What a bore is started with, its tool on record under a name of its own."""
    start = start_of(Truth.draw(KIND, 1, 1).told())
    tool = start["tool"]
    assert isinstance(tool, dict)
    return {**start, "tool": {**tool, "id": TOOL}, **changes}


def finish(store: Store, seed: int, **changes: object) -> str:
    """Open a bore on the tool, set the tool anew, size it as the advice says, and sign it."""
    truth = Truth.draw(KIND, seed, 1)
    bore = str(acts.open_bore(store, given(**changes), bore=f"bore-{seed}", at=day(seed))["bore"])
    first: Mapping[str, Any] = Bore.start(start_of(truth.told())).advise()
    for entry in follow(truth, first):
        acts.record(store, bore, entry, at=day(seed))
    while (advice := advised(store, bore))["action"] not in {"release", "quarantine"}:
        for entry in follow(truth, advice):
            acts.record(store, bore, entry, at=day(seed))
    if advice["action"] == "release":
        shown = {name: advice["release"][name] for name in SIGNED}
        acts.release(store, bore, shown, by="Ada Quill", at=day(seed))
    else:
        acts.quarantine(store, bore, str(advice["say"]), at=day(seed))
    return bore


def advised(store: Store, bore: str) -> Mapping[str, Any]:
    return bores.advise(store, bore)


def day(seed: int) -> str:
    return f"2031-09-{seed % 28 + 1:02}T08:00:00Z"


def frozen(store: Store, bore: str, name: str) -> Mapping[str, str]:
    opening: Any = store.stream(StreamId("bore", bore))[0].payload
    return next(each for each in opening["frozen"] if each["what"] == name)


def test_the_first_bore_begins_with_what_was_typed_and_the_next_with_what_it_taught(store: Store) -> None:
    first = finish(store, 1)
    opening: Any = store.stream(StreamId("bore", first))[0].payload
    assert "together" not in opening
    assert not any("learned" in each["origin"] for each in opening["frozen"])
    second = str(acts.open_bore(store, given(), bore="second", at=day(2))["bore"])
    learned = frozen(store, second, "push_off")
    assert learned["origin"] == (
        "learned: 1 bore of this tool in this material, last on 2031-09-02; what was typed is counted in"
    )
    assert float(learned["width"].split()[0]) < 0.8 * float(frozen(store, first, "push_off")["width"].split()[0])
    assert frozen(store, second, "proved")["value"] == "1 1"
    now: Any = store.stream(StreamId("bore", second))[0].payload
    assert {(pair["first"], pair["second"]) for pair in now["together"]} >= {("bench", "push_off")}
    assert any(
        each["name"] == "push_off" and "learned" in each["origin"] for each in advised(store, second)["assumptions"]
    )


def test_history_can_be_left_out(store: Store) -> None:
    finish(store, 1)
    alone = str(acts.open_bore(store, given(history="leave out"), bore="alone", at=day(2))["bore"])
    opening: Any = store.stream(StreamId("bore", alone))[0].payload
    assert "together" not in opening
    assert not any("learned" in each["origin"] for each in opening["frozen"])


def test_what_a_simulated_machine_taught_reaches_no_bore_in_metal(store: Store) -> None:
    finish(store, 1, machine="simulated")
    metal = str(acts.open_bore(store, given(), bore="metal", at=day(2))["bore"])
    rehearsed = str(acts.open_bore(store, given(machine="simulated"), bore="rehearsed", at=day(2))["bore"])
    assert frozen(store, metal, "push_off")["origin"] == "typed"
    assert "learned" in frozen(store, rehearsed, "push_off")["origin"]
    assert [lesson.said("mm")["simulated"] for lesson in lessons(store)] == [True]


def test_what_is_learned_later_never_reaches_an_open_bore(store: Store) -> None:
    finish(store, 1)
    waiting = str(acts.open_bore(store, given(tool={"id": "another"}), bore="waiting", at=day(2))["bore"])
    before = bores.view(store, waiting).belief.now
    finish(store, 3)
    store.stands.__init__()  # type: ignore[misc]  # forgets, so that it is folded again
    after = bores.view(store, waiting).belief.now
    assert (before.mean == after.mean).all()
    assert (before.covariance == after.covariance).all()


def test_a_bore_in_another_material_shares_what_belongs_to_the_tool(store: Store) -> None:
    finish(store, 1)
    other = str(acts.open_bore(store, given(material="bronze"), bore="other", at=day(2))["bore"])
    assert "of this tool in other materials" in frozen(store, other, "push_off")["origin"]
    assert "1 bore of this tool," in frozen(store, other, "bench")["origin"]


def test_the_lessons_say_what_they_rest_on(store: Store) -> None:
    finish(store, 1)
    finish(store, 3)
    (lesson,) = lessons(store)
    assert (lesson.tool, lesson.material, lesson.days) == (TOOL, "carbon steel", ("2031-09-02", "2031-09-04"))
    assert [each.bore for each in lesson.learned.same] == ["bore-1", "bore-3"]
    said: Any = lesson.said("mm")
    line = next(line for line in said["lines"] if line["name"] == "push_off")
    assert line["what"] == "Push-off where 0.25 mm comes off"
    assert line["value"].endswith("µm")
    assert "2 bores of this tool in this material" in line["origin"]


def test_a_bore_that_is_taken_up_again_teaches_nothing_until_it_is_finished(store: Store) -> None:
    bore = finish(store, 1)
    assert len(lessons(store)) == 1
    acts.reopen(store, bore, "look again")
    assert lessons(store) == ()


def test_a_bore_is_folded_once_until_its_record_changes(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    folded: list[str] = []

    def counted(bore: Bore) -> Taught | None:
        folded.append(bore.streams["bore"].identity)
        return taught_by(bore)

    monkeypatch.setattr(learned_room, "taught_by", counted)
    finish(store, 1)
    lessons(store)
    finish(store, 3)
    lessons(store)
    lessons(store)
    assert folded == ["bore-1", "bore-3"]
    acts.record(store, "bore-3", {"event": "noted", "stream": "tool", "text": "washed"})
    tool = store.stream(StreamId("tool", TOOL))
    seat = next(event.number for event in tool if event.kind == "seated")
    acts.withdraw(store, "bore-3", "tool", seat)
    lessons(store)
    assert folded[2:4] == ["bore-3", "bore-1"]
