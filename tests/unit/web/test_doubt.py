"""What is said of a reading that does not fit, before it counts."""

from __future__ import annotations

from borewright.sizing.bore import Bore
from borewright.web.doubt import READ_AGAIN, doubts_said, expected_reading
from tests.unit.sizing.plain import bore, expected_reading_mm, read, setting

CUT = (*setting(39.75), {"event": "passed", "depth": "full"})


def said(of: Bore, mm: float) -> tuple[str, ...]:
    told = of.twin()
    return doubts_said(of, told, told.record(read(mm)))


def test_a_reading_that_fits_is_let_be() -> None:
    of = bore(*CUT)
    assert said(of, expected_reading_mm(of)) == ()


def test_one_that_does_not_is_read_again_and_no_cause_is_guessed() -> None:
    of = bore(*CUT)
    low, high = expected_reading(of.belief, of.model)
    assert low < expected_reading_mm(of) < high
    far = high + 0.03
    (words,) = said(of, far)
    assert words == f"{far:.4f} mm does not fit (expected {low:.3f} to {high:.3f}). {READ_AGAIN}"


def test_the_interval_is_a_readings_own_and_holds_what_it_scatters() -> None:
    of = bore(*CUT)
    low, high = expected_reading(of.belief, of.model)
    before = high - low
    of.record(read(expected_reading_mm(of)))
    low, high = expected_reading(of.belief, of.model)
    scatter = 2 * 1.96 * of.model.reading_variance(of.belief.gauge_scatter_mm) ** 0.5
    assert scatter < high - low < before


def test_inches_are_answered_in_inches() -> None:
    of = bore(*CUT)
    told = of.twin()
    inches = (expected_reading_mm(of) + 0.05) / 25.4
    (words,) = doubts_said(of, told, told.record({"event": "read", "as_read": f"{inches:.4f} in"}))
    assert words.startswith(f"{inches:.4f} in does not fit (expected 1.56")


def test_readings_that_do_not_agree_yet_are_read_again_too() -> None:
    of = bore(*CUT)
    fits = expected_reading_mm(of)
    for off in (0.0, 0.012):
        of.record(read(fits + off))
    words = said(of, fits + 0.006)
    assert all(READ_AGAIN in one for one in words)


def test_what_is_no_reading_keeps_its_own_warning() -> None:
    of = bore()
    told = of.twin()
    (words,) = doubts_said(of, told, told.record({"event": "set", "diameter": "40.02 mm"}))
    assert "over the upper limit" in words


def test_one_that_lies_where_it_was_expected_is_let_be_while_the_meaning_of_the_figures_is_open() -> None:
    of = Bore.start(
        {
            "callout": "28 H6",
            "unit": "mm",
            "hole": "27.812",
            "gauge": {"step": "0.001"},
            "adjuster": {"kind": "dial", "line": "0.002", "on": "not known"},
            "push_off": {"guess": "0.018"},
            "tool": {"cut_hole": {}},
        }
    )
    of.record({"event": "moved", "lines": "+22"})
    of.record({"event": "passed", "depth": "full"})
    for as_read in (27.903, 27.902):
        low, high = expected_reading(of.belief, of.model)
        assert low < as_read < high
        assert of.twin().record(read(as_read))["warnings"]
        assert said(of, as_read) == ()
        of.record(read(as_read))
        assert "does not fit" not in str(of.advise()["why"])
    for far in (27.862, 27.943):
        (words,) = said(of, far)
        assert words.startswith(f"{far:.4f} mm does not fit")
