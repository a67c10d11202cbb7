"""What every handler works with: the records, the templates, what is seen of a bore, the live stream."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends
from starlette.requests import Request

from borewright.web.answers import Pages
from borewright.web.live import Live
from borewright.web.records import Records
from borewright.web.sight import Sight


@dataclass(frozen=True, slots=True)
class Office:
    """One application's own things.

    Args:
        records: the records.
        pages: renders.
        sight: looks at bores.
        live: tells open pages of changes.
    """

    records: Records
    pages: Pages
    sight: Sight
    live: Live


async def office(request: Request) -> Office:
    """Find what the handlers of an application work with.

    Args:
        request: the request.

    Returns:
        It; async, so that no thread is taken for it.
    """
    found = request.app.state.office
    assert isinstance(found, Office)
    return found


In = Annotated[Office, Depends(office)]
"""The type by which a handler asks for it."""
