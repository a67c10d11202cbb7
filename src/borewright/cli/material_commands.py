"""The command about the shop's own materials. It loads what it needs when it is called."""

from __future__ import annotations

from typing import Annotated

import typer

from borewright.cli.options import AsJson, Data, Words

commands = typer.Typer()


@commands.command()
def material(
    name: Annotated[
        Words,
        typer.Argument(metavar="MATERIAL", help="Its name, such as 42CrMo4; left out, the shop's own are listed."),
    ] = None,
    kc: Annotated[
        Words, typer.Option("--kc", metavar="N/MM2", help="Specific cutting force of a chip 1 mm thick and wide.")
    ] = None,
    exponent: Annotated[
        Words, typer.Option("--exponent", metavar="MC", help="By which power it falls as the chip thickens.")
    ] = None,
    source: Annotated[Words, typer.Option("--source", metavar="WORDS", help="Where both numbers come from.")] = None,
    certainty: Annotated[
        Words, typer.Option("--certainty", metavar="WORD", help="measured, read or estimated.")
    ] = None,
    within: Annotated[
        Words, typer.Option("--within", metavar="SHARE", help="One standard deviation of kc, as a share of it.")
    ] = None,
    thrust: Annotated[
        Words, typer.Option("--thrust", metavar="SHARE", help="Force normal to the edge over the cutting force.")
    ] = None,
    like: Annotated[
        Words,
        typer.Option("--like", metavar="MATERIAL", help="The material held that it is like, where it is not held."),
    ] = None,
    forget: Annotated[bool, typer.Option("--forget", help="Go by the table again.")] = False,
    by: Annotated[Words, typer.Option("--by", metavar="NAME", help="Who stands for it.")] = None,
    as_json: AsJson = False,
    data: Data = None,
) -> None:
    """Keep the shop's own cutting force of a material, or see what holds and where it comes from.

    Both numbers of the pair come from one source. Bores opened from now on begin with it; open bores keep theirs.
    """
    from borewright.cli.folder import data_folder
    from borewright.cli.materials import run_material

    given = {
        "kc": kc,
        "exponent": exponent,
        "source": source,
        "certainty": certainty,
        "within": within,
        "thrust": thrust,
        "like": like,
    }
    entered = {field: value for field, value in given.items() if value is not None}
    raise typer.Exit(run_material(name, entered, data_folder(data), forget=forget, by=by, as_json=as_json))
