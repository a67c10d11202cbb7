"""Write the drawings whose bytes are held: run ``python -m tests.golden.make_drawings`` after looking at each anew."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

from borewright.callout import parse_callout
from borewright.drawing.limits import draw_limits
from borewright.drawing.strip import draw_strip
from tests.unit.drawing.strips import BEFORE, IN, INCH, NEAR

DRAWINGS: Final[dict[str, Callable[[], str]]] = {
    "strip_before": lambda: draw_strip(BEFORE, width=1240),
    "strip_near_paper": lambda: draw_strip(NEAR, width=1240, standalone=True),
    "strip_in_narrow": lambda: draw_strip(IN, width=372),
    "strip_inch_small": lambda: draw_strip(INCH, width=560, size="small"),
    "limits_62_h6": lambda: draw_limits(parse_callout("62 H6", "mm"), "mm", width=760),
}


def main() -> None:
    """Draw each and write it beside this file."""
    for name, draw in DRAWINGS.items():
        Path(__file__).with_name(f"{name}.svg").write_text(draw(), "utf-8")


if __name__ == "__main__":
    main()
