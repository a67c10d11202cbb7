"""The commands about gauges, rings and studies. Each loads what it needs when it is called."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from borewright.cli.options import AsJson, By, Data, Words

commands = typer.Typer()

UnitOf = Annotated[Words, typer.Option("--unit", metavar="UNIT", help="mm or in, of lengths that carry none.")]
Gauge = Annotated[str, typer.Argument(metavar="GAUGE", help="Its name on record.")]
Celsius = Annotated[Words, typer.Option("--celsius", metavar="T", help="The master's temperature, °C.")]


@commands.command()
def gauges(as_json: AsJson = False, data: Data = None) -> None:
    """List gauges, rings and blocks on record.

    Those whose certificate is overdue come first.
    """
    from borewright.cli.folder import data_folder
    from borewright.cli.gauges import run_gauges

    raise typer.Exit(run_gauges(data_folder(data), as_json=as_json))


@commands.command()
def gauge(gauge: Gauge, as_json: AsJson = False, data: Data = None) -> None:
    """Show what the record says of a gauge or a ring: certificates, settings, re-checks, study."""
    from borewright.cli.folder import data_folder
    from borewright.cli.gauges import run_gauge

    raise typer.Exit(run_gauge(gauge, data_folder(data), as_json=as_json))


@commands.command()
def describe_gauge(
    gauge: Gauge,
    instrument: Annotated[str, typer.Argument(help='Such as "dial bore gauge", "ring" or "blocks".')],
    needle: Annotated[
        Words, typer.Option("--needle", metavar="SENSE", help="plus or minus: what its face shows for a larger hole.")
    ] = None,
    step: Annotated[Words, typer.Option("--step", metavar="LENGTH", help="Smallest step that it shows.")] = None,
    travel: Annotated[
        Words, typer.Option("--travel", metavar="LENGTH", help="How far it goes either way of its zero.")
    ] = None,
    ring_class: Annotated[Words, typer.Option("--class", metavar="CLASS", help="A ring's class, XXX to Z.")] = None,
    unit: UnitOf = None,
    by: By = None,
    data: Data = None,
) -> None:
    """Take a gauge or a ring into the shop's list."""
    from borewright.cli.folder import data_folder
    from borewright.cli.gauges import run_entry

    entry = {
        "event": "described",
        "instrument": instrument,
        "needle": needle,
        "step": step,
        "travel": travel,
        "ring_class": ring_class,
    }
    raise typer.Exit(run_entry(gauge, entry, unit, by, data_folder(data)))


@commands.command()
def certify(
    gauge: Annotated[str, typer.Argument(metavar="RING", help="The ring's or the blocks' name on record.")],
    size: Annotated[str, typer.Argument(help='Its size at 20 °C, such as "62.0004 mm".')],
    expanded: Annotated[str, typer.Argument(help='Expanded uncertainty of that, such as "0.8 µm".')],
    factor: Annotated[Words, typer.Option("--factor", metavar="K", help="Coverage factor; 2 where left out.")] = None,
    dated: Annotated[Words, typer.Option("--dated", metavar="DAY", help="When it was calibrated.")] = None,
    due: Annotated[Words, typer.Option("--due", metavar="DAY", help="Until when the certificate holds.")] = None,
    report: Annotated[Words, typer.Option("--report", metavar="NUMBER", help="The number on the certificate.")] = None,
    unit: UnitOf = None,
    by: By = None,
    data: Data = None,
) -> None:
    """Record the certificate of a ring or of blocks.

    Where it was found off, readings on it since its last certificate are marked.
    """
    from borewright.cli.folder import data_folder
    from borewright.cli.gauges import run_entry

    entry = {
        "event": "certified",
        "size": size,
        "expanded": expanded,
        "factor": factor,
        "dated": dated,
        "due": due,
        "report": report,
    }
    raise typer.Exit(run_entry(gauge, entry, unit, by, data_folder(data)))


@commands.command()
def set_gauge(
    gauge: Gauge,
    master: Annotated[str, typer.Argument(metavar="RING", help="The ring's name on record, or its size.")],
    celsius: Celsius = None,
    gauge_celsius: Annotated[
        Words, typer.Option("--gauge-celsius", metavar="T", help="The gauge's temperature, °C.")
    ] = None,
    unit: UnitOf = None,
    by: By = None,
    data: Data = None,
) -> None:
    """Record that a gauge was set on a ring."""
    from borewright.cli.folder import data_folder
    from borewright.cli.gauges import on_master, run_entry

    entry = {"event": "set_on", "celsius": celsius, "gauge_celsius": gauge_celsius}
    folder = data_folder(data)
    raise typer.Exit(run_entry(gauge, {**entry, **on_master(folder, master)}, unit, by, folder))


@commands.command()
def recheck(
    gauge: Gauge,
    master: Annotated[str, typer.Argument(metavar="RING", help="The ring's name on record, or its size.")],
    shown: Annotated[str, typer.Argument(help="What the gauge showed on it, as a size.")],
    celsius: Celsius = None,
    unit: UnitOf = None,
    by: By = None,
    data: Data = None,
) -> None:
    """Record what a gauge shows on its ring again, and judge again what that touches."""
    from borewright.cli.folder import data_folder
    from borewright.cli.gauges import on_master, run_entry

    entry = {"event": "rechecked", "as_read": shown, "celsius": celsius}
    folder = data_folder(data)
    raise typer.Exit(run_entry(gauge, {**entry, **on_master(folder, master)}, unit, by, folder))


