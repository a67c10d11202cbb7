"""What each part of a drawing is drawn with where no style sheet does it: black on white, for docs and paper.

On a page the same names are classes, and the page's style sheet says how they look by day and by night.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

PAPER: Final = "#fffdf7"
INK: Final = "#1c1914"
QUIET: Final = "#5b5443"
STOCK: Final = "#e3d9c1"
ACCENT: Final = "#20357d"

FAMILY: Final = "'Atkinson Hyperlegible', 'Liberation Sans', Arial, sans-serif"

Ink = Mapping[str, str]

INKS: Final[Mapping[str, Ink]] = {
    "d-void": {"fill": PAPER},
    "d-stock": {"fill": STOCK},
    "d-tolerance": {"fill": "#ffffff"},
    "d-cliff": {"fill": PAPER},
    "d-hatch": {"stroke": INK, "stroke-width": "1.25", "fill": "none"},
    "d-wall": {"stroke": INK, "stroke-width": "4"},
    "d-limit": {"stroke": INK, "stroke-width": "2"},
    "d-edge": {"stroke": INK, "stroke-width": "1.5", "fill": "none"},
    "d-extension": {"stroke": QUIET, "stroke-width": "1"},
    "d-centre": {"stroke": QUIET, "stroke-width": "1", "stroke-dasharray": "14 4 3 4"},
    "d-hole": {"stroke": INK, "stroke-width": "3"},
    "d-flag": {"fill": INK},
    "d-soft": {"fill": INK},
    "d-aim": {"fill": ACCENT},
    "d-next": {"fill": ACCENT},
    "d-aim-at": {"stroke": ACCENT, "stroke-width": "2"},
    "d-tick": {"stroke": INK, "stroke-width": "1"},
    "d-past": {"fill": PAPER, "stroke": QUIET, "stroke-width": "1.25"},
    "d-dimension": {"stroke": INK, "stroke-width": "1", "fill": "none"},
    "d-head": {"fill": INK},
    "d-figure": {"fill": INK, "font-weight": "700"},
    "d-aim-figure": {"fill": ACCENT, "font-weight": "700"},
    "d-word": {"fill": INK},
    "d-note": {"fill": QUIET},
    "d-plate": {"fill": PAPER},
}
"""Presentation attributes by class."""
