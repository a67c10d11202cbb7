"""A bore's record in the shop's database, seen from two terminals."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import cast

import pytest

from borewright.cli.session import Session
from borewright.cli.shop_desk import ShopDesk
from borewright.cli.talk import LeftError
from borewright.errors import ConflictError
from borewright.exchange.demo import DEMO_BORES
from borewright.shop import acts
from borewright.shop.store import Store
from tests.unit.cli.scripted import Scripted

BORE = DEMO_BORES[0].bore()


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path) as store:
        acts.open_bore(store, BORE.mapping, bore=BORE.identity)
        yield store


def desk_at(store: Store, by: str) -> ShopDesk:
    return ShopDesk(store, BORE.identity, "dome drive 7", by)


class Interrupted(Scripted):
    """Somebody else records something before the first answer is given."""

    def __init__(self, answers: list[str], other: ShopDesk) -> None:
        super().__init__(answers)
        self.other: ShopDesk | None = other

    def ask(self, question: str, *, typed: str = "") -> str:
        if self.other is not None:
            self.other.advise()
            self.other.record({"event": "hole_checked", "as_read": "45.921"}, "theirs")
            self.other = None
        return super().ask(question, typed=typed)


def test_what_somebody_else_recorded_is_shown_and_nothing_typed_is_lost(store: Store) -> None:
    talk = Interrupted(["set 46.22", "q"], desk_at(store, "Ben Hazel"))
    ours = desk_at(store, "Ada Quill")
    with pytest.raises(LeftError):
        Session(talk, ours).run()
    assert "since hole read 45.921 mm (bore 2)" in talk.screen
    assert talk.offered == ["", "set 46.22"]
    assert [kept.event for kept in ours.history()] == ["opened", "hole_checked"]


def test_the_same_key_enters_an_entry_once(store: Store) -> None:
    desk = desk_at(store, "Ada Quill")
    desk.advise()
    first = desk.record({"event": "hole_checked", "as_read": "45.921"}, "ours")
    assert desk.record({"event": "hole_checked", "as_read": "45.921"}, "ours") == first
    with pytest.raises(ConflictError):
        desk.record({"event": "hole_checked", "as_read": "45.922"}, "ours")
    assert len(desk.history()) == 2


def test_a_move_on_the_advice_keeps_the_advice_that_was_shown(store: Store) -> None:
    desk = desk_at(store, "Ada Quill")
    wanted = cast("dict[str, str]", desk.advise()["set"])["diameter"]
    talk = Scripted([wanted, "", "", "46.2"])
    with pytest.raises(LeftError):
        Session(talk, desk).run()
    kept = {event.event: event for event in desk.history()}
    assert [event.event for event in desk.history()][:3] == ["opened", "advised", "set"]
    assert kept["advised"].payload["action"] == "set"
    assert kept["set"].by == "Ada Quill"
    assert str(kept["set"].payload["diameter"]) in str(kept["advised"].payload["shown"])
