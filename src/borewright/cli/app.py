"""The commands. Each loads what it needs when it is called, so that help is there at once."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, Optional

import typer

from borewright import __version__
from borewright.cli.cut_commands import commands as cut_commands
from borewright.cli.gauge_commands import commands as gauge_commands
from borewright.cli.material_commands import commands as material_commands
from borewright.cli.options import AsJson, By, Data

app = typer.Typer(
    name="borewright",
    help="Bring a tight-tolerance bore to size, from the drawing's callout to a hole released on evidence.",
    epilog=(
        "Cautions: stop and lock the spindle before a hand or gauge goes near the tool. The machine builder's, the tool"
        " maker's and your local rules, and qualified people, come before anything said here."
    ),
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    add_completion=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


@app.callback(invoke_without_command=True)
def about(
    version: Annotated[bool, typer.Option("--version", help="Show the version.")] = False,
) -> None:
    """Bring a tight-tolerance bore to size, from the drawing's callout to a hole released on evidence."""
    if version:
        print(f"borewright {__version__}")
        raise typer.Exit


@app.command()
def callout(
    text: Annotated[str, typer.Argument(help='As the drawing writes it, such as "62 H6" or "2.3622 ±.0003".')],
    unit: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option("--unit", metavar="UNIT", help="mm or in, where the callout does not say."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Show the limits that a callout means."""
    from borewright.cli.callout import run_callout

    raise typer.Exit(run_callout(text, unit, as_json))


@app.command()
def size(
    jobfile: Annotated[Optional[Path], typer.Argument(help="The job file.", metavar="JOBFILE")] = None,  # noqa: UP045
    bore: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option(
            "--bore", metavar="NAME", help="Which bore of the job; the first not finished where none is given."
        ),
    ] = None,
    as_json: Annotated[
        bool,
        typer.Option("--json", help="Read JSON lines (start, record, advise) and answer each; kept in memory only."),
    ] = False,
    by: By = None,
    data: Data = None,
) -> None:
    """Lead a bore of a job file to its size.

    Shows the next move and asks one thing at a time until the bore is released. Leave and come back at any point.
    """
    if as_json:
        from borewright.cli.lines import run_lines

        if jobfile is not None:
            raise typer.BadParameter("JSON lines come on standard input; leave the job file out.")
        raise typer.Exit(run_lines())
    if jobfile is None:
        raise typer.BadParameter("Name the job file, or give --json.")
    from borewright.cli.folder import data_folder
    from borewright.cli.size import run_size

    raise typer.Exit(run_size(jobfile, bore, by, data_folder(data)))


@app.command()
def passes(
    of: Annotated[
        str, typer.Argument(metavar="JOB", help="The job file; or a bore on record, by as much as tells it apart.")
    ],
    bore: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option("--bore", metavar="NAME", help="Which bore of the job file; the first where none is given."),
    ] = None,
    pass_minutes: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option("--pass-minutes", metavar="MIN", help="Minutes that a pass takes."),
    ] = None,
    measurement_minutes: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option("--measurement-minutes", metavar="MIN", help="Minutes that a measurement of two readings takes."),
    ] = None,
    as_json: AsJson = False,
    data: Data = None,
) -> None:
    """Lay the plans of a bore side by side.

    One to four passes, with and without a checked hole or a trial cut: what each leaves, takes and risks. Nothing is
    recorded.
    """
    from borewright.cli.folder import data_folder
    from borewright.cli.passes import run_passes

    raise typer.Exit(
        run_passes(
            of,
            bore,
            data_folder(data),
            pass_minutes=pass_minutes,
            measurement_minutes=measurement_minutes,
            as_json=as_json,
        )
    )


@app.command()
def order(
    of: Annotated[
        list[str],
        typer.Argument(
            metavar="BORE...", help="Bores on record, each by as much as tells it apart; or the job file of all."
        ),
    ],
    one_part: Annotated[bool, typer.Option("--one-part", help="All are in one part: one lost loses it.")] = False,
    pass_minutes: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option("--pass-minutes", metavar="MIN", help="Minutes that a pass takes, with its move."),
    ] = None,
    measurement_minutes: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option("--measurement-minutes", metavar="MIN", help="Minutes that a measurement of two readings takes."),
    ] = None,
    move_minutes: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option("--move-minutes", metavar="MIN", help="Minutes that one move of the tool takes."),
    ] = None,
    between_minutes: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option("--between-minutes", metavar="MIN", help="Minutes from one bore to the next."),
    ] = None,
    as_json: AsJson = False,
    data: Data = None,
) -> None:
    """Say in which order to bring several like bores to size.

    Which is first, how far to bring all at one setting, when to move: each way with its minutes, its cost and the odds
    that one bore or several are lost. Nothing is recorded.
    """
    from borewright.cli.folder import data_folder
    from borewright.cli.order import run_order

    asked = {
        "pass_minutes": pass_minutes,
        "measurement_minutes": measurement_minutes,
        "move_minutes": move_minutes,
        "between_minutes": between_minutes,
    }
    raise typer.Exit(run_order(of, data_folder(data), one_part=one_part, minutes=asked, as_json=as_json))


@app.command()
def prove_adjuster(
    bore: Annotated[
        str, typer.Argument(metavar="BORE", help="Its identity, or as much of its name as tells it apart.")
    ],
    by: By = None,
    data: Data = None,
) -> None:
    """Prove the adjuster of a bore's tool with an indicator on the tip.

    A quarter of an hour, one number at a time. Leave and come back at any point.
    """
    from borewright.cli.folder import data_folder
    from borewright.cli.proving import run_proof

    raise typer.Exit(run_proof(bore, by, data_folder(data)))


@app.command()
def demo(
    bore: Annotated[
        Optional[str],  # noqa: UP045  # typer reads the annotation
        typer.Option("--bore", metavar="NAME", help="Which bore of the demo; the first where none is given."),
    ] = None,
    fresh: Annotated[bool, typer.Option("--fresh", help="Start anew; the demo's own records are put aside.")] = False,
    auto: Annotated[bool, typer.Option("--auto", help="Press Enter by itself to the end.")] = False,
    data: Data = None,
) -> None:
    """Size a bore on a simulated machine.

    Shop, part and machine are invented and no metal is cut. Leave and come back at any point.
    """
    from borewright.cli.demo import run_demo
    from borewright.cli.folder import data_folder

    raise typer.Exit(run_demo(bore, data_folder(data) / "demo", fresh=fresh, auto=auto))


@app.command()
def rehearse(
    kind: Annotated[
        Optional[list[str]],  # noqa: UP045  # typer reads the annotation
        typer.Option("--kind", metavar="KIND", help="A kind of job; may be given again. All eight where none is."),
    ] = None,
    policy: Annotated[
        Optional[list[str]],  # noqa: UP045  # typer reads the annotation
        typer.Option("--policy", metavar="POLICY", help="What sizes the bores; may be given again. All where none is."),
    ] = None,
    bores: Annotated[int, typer.Option("--bores", metavar="N", help="Bores of each kind.")] = 100,
    seed: Annotated[int, typer.Option("--seed", metavar="N", help="The first seed; the same gives the same.")] = 1,
    workers: Annotated[
        Optional[int],  # noqa: UP045  # typer reads the annotation
        typer.Option("--workers", metavar="N", help="Processes; as many as there are processors where it is left out."),
    ] = None,
    picture: Annotated[
        Optional[Path],  # noqa: UP045  # typer reads the annotation
        typer.Option("--picture", metavar="FILE", help="Write a picture of the costs, as SVG."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Compare the advice with common practice on simulated machines.

    The same bores are sized by each policy: equal passes with and without the part's temperature, the harmonic rule,
    the advice, a twin of it that knows the tool, and one who sees the hole. No metal is cut.
    """
    from borewright.cli.rehearse import run_rehearse

    raise typer.Exit(
        run_rehearse(
            kind or [], policy or [], bores=bores, seed=seed, workers=workers, picture=picture, as_json=as_json
        )
    )


@app.command()
def serve(
    port: Annotated[
        int, typer.Option("--port", metavar="PORT", help="Port to listen on; 0 takes one that is free.")
    ] = 8137,
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="127.0.0.1, localhost or ::1; no other is served.")
    ] = "127.0.0.1",
    demo: Annotated[bool, typer.Option("--demo", help="Serve the demo's own records.")] = False,
    data: Data = None,
) -> None:
    """Serve the pages to a browser on this machine.

    Prints the address and opens nothing. Ctrl-C ends it.
    """
    from borewright.cli.folder import data_folder
    from borewright.web.serve import run_server

    folder = data_folder(data)
    raise typer.Exit(run_server(folder / "demo" if demo else folder, host=host, port=port, demo=demo))


