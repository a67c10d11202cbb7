"""Plain bores for tests of sizing: one on a dial, one on a readout, one on an offset, and what is recorded of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from borewright.gauging.conformity import Rule
from borewright.sizing.bore import Bore
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import State
from borewright.sizing.model import Model
from borewright.sizing.outlook import Outlook
from borewright.sizing.priors import Priors

Entry = Mapping[str, object]

DIAL: Mapping[str, object] = {"kind": "dial", "line": "0.002 mm", "on": "diameter", "lines_per_turn": 100}
DIRECT: Mapping[str, object] = {"kind": "direct", "step": "0.001 mm", "on": "diameter", "zeroed": "locked"}
OFFSET: Mapping[str, object] = {"kind": "offset", "step": "0.001 mm", "on": "diameter"}
ADJUSTERS = {"dial": DIAL, "direct": DIRECT, "offset": OFFSET}

TOLD: Mapping[str, object] = {
    "callout": "40 ±0.008 mm",
    "hole": {"size": "39.4 mm", "within": "0.016 mm"},
    "adjuster": DIAL,
    "gauge": {"step": "0.001 mm", "scatter": "0.0012 mm", "bias": "0.001 mm"},
    "push_off": {"guess": "0.02 mm", "at": "0.25 mm", "factor": "1.5"},
    "material": "carbon steel",
    "temperature": {"within": "0.4", "spread": "1"},
    "tool": {"bench": "0.004 mm", "seat": "0.004 mm"},
}


def bore(*entries: Entry, **changed: object) -> Bore:
    """Start a bore of 40 mm on a dial, less what is changed, and record entries on it.

    Args:
        entries: what happened.
        changed: fields of the start that differ.

    Returns:
        The bore.
    """
    started = Bore.start({**TOLD, **changed})
    for entry in entries:
        started.record(entry)
    return started


def setting(diameter_mm: float) -> tuple[Entry, Entry]:
    """The tool is set and put into the spindle."""
    return {"event": "set", "diameter": mm(diameter_mm)}, {"event": "seated"}


def read(as_read_mm: float) -> Entry:
    """The gauge is read."""
    return {"event": "read", "as_read": mm(as_read_mm)}


def readings(values_mm: Iterable[float]) -> tuple[Entry, ...]:
    """The gauge is read several times."""
    return tuple(read(value) for value in values_mm)


def temperature(celsius: float, when: str | None = None) -> Entry:
    """The part's temperature is taken."""
    taken = {"event": "temperature", "of": "part", "celsius": f"{celsius:.1f}"}
    return taken if when is None else {**taken, "when": when}


def mm(value: float) -> str:
    """Write a length down to a tenth of a micrometre."""
    return f"{value:.4f} mm"


def expected_reading_mm(of: Bore) -> float:
    """What the gauge is expected to show, mm."""
    now = of.belief.now
    state = State.TRIAL if of.belief.after_trial else State.HOLE
    return now.at(state) + now.at(State.GAUGE) + of.model.growth * now.at(State.WARMTH)


def with_widths(model: Model, **widths: float) -> Model:
    """Return a model with other widths of its priors.

    Args:
        model: the model.
        widths: for names of priors, another width.

    Returns:
        The model.
    """
    changed = {name: replace(getattr(model.priors, name), width=width) for name, width in widths.items()}
    return replace(model, priors=replace(model.priors, **changed))


def with_values(model: Model, **values: float) -> Model:
    """Return a model with other values of its priors.

    Args:
        model: the model.
        values: for names of priors, another value.

    Returns:
        The model.
    """
    changed = {name: replace(getattr(model.priors, name), value=value) for name, value in values.items()}
    return replace(model, priors=replace(model.priors, **changed))


def without_widths(model: Model, *but: str) -> Model:
    """Return a model of which all is known exactly.

    Args:
        model: the model.
        but: names of priors that keep their width.

    Returns:
        The model.
    """
    names = (name for name in Priors.__dataclass_fields__ if name not in but)
    return with_widths(model, **dict.fromkeys(names, 0.0))


def outlook_for(model: Model, *, tool_set: bool = True) -> Outlook:
    """An outlook on a bore with a gauge of 1.2 µm and nothing that holds a move back."""
    form = model.form_mm
    return Outlook(
        model=model,
        costs=Costs(),
        rule=Rule("proof"),
        scatter_mm=0.0012,
        thermometer=True,
        tool_set=tool_set,
        form_mm=form,
        u_release_mm=0.0014,
        known_mm=0.0,
        accepted=(model.lower_mm + form + 0.0024, model.upper_mm - form - 0.0024),
        accepted_at_once=(model.lower_mm + form + 0.0024, model.upper_mm - form - 0.0024),
    )
