"""What a client sends, read field by field; whatever is wrong with it is said in the family's own way."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import UTC, datetime, timedelta
from typing import Annotated, Final

from fastapi import Depends
from starlette.requests import Request

from borewright.errors import EntryError
from borewright.exchange.plain_json import read_object
from borewright.quantity.length import UNITS, Unit
from borewright.record.faults import unknown_field

_EXAMPLE: Final = 'Send {"key": ..., "saw": {"bore": 7}, "entry": {"event": "read", "as_read": "46.491 mm"}}.'
_LONGEST: Final = 80
_LONGEST_WAIT_S: Final = 400 * 86_400


class Asked:
    """The fields of one request.

    Args:
        fields: as they were sent.
    """

    def __init__(self, fields: Mapping[str, object]) -> None:
        self.fields = fields

    def only(self, names: Collection[str]) -> None:
        """Refuse a field that nothing is done with.

        Args:
            names: the fields that are.

        Raises:
            EntryError: there is another.
        """
        for name in self.fields:
            if name not in names:
                raise unknown_field(name, list(names))

    def text(self, name: str) -> str:
        """Take a text that is needed.

        Args:
            name: the field.

        Returns:
            The text, as it was sent.

        Raises:
            EntryError: it is missing, or no text.
        """
        found = self.text_or_none(name)
        if found is None:
            raise EntryError("It is missing.", right=f'Send "{name}" with it.', where=name)
        return found

    def text_or_none(self, name: str) -> str | None:
        """Take a text.

        Args:
            name: the field.

        Returns:
            The text, or None where it was not sent.

        Raises:
            EntryError: it is no text.
        """
        found = self.fields.get(name)
        if found is None or isinstance(found, str):
            return found
        raise EntryError("Text is wanted.", given=str(found)[:_LONGEST], right="Put it in quotes.", where=name)

    def group(self, name: str) -> Mapping[str, object]:
        """Take named fields inside a field.

        Args:
            name: the field.

        Returns:
            They.

        Raises:
            EntryError: it is missing, or has no named fields.
        """
        found = self.fields.get(name)
        if isinstance(found, Mapping):
            return found
        raise EntryError("Named fields are wanted.", given=str(found)[:_LONGEST], right=_EXAMPLE, where=name)

    def saw(self) -> dict[str, int] | None:
        """Take the numbers that the person saw.

        Returns:
            By kind of stream; None where the entry assumes no state.

        Raises:
            EntryError: they are none.
        """
        found = self.fields.get("saw")
        if found is None:
            return None
        numbers = self.group("saw")
        for number in numbers.values():
            if isinstance(number, bool) or not isinstance(number, int):
                right = 'Send {"bore": 7, "tool": 4, "gauge": 1}, as they were shown.'
                raise EntryError("Whole numbers are wanted.", given=str(number)[:_LONGEST], right=right, where="saw")
        return {kind: number for kind, number in numbers.items() if isinstance(number, int)}

    def whole(self, name: str) -> int:
        """Take a whole number that is needed.

        Args:
            name: the field.

        Returns:
            The number.

        Raises:
            EntryError: it is missing, or none.
        """
        found = self.fields.get(name)
        if isinstance(found, int) and not isinstance(found, bool):
            return found
        raise EntryError("A whole number is wanted.", given=found, right="Send it without a point.", where=name)

    def moment(self) -> str | None:
        """Take when it happened, where it waited on a device: so many seconds ago, whatever that device's clock says.

        Returns:
            The moment, ISO 8601; None where it did not wait.

        Raises:
            EntryError: that is no such number.
        """
        if self.fields.get("ago") is None:
            return None
        ago = self.whole("ago")
        if not 0 <= ago <= _LONGEST_WAIT_S:
            right = "Send the seconds since it was entered, or leave it out."
            raise EntryError("Nothing waited that long.", given=ago, right=right, where="ago")
        moment = datetime.now(UTC) - timedelta(seconds=ago)
        return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")

    def by(self) -> str | None:
        """Take the name of who enters.

        Returns:
            The name, or None where it was not sent or is empty.

        Raises:
            EntryError: it is no text.
        """
        return (self.text_or_none("by") or "").strip() or None

    def show(self) -> Unit | None:
        """Take the unit that is shown.

        Returns:
            The unit, or None for the bore's own.

        Raises:
            EntryError: it is none held here.
        """
        return unit_or_none(self.text_or_none("show"), "show")


async def asked(request: Request) -> Asked:
    """Read what was sent.

    Args:
        request: the request.

    Returns:
        Its fields.

    Raises:
        EntryError: it is no JSON object.
    """
    return Asked(read_object(await request.body(), _EXAMPLE))


Sent = Annotated[Asked, Depends(asked)]
"""The fields of the request, as an act takes them."""


def body_of(*names: str, lists: Collection[str] = ()) -> dict[str, object]:
    """Describe what is sent, for the description of the API.

    Args:
        names: the fields.
        lists: further fields, each a list.

    Returns:
        What the description says of the act besides what its function says.
    """
    objects = {"entry", "given", "saw", "shown", "filled"}
    whole = {"number", "seed", "ago", "passes"}
    kinds = {name: "object" if name in objects else "integer" if name in whole else "string" for name in names}
    kinds |= dict.fromkeys(lists, "array")
    schema = {"type": "object", "properties": {name: {"type": kind} for name, kind in kinds.items()}}
    return {"requestBody": {"required": True, "content": {"application/json": {"schema": schema}}}}


def unit_or_none(text: str | None, where: str) -> Unit | None:
    """Read a unit.

    Args:
        text: ``mm``, ``in``, or nothing.
        where: the field it came in.

    Returns:
        The unit, or None for nothing.

    Raises:
        EntryError: it is none held here.
    """
    if not text:
        return None
    for unit in UNITS:
        if text == unit:
            return unit
    raise EntryError("That is not a unit held here.", given=text[:_LONGEST], right="Use mm or in.", where=where)
