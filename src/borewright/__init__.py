"""Borewright brings a tight-tolerance bore to size, from the drawing's callout to a hole released on evidence.

``Bore`` is the front door: ``Bore.start(mapping)``, ``.record(mapping)``, ``.advise()``, plain values in and out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from borewright.sizing.bore import Bore

__all__ = ["Bore", "__version__"]
__version__ = "0.1.0"


def __getattr__(name: str) -> object:
    """Load the numerical core only when it is asked for, so that the command line starts quickly."""
    if name == "Bore":
        from borewright.sizing.bore import Bore

        return Bore
    raise AttributeError(name)
