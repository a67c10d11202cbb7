"""Plans: what they are judged by, and what they never do."""

from __future__ import annotations

from borewright.gauging.conformity import Rule
from borewright.sizing.costs import Costs
from borewright.sizing.model import Model
from borewright.sizing.plan import Outlook


def outlook_for(model: Model, *, tool_set: bool) -> Outlook:
    """An outlook on a bore with a gauge of 1.2 µm."""
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
    )
