"""A measurement in a file."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from borewright.errors import EntryError
from borewright.exchange.measurements import measurement_of, read_measurement

WHOLE: dict[str, Any] = {
    "unit": "mm",
    "callout": "50 H6",
    "day": "2027-02-01",
    "gauge": {
        "instrument": "dial bore gauge",
        "needle": "minus",
        "step": "0.001",
        "travel": "0.5",
        "scatter": "0.0009",
        "dof": 24,
    },
    "master": {"size": "50.0012", "expanded": "0.001", "due": "2027-03-01", "celsius": "20.5"},
    "part": {"material": "grey iron", "celsius": "23"},
    "reading": [
        {"shown": "-0.006", "depth": "5", "direction_deg": "0"},
        {"shown": "-0.008", "depth": "5", "direction_deg": "90"},
    ],
}


def changed(**fields: Any) -> dict[str, Any]:  # noqa: ANN401  # any value that a file may hold
    """The whole with some fields changed, ``a__b`` for one inside another; None leaves it out."""
    given = copy.deepcopy(WHOLE)
    for name, value in fields.items():
        *outer, last = name.split("__")
        place = given
        for each in outer:
            place = place[each]
        if value is None:
            del place[last]
        else:
            place[last] = value
    return given


AIR: dict[str, Any] = {
    "size": "49.990",
    "expanded": "0.0008",
    "shown": "-0.020",
    "second": {"size": "50.010", "expanded": "0.0006", "shown": "0.020"},
}


def air(**fields: object) -> dict[str, Any]:
    """The whole taken with an air gauge on two masters."""
    master = {name: value for name, value in {**AIR, **fields}.items() if value is not None}
    return changed(gauge__instrument="air gauge", master=master, reading=[{"shown": "0.008"}, {"shown": "0.004"}])


def test_needle_master_and_warmth_make_the_size() -> None:
    measured = measurement_of(WHOLE)
    size = measured.comparison.budget().size_mm
    by_hand = (50.0012 * (1.0 + 11.5e-6 * 0.5) + 0.007) / (1.0 + 10.8e-6 * 3.0)
    assert size == pytest.approx(by_hand, abs=1e-7)
    assert [each.mm - size for each in measured.placed] == pytest.approx([-0.001, 0.001])
    assert measured.comparison.u_master_mm == pytest.approx(0.0005)
    assert measured.assumed == (
        "The gauge was read once on its master when it was set.",
        "The gauge is as warm in the bore as on its master, within 0.5 K.",
        "The rule: proof at 95 %, since order and drawing were not said to name one.",
    )


def test_what_nobody_said_is_assumed_and_said() -> None:
    measured = measurement_of(
        changed(
            master__expanded=None,
            master__due=None,
            master__ring_class="XX",
            master__celsius=None,
            part=None,
            gauge__scatter=None,
            gauge__dof=None,
        )
    )
    assert [words.split(":")[0] for words in measured.assumed] == [
        "The ring lies anywhere in class XX",
        "The gauge's scatter",
        "The part is at 20 °C within 2 K",
        "The gauge was read once on its master when it was set.",
        "The gauge is as warm in the bore as on its master, within 0.5 K.",
        "The rule",
    ]
    told = measurement_of(WHOLE).comparison.budget().u_mm
    assert measured.comparison.budget().u_mm > told


def test_an_instrument_with_a_scale_is_its_own_master() -> None:
    given = changed(
        gauge__instrument="two-point inside micrometer",
        gauge__needle=None,
        master={"limit": "0.003"},
        reading=[{"shown": "50.006"}, {"shown": "50.008"}, {"shown": "50.007"}],
    )
    comparison = measurement_of(given).comparison
    assert comparison.master_mm == pytest.approx(50.007)
    assert comparison.over_mm == 0.0
    assert comparison.master_readings == 0
    assert comparison.others[0].name == "feel"


def test_a_scale_is_known_by_its_certificate_or_by_its_largest_error() -> None:
    def known(**master: str) -> float:
        given = changed(gauge__instrument="coordinate measuring machine", master=master, reading=[{"shown": "50.006"}])
        return measurement_of(given).comparison.u_master_mm

    assert known(expanded="0.0012") == pytest.approx(0.0006)
    assert known(expanded="0.0012", factor="3") == pytest.approx(0.0004)
    assert known(limit="0.0015") == pytest.approx(0.0015 / 3.0**0.5)
    assert known(limit="0.0015", grows="0.003") == pytest.approx((0.0015 + 0.003 * 0.050006) / 3.0**0.5)


def test_a_stack_of_blocks_is_its_sum_and_each_blocks_doubt() -> None:
    blocks = [{"size": "49", "expanded": "0.00012"}, {"size": "1.0012", "expanded": "0.0001"}]
    measured = measurement_of(changed(master__size=None, master__expanded=None, master__due=None, master__block=blocks))
    assert measured.comparison.master_mm == pytest.approx(50.0012)
    by_hand = (0.00006**2 + 0.00005**2 + 3.0 * 0.00003**2 + 0.0003**2) ** 0.5
    assert measured.comparison.u_master_mm == pytest.approx(by_hand)
    assert "jaws" in measured.assumed[0]


def test_anvils_are_known_by_their_micrometer() -> None:
    given = changed(master__expanded=None, master__due=None, master__limit="0.002", master__parallel="0.0006")
    by_hand = (0.002**2 / 3.0 + 0.001**2 / 12.0 + 0.0003**2 / 3.0) ** 0.5
    assert measurement_of(given).comparison.u_master_mm == pytest.approx(by_hand)
    given = changed(master__expanded=None, master__due=None, master__limit="0.002")
    assert "out of parallel" in measurement_of(given).assumed[0]


def test_air_is_read_off_the_line_of_its_two_masters() -> None:
    measured = measurement_of(air())
    comparison = measured.comparison
    assert comparison.master_mm + comparison.over_mm == pytest.approx(50.003)
    assert comparison.u_master_mm == pytest.approx(((0.35 * 0.0004) ** 2 + (0.65 * 0.0003) ** 2) ** 0.5)
    assert measured.placed[0].mm - measured.placed[1].mm == pytest.approx(0.002)
    turned = air(size="50.010", expanded="0.0006", shown="0.020", second={**AIR, "second": None})
    del turned["master"]["second"]["second"]
    assert measurement_of(turned).comparison.over_mm == pytest.approx(comparison.over_mm)


@pytest.mark.parametrize(
    ("given", "where", "says"),
    [
        (changed(reading=[]), "reading", "no reading"),
        (changed(gauge__needle=None), "gauge.needle", "which way its needle goes"),
        (changed(gauge__needle="left"), "gauge.needle", "not one of the choices"),
        (changed(reading=[{"shown": "0.6"}]), "reading[0].shown", "travels"),
        (changed(reading=[{"shown": "-6 in"}]), "reading[0].shown", "travels"),
        (changed(master__size="60.0012"), "master.size", "far from the size asked"),
        (changed(reading=[{"shown": "-2.1"}], gauge__travel=None), "reading[0].shown", "seldom goes further"),
        (changed(master__expanded="0.00009"), "master.expanded", "No laboratory"),
        (changed(gauge__off="26"), "off", "outside the bore"),
        (
            changed(gauge__instrument="telescoping gauge", master={"limit": "0.003"}, reading=[{"shown": "1.9685"}]),
            "reading[0].shown",
            "reading is far from the size asked",
        ),
        (changed(master__block=[{"size": "49.99", "expanded": "0.0001"}]), "master.size", "do not add up"),
        (changed(master__second=AIR["second"]), "master.second", "Only an air gauge"),
        (air(shown=None), "master.shown", "first master"),
        (air(second={**AIR["second"], "shown": "-0.020"}), "masters", "two masters that differ"),
        (changed(master__size=None), "master.size", "size is missing"),
        (changed(master__expanded=None), "master.expanded", "How well the master is known"),
        (changed(day="2027-03-02"), "due", "was due on 2027-03-01"),
        (changed(part__celsius="230"), "part.celsius", "not a temperature"),
        (changed(part__celsius="68"), "part.celsius", "that hot"),
        (changed(master__celsius="-20.5"), "master.celsius", "that cold"),
        (changed(part__celsius="23 K"), "part.celsius", "Kelvin is not used"),
        (
            changed(gauge__instrument="coordinate measuring machine", master={}, reading=[{"shown": "50.006"}]),
            "master.limit",
            "largest error is missing",
        ),
        (
            changed(gauge__instrument="coordinate measuring machine", master={"limit": "0.002"}),
            "reading[0].shown",
            "shows a size",
        ),
    ],
)
def test_what_cannot_be_is_said_where_it_stands(given: dict[str, Any], where: str, says: str) -> None:
    with pytest.raises(EntryError, match=says) as caught:
        measurement_of(given)
    assert caught.value.where == where
    assert caught.value.right


def test_a_file_is_read_and_one_that_cannot_be_is_told(tmp_path: Path) -> None:
    file = tmp_path / "m.toml"
    file.write_text('unit = "mm"\ncallout = "50 H6"\n[gauge]\ninstrument = "dial bore gauge"\nstep = 0.001\n', "utf-8")
    with pytest.raises(EntryError, match="missing"):
        read_measurement(file)
    file.write_text("unit = mm\n", "utf-8")
    with pytest.raises(EntryError):
        read_measurement(file)
    with pytest.raises(EntryError, match="cannot be read"):
        read_measurement(tmp_path / "other.toml")


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        ({"name": "proof", "confidence": "0.99"}, "proof at 99 %"),
        ({"name": "simple"}, "simple acceptance, measurement capable 4:1"),
        ({"name": "guarded", "bands": "0.5"}, "guarded by 0.5 U"),
    ],
)
def test_a_rule_is_taken_by_name(rule: dict[str, str], text: str) -> None:
    assert measurement_of(changed(rule=rule)).rule.text == text
