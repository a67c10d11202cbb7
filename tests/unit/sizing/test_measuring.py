"""What a setting of the gauge, its master and its study say: shares of one error, told or assumed."""

from __future__ import annotations

import math

import pytest

from borewright.errors import EntryError
from borewright.sizing.gaussian import State
from borewright.sizing.judging import judge
from borewright.sizing.measuring import Master, master_growth, setting_sd, shares
from tests.unit.sizing.plain import Entry, bore, readings, setting, temperature

PASS: Entry = {"event": "passed"}
ASSUMED = {"step": "0.001 mm"}
"""A gauge of which nobody said how a setting errs: 1 µm."""


def set_on(u: str | None, size: str = "40.0003 mm", **more: str) -> Entry:
    return {"event": "set_on", "size": size, **({} if u is None else {"master_u": u}), **more}


def test_without_a_certificate_master_and_setting_bring_half_each() -> None:
    assert shares(bore().model, None) == pytest.approx((0.001 * math.sqrt(0.5), 0.001 * math.sqrt(0.5)))
    assert setting_sd(bore().model, None) == 0.001


def test_a_certificate_sets_the_masters_share_and_leaves_the_settings_own() -> None:
    model = bore(gauge=ASSUMED).model
    assert shares(model, 0.0004) == pytest.approx((0.001 * math.sqrt(0.5), 0.0004))
    assert shares(model, 0.002) == pytest.approx((0.001 * math.sqrt(0.5), 0.002))


def test_a_typed_error_of_the_whole_setting_stays_as_wide_as_it_was_typed() -> None:
    model = bore().model
    assert setting_sd(model, 0.0004) == pytest.approx(0.001)
    assert setting_sd(model, 0.002) == pytest.approx(math.hypot(0.002, 0.001 * math.sqrt(0.5)))


def test_the_belief_takes_the_certificate() -> None:
    """The gauge's error is as wide as master and setting make it, and a re-check sees the setting's own alone."""
    told = bore(set_on("0.3 µm"), gauge=ASSUMED)
    assert told.belief.now.sd(State.GAUGE) == pytest.approx(math.hypot(0.0003, 0.001 * math.sqrt(0.5)))
    often = bore(set_on("0.3 µm"), *[{"event": "rechecked", "size": "40 mm", "as_read": "40 mm"}] * 400, gauge=ASSUMED)
    assert often.belief.now.sd(State.GAUGE) == pytest.approx(0.0003, rel=0.03)
    assert often.belief.gauge_told(often.model)[1] == pytest.approx(often.belief.now.sd(State.GAUGE), rel=1e-6)


def test_the_evidence_counts_one_masters_error_once_over_several_settings() -> None:
    def master_part(*sizes: str) -> float:
        worked = bore(*setting(39.97), PASS, temperature(20.0))
        for size in sizes:
            worked.record(set_on("0.9 µm", size))
            for entry in readings([40.0, 40.001]):
                worked.record(entry)
        judged = judge(worked.belief, worked.model, worked.rule)
        assert judged is not None
        return dict(judged.size.parts_mm)["size of the master"]

    assert master_part("40.0003 mm", "40.0003 mm") == pytest.approx(0.0009)
    assert master_part("40.0003 mm", "39.9991 mm") == pytest.approx(0.0009 / math.sqrt(2.0))


def test_a_warm_ring_grows_as_what_it_is_made_of() -> None:
    model = bore().model
    steel, carbide = (master_growth(model, Master(celsius=25.0, material=each)) for each in (None, "carbide"))
    assert steel[0] == pytest.approx(40.0 * 11.5e-6 * 5.0)
    assert carbide[0] == pytest.approx(40.0 * 5.0e-6 * 5.0)
    assert carbide[1] > 40.0 * 5.0e-6 * 0.4
    worked = bore(set_on(None, celsius="25", master_material="carbide"))
    assert worked.belief.now.at(State.GAUGE) == pytest.approx(-carbide[0])


def test_a_master_that_nobody_could_use_is_refused() -> None:
    with pytest.raises(EntryError, match="known that badly") as refused:
        bore(set_on("0.4 mm"))
    assert refused.value.where == "master_u"


def test_a_study_counts_where_the_start_gives_no_scatter_and_its_freedom_widens_the_coverage() -> None:
    study: Entry = {"event": "studied", "scatter": "0.002 mm", "dof": 4}
    worked = bore(study, *setting(39.97), PASS, temperature(20.0), *readings([40.0, 40.001]), gauge=ASSUMED)
    assert worked.belief.gauge_scatter_dof == 4.0
    judged = judge(worked.belief, worked.model, worked.rule)
    assert judged is not None
    scatter = dict(judged.size.parts_mm)["gauge scatter"]
    assert judged.size.dof == pytest.approx(4.0 * (judged.size.u_mm / scatter) ** 4)
    assert judged.size.factor > 2.0
