"""The command that looks at a cut. It loads what it needs when it is called."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

commands = typer.Typer()

Words = Optional[str]  # noqa: UP045  # typer reads the annotation


@commands.command()
def cut(
    of: Annotated[
        str,
        typer.Argument(metavar="OF", help='The job file; or the callout as the drawing writes it, such as "62 H6".'),
    ],
    bore: Annotated[
        Words,
        typer.Option("--bore", metavar="NAME", help="Which bore of the job file; the first where none is given."),
    ] = None,
    hole: Annotated[Words, typer.Option("--hole", metavar="SIZE", help="The hole as it is.")] = None,
    material: Annotated[
        Words,
        typer.Option("--material", metavar="WORDS", help="What the part is made of, such as 42CrMo4 or grey iron."),
    ] = None,
    feed: Annotated[Words, typer.Option("--feed", metavar="LENGTH", help="The feed a turn.")] = None,
    nose: Annotated[Words, typer.Option("--nose", metavar="LENGTH", help="The nose radius.")] = None,
    speed: Annotated[
        Words,
        typer.Option(
            "--speed", metavar="SPEED", help="Cutting speed, m/min or such as 600 ft/min; left out, a usual one."
        ),
    ] = None,
    edge: Annotated[
        Words,
        typer.Option("--edge", metavar="KIND", help='The kind of edge, such as "sharp carbide", "CBN" or "PCD".'),
    ] = None,
    edge_angle: Annotated[
        Words,
        typer.Option("--edge-angle", metavar="DEGREES", help="Angle between edge and feed, 90 less the lead angle."),
    ] = None,
    wiper: Annotated[Words, typer.Option("--wiper", metavar="LENGTH", help="A wiper's flat.")] = None,
    overhang: Annotated[
        Words,
        typer.Option("--overhang", metavar="LENGTH", help="From the spindle's face to the tip."),
    ] = None,
    push: Annotated[
        Optional[list[str]],  # noqa: UP045  # typer reads the annotation
        typer.Option(
            "--push",
            metavar="LOAD",
            help='A push at the tip: "100 N 0.009 mm", or with its overhang "at 80 mm". May be given again.',
        ),
    ] = None,
    bar: Annotated[
        Words,
        typer.Option("--bar", metavar="DIAMETER", help="The bar's diameter, where no push test was made."),
    ] = None,
    bar_material: Annotated[
        Words,
        typer.Option("--bar-material", metavar="WORDS", help="steel, tungsten alloy, carbide or aluminium."),
    ] = None,
    taper: Annotated[
        Words,
        typer.Option("--taper", metavar="WORDS", help='The spindle\'s taper, such as "steep 40" or "hollow 63".'),
    ] = None,
    length: Annotated[
        Words,
        typer.Option("--length", metavar="LENGTH", help="How long the bore is."),
    ] = None,
    wall: Annotated[
        Words,
        typer.Option("--wall", metavar="LENGTH", help="The thinnest wall around it."),
    ] = None,
    finish: Annotated[
        Words,
        typer.Option("--finish", metavar="RA", help='The roughest Ra allowed, such as "0.8 µm".'),
    ] = None,
    rated: Annotated[
        Words,
        typer.Option("--rated", metavar="RPM", help="The fastest speed that the tool is rated for."),
    ] = None,
    spindle: Annotated[
        Words,
        typer.Option("--spindle", metavar="CURVE", help='The spindle\'s power, "1500 rpm 11 kW; 8000 rpm 11 kW".'),
    ] = None,
    measured: Annotated[
        Words,
        typer.Option(
            "--measured", metavar="RA", help='Finish of earlier bores cut with this feed and nose: "1.1 µm; 1.3 µm".'
        ),
    ] = None,
    passes: Annotated[
        Optional[int],  # noqa: UP045  # typer reads the annotation
        typer.Option("--passes", metavar="N", help="How many equal passes."),
    ] = None,
    unit: Annotated[
        Words,
        typer.Option("--unit", metavar="UNIT", help="mm or in, where the callout does not say."),
    ] = None,
    picture: Annotated[
        Optional[Path],  # noqa: UP045  # typer reads the annotation
        typer.Option("--picture", metavar="FILE", help="Write pictures of chip and passes, as SVG."),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Answer in JSON.")] = False,
    data: Annotated[
        Optional[Path],  # noqa: UP045  # typer reads the annotation
        typer.Option("--data", metavar="DIR", envvar="BOREWRIGHT_DATA", help="Folder that holds the records."),
    ] = None,
) -> None:
    """Look at the passes of a bore before cutting: what could lose it, then what each pass gives.

    Push-off, force, finish, power, wear and warmth with their widths, from the material, the edge and how the tool
    gives way. Of a job file, the options go over what its cut says. Nothing is recorded.
    """
    from borewright.cli.cut import run_cut
    from borewright.cli.cut_options import CutOptions
    from borewright.cli.folder import data_folder

    raise typer.Exit(
        run_cut(
            of,
            bore,
            CutOptions(
                bore={"hole": hole, "material": material, "unit": unit},
                bar={"diameter": bar, "material": bar_material, "taper": taper},
                pushes=push or (),
                spindle=spindle,
                measured=measured,
                cut={
                    "feed": feed,
                    "nose": nose,
                    "speed": speed,
                    "edge": edge,
                    "edge_angle": edge_angle,
                    "wiper": wiper,
                    "overhang": overhang,
                    "depth_of_bore": length,
                    "wall": wall,
                    "finish": finish,
                    "rated_rpm": rated,
                },
            ),
            passes=passes,
            picture=picture,
            as_json=as_json,
            folder=data_folder(data),
        )
    )
