"""The simulated machine: acts as at a real one, and a truth that only a look behind the curtain shows.

It shares nothing with the belief it is there to test, and differs from it in form. Fortune depends on the seed, the act
and its own count alone, so the same acts in the same order always give the same machine (see ``chance``).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal

from borewright.errors import EntryError, OutOfTurnError
from borewright.rehearsal.acts import ACTS, Act, Mishap, Place, Shown, Verdict
from borewright.rehearsal.chance import SEEDS, Chance
from borewright.rehearsal.gauge import written_down
from borewright.rehearsal.hidden import UM, build_slide, build_warmth, draw_bore, draw_tool, oval
from borewright.rehearsal.kinds import Kind
from borewright.rehearsal.pushoff import REFERENCE_MM, bite, set_in_the_part
from borewright.rehearsal.told import Told


class Truth:
    """One bore on a simulated machine. Make it with ``Truth.draw``.

    Args:
        kind: the kind of job.
        seed: the seed of the bore and of every chance in it.
        tool_seed: the seed of the tool's constants.
    """

    def __init__(self, kind: Kind, seed: int, tool_seed: int) -> None:
        self.kind = kind
        self.seed = seed
        self.tool_seed = tool_seed
        self.tool = draw_tool(kind, tool_seed)
        self.bore = draw_bore(kind, seed)
        self.acts: list[Act] = []
        self.mishaps: list[Mishap] = []
        self._chance = Chance(seed)
        self._slide = build_slide(kind, self.tool)
        self._warmth = build_warmth(kind, self.bore)
        self._hole_mm = self.bore.hole_mm
        self._oval_mm = self.bore.oval_mm
        self._mouth_mm = self._hole_mm
        self._mouth_large_mm = 0.0
        self._last_cut: Place = "hole"
        self._hardened = False
        self._just_cut = False
        self._cut_celsius: float | None = None
        self._cut_occasion = 0
        self._base_mm: float | None = None
        self._seat_mm: float | None = None
        self._edge_mm = 0.0
        self._gauge_mm = 0.0
        self._set_gauge()

    @classmethod
    def draw(cls, kind: Kind, seed: int, tool_seed: int | None = None) -> Truth:
        """Draw a bore, and the tool that is to cut it.

        Args:
            kind: the kind of job.
            seed: a whole number from 0 to 2^64 - 1.
            tool_seed: the same for several seeds gives several bores cut with one tool; without it, ``seed``.

        Returns:
            The machine before the first act.

        Raises:
            EntryError: a seed is out of range.
        """
        tool = seed if tool_seed is None else tool_seed
        for given in (seed, tool):
            if not 0 <= given < SEEDS:
                right = "Give a whole number from 0 to 2^64 - 1."
                raise EntryError("A seed is a whole number of 64 bits.", given=given, right=right, where="seed")
        return cls(kind, seed, tool)

    @classmethod
    def replay(cls, kind: Kind, seed: int, acts: Iterable[Act], tool_seed: int | None = None) -> Truth:
        """Build a machine again from what was done on it.

        Args:
            kind: the kind of job.
            seed: the seed it was drawn with.
            acts: the acts in order, as its ``acts`` lists them.
            tool_seed: the tool's seed it was drawn with.

        Returns:
            A machine in exactly the same state.

        Raises:
            EntryError: an act is not one of ``ACTS``.
        """
        truth = cls.draw(kind, seed, tool_seed)
        for act in acts:
            if act.name not in ACTS:
                raise EntryError("There is no such act.", given=act.name, right=f"Acts are {', '.join(ACTS)}.")
            getattr(truth, act.name)(**act.given)
        return truth

    def told(self) -> Told:
        """Return what the player is told; it does not change with the acts.

        Returns:
            The facts a machinist would have, with their widths.
        """
        kind, common = self.kind, self.kind.common
        return Told(
            kind=kind.name,
            size_mm=kind.size_mm,
            lower_mm=self._lower_mm,
            upper_mm=self._upper_mm,
            material=kind.material,
            expansion_per_k=kind.expansion_per_k,
            adjuster=kind.adjuster,
            line_mm=kind.line_um * UM,
            lines_per_turn=kind.lines_per_turn,
            zeroed="locked" if kind.adjuster == "direct" else "",
            hole_mm=self.bore.told_hole_mm,
            hole_sd_mm=common.hole_known_um * UM,
            push_off_guess_mm=round(self.tool.push_off_guess_mm, 4),
            push_off_at_mm=REFERENCE_MM,
            push_off_log_sd=common.guess_log_sd,
            min_depth_mm=kind.min_depth_um * UM,
            gauge_step_mm=kind.gauge_step_um * UM,
            gauge_scatter_mm=kind.gauge_scatter_um * UM,
            gauge_bias_sd_mm=kind.gauge_bias_um * UM,
            bench_sd_mm=kind.bench_um * UM,
            seat_sd_mm=kind.seat_um * UM,
            warm_sd_k=kind.warm_k,
            thermometer_sd_k=common.thermometer_k,
        )

    # Acts.

    def set_tool(self, diameter_mm: float) -> float:
        """Take the tool to the bench, bring it to a diameter by opening, and lock it.

        The bench is watched until the lock is tight: what it then shows holds the lock shift.

        Args:
            diameter_mm: the diameter to set, mm.

        Returns:
            What the bench shows of the locked tool, mm. It must be seated before it can cut.

        Raises:
            EntryError: the diameter is not a positive number.
        """
        if not (math.isfinite(diameter_mm) and diameter_mm > 0.0):
            raise EntryError("A set diameter is more than nothing.", given=diameter_mm, where="diameter_mm")
        self._done("set_tool", diameter_mm=diameter_mm)
        common, draws = self.kind.common, self._chance.draw("set_tool")
        lock, left_over = self._lock_shift(draws.standard_gamma(4.0)), draws.normal(0.0, common.bench_set_um) * UM
        self._slide.set_at(diameter_mm - self.kind.size_mm, lock)
        self._base_mm = diameter_mm + left_over + lock - self._slide.at_rest_mm
        self._edge_mm = 0.0
        self._seat_mm = None
        shown = _to_step(self._base_mm + self._slide.at_rest_mm, common.bench_step_um * UM)
        self._slide.zero(shown)
        return shown

    def seat(self) -> None:
        """Put the tool into the spindle, or take it out and put it in again.

        Raises:
            OutOfTurnError: the tool was never set.
        """
        self._need_set("seated")
        self._done("seat")
        freedom = self.kind.common.seat_freedom
        unit = self._chance.draw("seat").standard_t(freedom) * math.sqrt((freedom - 2.0) / freedom)
        self._seat_mm = self.kind.seat_um * UM * float(unit)

    def move(
        self,
        lines: float | None = None,
        change_mm: float | None = None,
        to_mm: float | None = None,
        *,
        take_up: bool = True,
    ) -> Shown:
        """Unlock, turn or enter, lock.

        Args:
            lines: on a dial, lines to turn, opening positive; between lines by eye.
            change_mm: on a direct readout, how much further than after unlocking to turn; as an offset, what to enter,
                to its step; mm on the diameter, opening positive.
            to_mm: on a direct readout instead, the figure to turn to before locking, mm.
            take_up: whether backlash is taken up, so that the last approach is by opening, where the move closes or
                the one before ended by closing.

        Returns:
            What a direct readout showed.

        Raises:
            OutOfTurnError: the tool was never set.
            EntryError: the move is not given in this adjuster's own terms.
        """
        given = {"lines": lines, "change_mm": change_mm, "to_mm": to_mm}
        said = {name: value for name, value in given.items() if value is not None}
        allowed = {"dial": ("lines",), "direct": ("change_mm", "to_mm"), "offset": ("change_mm",)}[self.kind.adjuster]
        if len(said) != 1 or not set(said) <= set(allowed) or not all(map(math.isfinite, said.values())):
            right = f"On a {self.kind.adjuster} adjuster give {' or '.join(allowed)}."
            raise EntryError("The move is not in this adjuster's terms.", given=said, right=right, where="move")
        self._need_set("moved")
        self._done("move", **said, take_up=take_up)
        draws = self._chance.draw("move")
        lock = self._lock_shift(draws.standard_gamma(4.0))
        left_over, miscounted, sense = draws.random(3).tolist()
        eye = float(draws.standard_normal())
        slide, step = self._slide, self.kind.line_um * UM
        before = self._seen()
        slide.unlock()
        freed = self._seen()
        if lines is not None:
            by = lines + (self.kind.common.split_lines * eye if lines != round(lines) else 0.0)
            if miscounted < self.kind.common.miscount:
                by += 1.0 if sense < 0.5 else -1.0
                self._mishap("a line miscounted")
            slide.turn(by * step, take_up=take_up)
        elif self.kind.adjuster == "offset":
            slide.turn(_to_step(change_mm or 0.0, step), take_up=take_up)
        else:
            target = to_mm if to_mm is not None else (freed or 0.0) + (change_mm or 0.0)
            slide.turn_until(_to_step(target, step) + (left_over - 0.5) * step, take_up=take_up)
        unlocked = self._seen()
        slide.lock(lock)
        return Shown(unlocked, self._seen(), before, freed)

    def cut(self, depth: Literal["full", "trial"] = "full") -> None:
        """Cut through the bore, or only the mouth as deep as its chamfer will remove.

        Args:
            depth: ``full`` or ``trial``.

        Raises:
            OutOfTurnError: the tool is not in the spindle.
            EntryError: the depth is neither.
        """
        if depth not in {"full", "trial"}:
            raise EntryError("A cut is full or trial.", given=depth, right="Give full or trial.", where="depth")
        if self._seat_mm is None:
            raise OutOfTurnError("The tool is not in the spindle.", right="Set it, then seat it.", where="cut")
        self._done("cut", depth=depth)
        common, trial = self.kind.common, depth == "trial"
        draws = self._chance.draw("trial" if trial else "cut")
        scatter, mouth, warm = draws.standard_normal(3).tolist()
        rubbed, built_up = draws.random(2).tolist()
        fresh = oval(common.ovality_um * UM, draws)

        self._warmth.pass_on(warm)
        self._slide.bear()
        before = self._mouth_mm if trial else self._hole_mm
        traced = set_in_the_part(self.tool_mm, self.kind.expansion_per_k, self._warmth.celsius)
        depth_set = traced - before
        push_off = self.tool.push_off
        least = self.kind.min_depth_um * UM * (common.hardened if self._hardened else 1.0)
        chip = push_off.taken(depth_set)
        share = bite(depth_set, least, rubbed) if chip > 0.0 else 0.0
        taken = 0.0
        if share > 0.0:
            taken = chip + scatter * (common.pass_um * UM + common.pass_share * (depth_set - chip))
            if built_up < common.built_up_edge:
                taken += common.built_up_um * UM
                self._mishap("a built-up edge cut large")
        if share < 1.0:
            self._mishap("the edge rubbed")
        after = before + max(0.0, share * taken)
        if trial:
            self._mouth_large_mm = abs(mouth) * common.mouth_um * UM
        else:
            copied = 1.0 - share * (1.0 - push_off.copied(depth_set))
            self._oval_mm = (
                copied * self._oval_mm[0] + share * fresh[0],
                copied * self._oval_mm[1] + share * fresh[1],
            )
            self._hole_mm = after
            self._hardened = share < 1.0
            self._edge_mm -= common.wear_um * UM
        self._mouth_mm = max(self._mouth_mm, after)
        self._last_cut = "mouth" if trial else "hole"
        self._just_cut = True
        self._cut_celsius, self._cut_occasion = self._warmth.celsius, self._warmth.occasion

    def read(self, direction_deg: float = 0.0, place: Place | None = None) -> float:
        """Gauge the bore, as it is: warm, with the gauge's bias, and what is written down may be a blunder.

        Args:
            direction_deg: which way across, degrees.
            place: ``hole`` at mid depth or ``mouth``; without it, the mouth after a trial cut and else the hole.

        Returns:
            What was written down, mm, a multiple of the gauge's step.
        """
        self._done("read", direction_deg=direction_deg, place=place)
        return self._gauge(direction_deg, place or self._last_cut)

    def check_hole(self, direction_deg: float = 0.0) -> float:
        """Gauge the hole before its first pass.

        Args:
            direction_deg: which way across, degrees.

        Returns:
            What was written down, mm, a multiple of the gauge's step.
        """
        self._done("check_hole", direction_deg=direction_deg)
        return self._gauge(direction_deg, "hole")

    def part_celsius(self, when: Literal["cut", "reading"] = "reading") -> float:
        """Take the part's temperature; again on the same occasion, the thermometer errs alike.

        Args:
            when: ``cut`` for what was taken right after the last cut, ``reading`` for now, as the bore is gauged.

        Returns:
            What the thermometer shows, °C, to a tenth.

        Raises:
            EntryError: the occasion is neither.
            OutOfTurnError: nothing was cut.
        """
        if when not in {"cut", "reading"}:
            raise EntryError("A temperature is of the cut or the reading.", given=when, where="when")
        if when == "cut" and self._cut_celsius is None:
            raise OutOfTurnError("Nothing was cut.", right="Cut first.", where="when")
        self._done("part_celsius", when=when)
        if when == "cut":
            assert self._cut_celsius is not None
            return self._thermometer(self._cut_celsius, self._cut_occasion)
        self._come_to_reading()
        return self._thermometer(self._warmth.celsius, self._warmth.occasion)

    def set_gauge(self) -> None:
        """Set the gauge on its ring again: its bias is another from now on."""
        self._done("set_gauge")
        self._set_gauge()

    def wait(self) -> None:
        """Wait until most of the part's distance from 20 °C is gone."""
        self._done("wait")
        self._come_to_reading()
        self._warmth.settle(self.kind.common.settled)

    def change_edge(self) -> None:
        """Index or change the edge: what it had worn is back, and the tool's diameter is another."""
        self._done("change_edge")
        self._edge_mm = self.tool.edge_change_mm * float(self._chance.draw("change_edge").standard_normal())

    @property
    def readout_mm(self) -> float | None:
        """Return what a direct readout shows now, which anyone at the machine can see; None for the other adjusters."""
        return self._seen()

    # Behind the curtain: for proof and for the talk afterwards, never for whoever is sizing the bore.

    @property
    def hole_mm(self) -> float:
        """Return the hole's mean diameter at 20 °C, mm."""
        return self._hole_mm

    @property
    def ovality_mm(self) -> float:
        """Return the hole's largest less its smallest diameter, mm."""
        return math.hypot(*self._oval_mm)

    @property
    def largest_mm(self) -> float:
        """Return the hole's largest diameter at 20 °C, mm."""
        return self._hole_mm + 0.5 * self.ovality_mm

    @property
    def smallest_mm(self) -> float:
        """Return the hole's smallest diameter at 20 °C, mm."""
        return self._hole_mm - 0.5 * self.ovality_mm

    @property
    def mouth_mm(self) -> float:
        """Return the diameter a trial cut left at the mouth, at 20 °C, mm."""
        return self._mouth_mm

    @property
    def seated(self) -> bool:
        """Return whether the tool is in the spindle."""
        return self._base_mm is not None and self._seat_mm is not None

    @property
    def tool_mm(self) -> float:
        """Return the tool's diameter in the spindle, locked and at rest, mm.

        Raises:
            OutOfTurnError: the tool is not in the spindle.
        """
        if self._base_mm is None or self._seat_mm is None:
            raise OutOfTurnError("The tool is not in the spindle.", right="Set it, then seat it.", where="tool")
        return self._base_mm + self._slide.at_rest_mm + self.tool.bench_mm + self._seat_mm + self._edge_mm

    @property
    def slack_mm(self) -> float:
        """Return how far the slide stands off the screw's opening flank, mm; below nothing where it stuck."""
        return self._slide.slack_mm

    @property
    def celsius(self) -> float:
        """Return the part's temperature at the last act, °C."""
        return self._warmth.celsius

    @property
    def gauge_bias_mm(self) -> float:
        """Return the bias of the gauge's present setting, mm."""
        return self._gauge_mm

    def verdict(self) -> Verdict:
        """Judge the whole hole, form and all, at 20 °C.

        Returns:
            ``good`` within the limits, else ``over`` where any of it is above, else ``under``.
        """
        if self.largest_mm > self._upper_mm:
            return "over"
        return "under" if self.smallest_mm < self._lower_mm else "good"

    @property
    def _lower_mm(self) -> float:
        return round(self.kind.size_mm - self.kind.tolerance_um * UM, 6)

    @property
    def _upper_mm(self) -> float:
        return round(self.kind.size_mm + self.kind.tolerance_um * UM, 6)

    def _done(self, name: str, **given: object) -> None:
        self.acts.append(Act(name, given))

    def _mishap(self, what: str) -> None:
        self.mishaps.append(Mishap(len(self.acts), what))

    def _need_set(self, what: str) -> None:
        if self._base_mm is None:
            raise OutOfTurnError(f"A tool that was never set cannot be {what}.", right="Set it.", where="tool")

    def _seen(self) -> float | None:
        if self.kind.adjuster != "direct":
            return None
        return _to_step(self._slide.readout_mm, self.kind.line_um * UM)

    def _lock_shift(self, gamma: float) -> float:
        """Turn a gamma draw of shape 4 (mean 4, deviation 2, skewness 1) into a lock shift."""
        scatter = self.tool.lock_sense * (gamma - 4.0) / 2.0
        return self.tool.lock_mean_mm + self.kind.common.lock_scatter_um * UM * scatter

    def _set_gauge(self) -> None:
        self._gauge_mm = self.kind.gauge_bias_um * UM * float(self._chance.draw("set_gauge").standard_normal())

    def _come_to_reading(self) -> None:
        if self._just_cut:
            self._warmth.pass_on(float(self._chance.draw("warmth").standard_normal()))
            self._just_cut = False

    def _thermometer(self, celsius: float, occasion: int) -> float:
        error = self.kind.common.thermometer_k * float(self._chance.at("thermometer", occasion).standard_normal())
        return round(celsius + error, 1)

    def _gauge(self, direction_deg: float, place: Place) -> float:
        self._come_to_reading()
        draws, step = self._chance.draw("read"), self.kind.gauge_step_um * UM
        size = self._mouth_mm + self._mouth_large_mm
        if place == "hole":
            twice = math.radians(2.0 * direction_deg)
            size = self._hole_mm + 0.5 * (self._oval_mm[0] * math.cos(twice) + self._oval_mm[1] * math.sin(twice))
        warm = size * (1.0 + self.kind.expansion_per_k * (self._warmth.celsius - 20.0))
        shown = warm + self._gauge_mm + self.kind.gauge_scatter_um * UM * float(draws.standard_normal())
        entry = written_down(round(shown / step), round(self.kind.size_mm / step), self.kind.common.misread, draws)
        if entry.blunder:
            self._mishap(f"misread: {entry.blunder}")
        return round(entry.counts * step, 9)


def _to_step(value_mm: float, step_mm: float) -> float:
    return round(round(value_mm / step_mm) * step_mm, 9)
