"""Options that mean the same with every command."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional, TypeAlias

import typer

Words: TypeAlias = Optional[str]  # noqa: UP045  # typer reads the annotation
Data = Annotated[
    Optional[Path],  # noqa: UP045  # typer reads the annotation
    typer.Option("--data", metavar="DIR", envvar="BOREWRIGHT_DATA", help="Folder that holds the records."),
]
By = Annotated[Words, typer.Option("--by", metavar="NAME", help="Who enters.")]
AsJson = Annotated[bool, typer.Option("--json", help="Answer in JSON.")]
