"""What comes from outside is refused in words by the acts too, and stores nothing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from borewright.errors import BorewrightError, EntryError
from borewright.shop import acts, bores
from borewright.shop.store import Store
from tests.unit.door.sessions import FINISHED, FULL, LEAST
from tests.unit.record.fixtures import ENTRIES
from tests.unit.record.strategies import anything, spoiled

NEST: dict[str, object] = {}
NEST["in"] = NEST
FOREIGN: tuple[object, ...] = (10**5000, NEST, {"a": {1}}, "\ud800", float("nan"))


@pytest.mark.parametrize("key", [None, "k"])
@pytest.mark.parametrize("value", FOREIGN, ids=range(len(FOREIGN)))
def test_values_that_no_entry_has_are_refused(store: Store, value: object, key: str | None) -> None:
    acts.open_bore(store, LEAST, bore="drum")
    before = store.token()
    shown = {"event": "advised", "model": "m", "action": "cut", "shown": {"a": value}}
    deeds: tuple[Callable[[], object], ...] = (
        lambda: acts.open_bore(store, {**LEAST, "hole": value}, key=key),
        lambda: acts.record(store, "drum", shown, key=key),
        lambda: acts.record(store, "drum", {"event": "noted", "text": value}, key=key),
        lambda: acts.correct(store, "drum", "bore", 1, {"as_read": value}, key=key),
    )
    for deed in deeds:
        with pytest.raises(BorewrightError) as caught:
            deed()
        assert caught.value.right
    assert store.token() == before


@pytest.mark.parametrize("key", [None, "k"])
def test_names_that_are_no_text_are_refused(store: Store, key: str | None) -> None:
    names: Any = {**LEAST, 7: 1}
    with pytest.raises(EntryError):
        acts.open_bore(store, names, key=key)
    assert store.token() == 0


@pytest.mark.parametrize("given", [None, [1], "drum", 7])
def test_what_has_no_named_fields_is_refused(store: Store, given: Any) -> None:  # noqa: ANN401  # not a mapping
    acts.open_bore(store, LEAST, bore="drum")
    deeds: tuple[Callable[[], object], ...] = (
        lambda: acts.open_bore(store, given, bore="other"),
        lambda: acts.record(store, "drum", given),
        lambda: acts.release(store, "drum", given, by="M. Ostrander"),
    )
    for deed in deeds:
        with pytest.raises(EntryError, match="Named fields are wanted"):
            deed()


@pytest.mark.parametrize("saw", [{"ring": 1}, {"bore": "1"}, {"bore": None}, {"bore": 1.0}])
def test_what_does_not_say_what_was_seen_is_refused(store: Store, saw: Any) -> None:  # noqa: ANN401
    acts.open_bore(store, LEAST, bore="drum")
    with pytest.raises(EntryError) as caught:
        acts.record(store, "drum", {"event": "noted", "text": "dry"}, saw=saw)
    assert caught.value.where == "saw"


@given(data=st.data())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_an_entry_of_any_kind_is_stored_whole_or_not_at_all(store: Store, data: st.DataObject) -> None:
    if not bores.list_bores(store):
        acts.open_bore(store, FULL, bore="drum")
        for entry in FINISHED:
            acts.record(store, "drum", entry)
    entry = data.draw(anything() | st.sampled_from(list(ENTRIES.values())).flatmap(spoiled))
    key = data.draw(st.none() | st.integers(0, 10**9).map(str))
    before = store.token()
    try:
        answer = acts.record(store, "drum", entry, key=key)
    except BorewrightError:
        assert store.token() == before
    else:
        stored = bores.history(store, "drum")[-1]
        assert (answer["number"], answer["hash"]) == (stored.number, stored.hash)
    assert not store.check().faults
    assert bores.view(store, "drum").state
