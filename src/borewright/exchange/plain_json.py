"""JSON read so that nothing is lost or doubled: decimals as they are written, no name twice, no number that is none."""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from typing import NoReturn

from borewright.errors import BorewrightError, EntryError


def read_object(text: bytes, right: str) -> Mapping[str, object]:
    """Read one JSON object.

    Args:
        text: JSON in UTF-8.
        right: what would be right, for the message where it is none.

    Returns:
        Its fields; a number with a point as the decimal it is written as.

    Raises:
        EntryError: it cannot be read, or is no object.
    """
    try:
        body = json.loads(
            text.decode("utf-8-sig"), parse_float=Decimal, parse_constant=_refuse, object_pairs_hook=_once
        )
    except UnicodeDecodeError as error:
        raise EntryError(f"Byte {error.start + 1} is not UTF-8.", right="Write it in UTF-8.") from None
    except json.JSONDecodeError as error:
        raise EntryError(f"That is not JSON: {error.msg} at column {error.colno}.", right=right) from None
    except BorewrightError:
        raise
    except ValueError:
        raise EntryError("A number there is too long.", right="Write it with fewer digits.") from None
    except RecursionError:
        raise EntryError("Brackets in brackets are too deep.", right=right) from None
    if not isinstance(body, dict):
        raise EntryError("Named fields are wanted.", given=str(body)[:80], right=right)
    return body


def _refuse(constant: str) -> NoReturn:
    raise EntryError("That is not a number.", given=constant, right="Write digits, or text with a unit.")


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    fields = dict(pairs)
    if len(fields) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise EntryError("That name stands there twice.", given=twice, right="Keep one of the two.")
    return fields