@app.command()
def bores(as_json: AsJson = False, data: Data = None) -> None:
    """List the bores on record."""
    from borewright.cli.folder import data_folder
    from borewright.cli.records import run_bores

    raise typer.Exit(run_bores(data_folder(data), as_json=as_json))


@app.command()
def learned(as_json: AsJson = False, data: Data = None) -> None:
    """List what finished bores taught, tool by tool, and what each rests on.

    The next bore of the tool in the material begins with it, unless its start says history = "leave out".
    """
    from borewright.cli.folder import data_folder
    from borewright.cli.learned import run_learned

    raise typer.Exit(run_learned(data_folder(data), as_json=as_json))


@app.command()
def record(
    bore: Annotated[
        str, typer.Argument(metavar="BORE", help="Its identity, or as much of its name as tells it apart.")
    ],
    as_json: AsJson = False,
    data: Data = None,
) -> None:
    """Print the record of a bore.

    Every event of the bore, its tool and its gauge with number and hash, and the heads to keep on paper.
    """
    from borewright.cli.folder import data_folder
    from borewright.cli.records import run_record

    raise typer.Exit(run_record(bore, data_folder(data), as_json=as_json))


@app.command()
def check(data: Data = None) -> None:
    """Check that no record was changed.

    Checks every number and every chain of hashes. A tail that was cut off shows only against a head on paper.
    """
    from borewright.cli.folder import data_folder
    from borewright.cli.records import run_check

    raise typer.Exit(run_check(data_folder(data)))


@app.command()
def backup(
    to: Annotated[Path, typer.Argument(metavar="TO", help="Folder for the copy; it holds no record yet.")],
    data: Data = None,
) -> None:
    """Copy the record to another folder and check the copy.

    May be run while somebody works. Never writes over another copy.
    """
    from borewright.cli.backup import run_backup
    from borewright.cli.folder import data_folder
    from borewright.cli.records import opened

    raise typer.Exit(run_backup(opened(data_folder(data)), to))


@app.command()
def schema() -> None:
    """Print the JSON Schema of a bore's door."""
    from borewright.cli.records import run_schema

    raise typer.Exit(run_schema())


app.add_typer(cut_commands)
app.add_typer(gauge_commands)
app.add_typer(material_commands)


def main() -> None:
    """Run a command; whatever happens, say it in words, and leave with 0 for done, 2 for what cannot be done."""
    from borewright.errors import BorewrightError

    try:
        app()
    except BorewrightError as error:
        print(error, file=sys.stderr)
        sys.exit(2)
    except Exception as error:  # noqa: BLE001  # nobody at a machine is shown a traceback
        from borewright.exchange.fault_file import keep_fault

        print(keep_fault(error), file=sys.stderr)
        sys.exit(1)
