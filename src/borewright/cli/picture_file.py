"""A picture written to a file that somebody named."""

from __future__ import annotations

from pathlib import Path

from borewright.errors import EntryError


def write_picture(picture: Path, svg: str) -> None:
    """Write a picture.

    Args:
        picture: the file.
        svg: the picture.

    Raises:
        EntryError: the file cannot be written.
    """
    try:
        picture.write_text(svg, encoding="utf-8")
    except OSError as error:
        raise EntryError(
            f"The picture cannot be written: {error}", given=str(picture), right="Name another file.", where="picture"
        ) from None
