"""A study's table, its design, and the sentence that it ends in."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.gauging.study import Design, Found, Study, design_for, interval_of_sd, scatter_by_person
from tests.unit.gauging.studies import drawn


def found(repeat: float, reproduce: float, gauge: float, parts: float) -> Found:
    return Found("average and range", repeat, reproduce, gauge, parts, 60.0, (0.0, 1.0), (0.0, 1.0))


def test_rows_become_a_table() -> None:
    rows = [(part, who, float(part) + trial) for part in "123" for who in "AB" for trial in (0.0, 0.5)]
    study = Study.from_rows(rows)
    assert study.readings_mm.shape == (3, 2, 2)
    assert study.trials == 2
    assert study.readings_mm[2, 1].tolist() == [3.0, 3.5]


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ([], "no reading"),
        ([("1", "A", 1.0), ("1", "A", 1.1), ("1", "B", 1.0)], "B measured part 1 1 times, others 2"),
        ([("1", "A", 1.0), ("2", "A", 1.1), ("1", "B", 1.0)], "B measured part 2 0 times"),
        ([("1", "A", 1.0), ("2", "A", 1.1)], "two parts, two people and two trials"),
    ],
)
def test_a_table_with_gaps_is_refused(rows: list[tuple[str, str, float]], says: str) -> None:
    with pytest.raises(EntryError, match=says):
        Study.from_rows(rows)


def test_a_missing_reading_is_refused() -> None:
    table = np.zeros((2, 2, 2))
    table[0, 0, 0] = np.nan
    with pytest.raises(EntryError, match="missing"):
        Study(("1", "2"), ("A", "B"), table)


def test_a_study_says_what_to_do() -> None:
    good, feel, gauge = (
        found(0.001, 0.001, 0.0014, 0.03),
        found(0.001, 0.004, 0.0041, 0.02),
        found(0.004, 0.001, 0.0041, 0.004),
    )
    assert good.what_to_do() == "The gauge takes 5% of the parts' own scatter: use it."
    assert "usable with care" in feel.what_to_do()
    assert "People differ more" in feel.what_to_do()
    assert "not fit for it" in gauge.what_to_do()
    assert "gauge itself scatters most" in gauge.what_to_do()
    assert "tolerance of 19 µm" in good.what_to_do(0.019)
    assert good.of_tolerance(0.019) == pytest.approx(6.0 * 0.0014 / 0.019)
    with pytest.raises(EntryError, match="larger than 0"):
        good.of_tolerance(0.0)


def test_categories_are_whole_and_at_least_one() -> None:
    assert found(0.001, 0.0, 0.001, 0.0036).categories == 5
    assert found(0.01, 0.0, 0.01, 0.001).categories == 1


def test_interval_of_a_scatter_covers() -> None:
    rng = np.random.default_rng(8)
    held = 0
    for _ in range(2000):
        low, high = interval_of_sd(float(rng.normal(0.0, 1.0, 9).std(ddof=1)), 8.0)
        held += low <= 1.0 <= high
    assert held / 2000 == pytest.approx(0.95, abs=0.02)


def test_a_design_is_as_narrow_as_asked() -> None:
    design = design_for(1.5)
    assert design.repeatability_width <= 1.5
    assert Design(design.parts - 1, 3, 3).repeatability_width > 1.5
    assert design.readings == design.parts * 9
    assert design.people_width > 5.0
    with pytest.raises(EntryError, match="hundred parts"):
        design_for(1.01)
    with pytest.raises(EntryError, match="two parts"):
        Design(1, 3, 3)


def test_an_order_holds_every_reading_once_and_shuffles_parts() -> None:
    order = Design(10, 3, 2).order(np.random.default_rng(2))
    assert len(set(order)) == len(order) == 60
    assert [part for trial, who, part in order[:10]] != list(range(1, 11))
    assert order == Design(10, 3, 2).order(np.random.default_rng(2))


def test_scatter_by_person_finds_the_one_who_scatters() -> None:
    study = drawn(np.random.default_rng(1), 0.02, 0.0, 0.0, 0.001)
    study.readings_mm[:, 1, :] += np.random.default_rng(2).normal(0.0, 0.005, (10, 3))
    scatters = scatter_by_person(study)
    assert max(scatters, key=lambda who: scatters[who]) == "B"
