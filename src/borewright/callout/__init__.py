"""What the drawing asks of a bore: limits as written, and classes of ISO 286 and ANSI B4.1 from the tables held."""

from __future__ import annotations

from borewright.callout.callout import Callout
from borewright.callout.written import parse_callout

__all__ = ["Callout", "parse_callout"]
