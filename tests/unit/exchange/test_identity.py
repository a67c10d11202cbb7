"""Identities of bores' streams."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.exchange.identity import bore_identity, tidy_name
from borewright.record.stream import StreamId

NAMES = st.text(min_size=1, max_size=60).filter(lambda name: bool(tidy_name(name)))
PLAIN_NAMES = st.text("ab- _.", min_size=1, max_size=6).filter(lambda name: bool(tidy_name(name)))


@given(NAMES, NAMES)
def test_any_two_names_make_a_stream_identity(job: str, bore: str) -> None:
    assert str(StreamId("bore", bore_identity(job, bore))).startswith("bore/")


@given(PLAIN_NAMES, PLAIN_NAMES, PLAIN_NAMES, PLAIN_NAMES)
def test_different_names_never_meet(job: str, bore: str, other_job: str, other_bore: str) -> None:
    same = (tidy_name(job), tidy_name(bore)) == (tidy_name(other_job), tidy_name(other_bore))
    assert (bore_identity(job, bore) == bore_identity(other_job, other_bore)) == same


@pytest.mark.parametrize(
    ("job", "bore", "identity"),
    [
        ("winch 12", "front", "winch_12.front"),
        (" winch  12 ", "front eye", "winch_12.front_eye"),
        ("12-A", "B-1", "12-A.B-1"),
    ],
)
def test_plain_names_can_be_read_in_the_identity(job: str, bore: str, identity: str) -> None:
    assert bore_identity(job, bore) == identity