@commands.command()
def study(
    file: Annotated[Path, typer.Argument(metavar="CSV", help="One reading a line: part, who, reading.")],
    tolerance: Annotated[
        Words, typer.Option("--tolerance", metavar="LENGTH", help="The tolerance that the gauge is to judge.")
    ] = None,
    gauge: Annotated[
        Words, typer.Option("--gauge", metavar="GAUGE", help="Record what was found as this gauge's scatter.")
    ] = None,
    picture: Annotated[
        Optional[Path],  # noqa: UP045  # typer reads the annotation
        typer.Option("--picture", metavar="FILE", help="Write the study by part and by person, as SVG."),
    ] = None,
    unit: UnitOf = None,
    by: By = None,
    as_json: AsJson = False,
    data: Data = None,
) -> None:
    """Find what a gauge scatters by from a study, by ranges and by analysis of variance."""
    from borewright.cli.folder import data_folder
    from borewright.cli.studies import run_study

    raise typer.Exit(run_study(file, tolerance, gauge, unit, by, data_folder(data), picture=picture, as_json=as_json))


@commands.command()
def study_form(
    people: Annotated[list[str], typer.Argument(metavar="NAME...", help="Who measures.")],
    parts: Annotated[int | None, typer.Option("--parts", metavar="N", help="How many parts; 10 if not told.")] = None,
    trials: Annotated[int, typer.Option("--trials", metavar="N", help="How often everybody measures each.")] = 3,
    within: Annotated[
        str | None,
        typer.Option("--within", metavar="X", help="Take as many parts as know the scatter within this factor."),
    ] = None,
    seed: Annotated[int, typer.Option("--seed", metavar="N", help="The same gives the same order.")] = 1,
) -> None:
    """Print an empty study to fill in, in the order in which to measure, parts shuffled."""
    from borewright.cli.studies import run_study_form

    raise typer.Exit(run_study_form(people, parts, trials, within, seed))


@commands.command()
def measure(
    file: Annotated[Path, typer.Argument(metavar="TOML", help="What was measured, and with what.")],
    draws: Annotated[
        int, typer.Option("--draws", metavar="N", help="Check by so many draws, until they stand still.")
    ] = 0,
    picture: Annotated[
        Optional[Path],  # noqa: UP045  # typer reads the annotation
        typer.Option("--picture", metavar="FILE", help="Write a picture of the budget, as SVG."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Make a size of readings of one bore, with its budget, its form and its verdict. Nothing is recorded."""
    from borewright.cli.measure import run_measure

    raise typer.Exit(run_measure(file, draws, picture, as_json=as_json))


@commands.command()
def soak(
    first: Annotated[str, typer.Argument(metavar="T1", help="The part's temperature at first, °C.")],
    second: Annotated[str, typer.Argument(metavar="T2", help="Its temperature now, °C.")],
    minutes: Annotated[str, typer.Option("--minutes", metavar="MIN", help="Minutes between the two.")],
    room: Annotated[str, typer.Option("--room", metavar="T", help="The room's temperature, °C.")] = "20",
    thermometer: Annotated[
        str, typer.Option("--thermometer", metavar="K", help="Standard uncertainty of a temperature taken, K.")
    ] = "0.3",
    measured: Annotated[
        Words, typer.Option("--measured", metavar="TOML", help="A file as for measure: what waiting buys it in odds.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say from two temperatures how fast a part comes to its room's, and what waiting buys."""
    from borewright.cli.soaking import run_soak

    raise typer.Exit(run_soak(first, second, minutes, room, thermometer, measured, as_json=as_json))


@commands.command()
def rule(
    name: Annotated[
        Words, typer.Argument(metavar="RULE", help="proof, simple or guarded; left out, what holds is shown.")
    ] = None,
    confidence: Annotated[Words, typer.Option("--confidence", metavar="P", help="How sure proof must be.")] = None,
    ratio: Annotated[
        Words, typer.Option("--ratio", metavar="N", help="Tolerance over 2U that simple acceptance asks.")
    ] = None,
    bands: Annotated[Words, typer.Option("--bands", metavar="H", help="Guard band over U of a guarded rule.")] = None,
    probe: Annotated[
        bool, typer.Option("--probe-counts", help="Readings of the machine's own probe may release a bore.")
    ] = False,
    by: By = None,
    data: Data = None,
) -> None:
    """Decide by which rule bores are judged where order and drawing name none.

    Asked once in a shop. Bores that are open keep the rule they were opened with.
    """
    from borewright.cli.deciding import run_rule
    from borewright.cli.folder import data_folder

    counts = "counts" if probe else None
    numbers = {"confidence": confidence, "ratio": ratio, "bands": bands, "probe": counts}
    raise typer.Exit(run_rule(name, numbers, by, data_folder(data)))
