"""Properties of callouts: one meaning in every form, exact limits, nothing but our own errors, a picture that fits."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from borewright.callout import Callout, parse_callout
from borewright.callout.ansi_b41 import HOLE_OF_FIT, STEPS_IN
from borewright.callout.iso286 import LETTERS, hole_deviations_um
from borewright.callout.iso286_tables import TOLERANCE_UM
from borewright.cli.callout_picture import limits_picture
from borewright.errors import BorewrightError, NotHeldError
from borewright.quantity import Unit
from tests.analytic.test_quantity import refusal

units: st.SearchStrategy[Unit] = st.sampled_from(("mm", "in"))
sizes = st.integers(10_000, 390_000).map(lambda digits: f"{Decimal(digits).scaleb(-3):f}")
parts = st.integers(1, 400).map(lambda digits: f"{Decimal(digits).scaleb(-4):f}")
alphabet = '0123456789.,+-±/ HhJSKgRCØ⌀()"µ' + "mminto"


def limits(callout: Callout) -> tuple[Fraction, Fraction]:
    return callout.lower.exact_mm, callout.upper.exact_mm


@given(sizes, parts, parts, units)
def test_every_form_means_the_same_limits(size: str, above: str, below: str, unit: Unit) -> None:
    low, high = Decimal(size) - Decimal(below), Decimal(size) + Decimal(above)
    scale = Fraction(1) if unit == "mm" else Fraction(254, 10)
    wanted = (Fraction(low) * scale, Fraction(high) * scale)
    forms = [
        f"{size} +{above} / -{below}",
        f"{size} +{above} -{below}",
        f"{size}+{above}/-{below} {unit}",
        f"Ø{size} -{below} / +{above}",
        f"{low}-{high}",
        f"{high}/{low}",
        f"{low} to {high} {unit}",
        f"{size} {unit} +{above} {unit} / -{below} {unit}",
    ]
    if above == below:
        forms += [f"{size} ±{above}", f"{size} +/- {above}"]
    for form in forms:
        assert limits(parse_callout(form, unit)) == wanted, form
        assert limits(parse_callout(form.replace(".", ","), unit)) == wanted, form


@given(st.integers(1, 500_000), st.sampled_from(LETTERS), st.sampled_from(tuple(TOLERANCE_UM)))
def test_a_metric_class_has_the_tables_limits(micrometres: int, letter: str, grade: str) -> None:
    size = Decimal(micrometres).scaleb(-3)
    try:
        callout = parse_callout(f"{size:f} {letter}{grade}", "mm")
    except BorewrightError:
        try:
            lower, _ = hole_deviations_um(size, letter, grade)
        except NotHeldError:
            return
        assert size + lower / 1000 <= 0
        return
    lower, upper = hole_deviations_um(size, letter, grade)
    assert limits(callout) == (Fraction(size) + Fraction(lower) / 1000, Fraction(size) + Fraction(upper) / 1000)
    assert callout.mid.exact_mm * 2 == sum(limits(callout))
    assert callout.tolerance.exact_mm == Fraction(upper - lower) / 1000


@given(st.integers(100, 9850), st.sampled_from(("H5", "H6", "H7", "H8", *HOLE_OF_FIT)))
def test_an_inch_hole_starts_at_its_size(thou: int, designation: str) -> None:
    size = Decimal(thou).scaleb(-3)
    callout = parse_callout(f"{size:f} in {designation}")
    assert size <= STEPS_IN[-1]
    assert callout.lower.value == size
    assert callout.upper.value > size
    assert callout.unit == "in"


@given(st.one_of(st.text(max_size=40), st.text(alphabet=alphabet, max_size=24)), st.sampled_from([None, "mm", "in"]))
def test_any_text_is_read_or_refused_in_our_own_words(text: str, unit: Unit | None) -> None:
    refused = refusal(lambda: parse_callout(text, unit))
    if refused:
        assert refused.wrong
        assert refused.right
        return
    callout = parse_callout(text, unit)
    assert 0 < callout.lower.exact_mm < callout.upper.exact_mm
    again = parse_callout(f"{callout.lower} to {callout.upper}")
    assert limits(again) == limits(callout)


@given(sizes, parts, parts, st.sampled_from(["+", "-"]), st.integers(1, 160))
def test_the_picture_fits_and_is_plain(size: str, one: str, two: str, sign: str, width: int) -> None:
    first, second = sorted((Decimal(one), Decimal(two)))
    if first == second:
        return
    callout = parse_callout(f"{size} {sign}{first} {sign}{second}", "mm")
    picture = limits_picture(callout, width)
    assert picture.isascii()
    for line in picture.splitlines():
        assert len(line) <= max(width, 48)
        assert line == line.rstrip()
    for length in (callout.lower, callout.mid, callout.upper):
        assert f"{length.value:f}" in picture
    assert f"nominal {size}" in picture
