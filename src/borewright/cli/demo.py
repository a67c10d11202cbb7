"""``borewright demo``: a bore of the invented scenario on its simulated machine, and the truth told at the end."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from borewright.cli.debrief import debrief_rows
from borewright.cli.rows import wrapped
from borewright.cli.shop_desk import ShopDesk
from borewright.cli.size import FINISHED, INTERRUPTED, size_bore, state_of
from borewright.cli.talk import LeftError, Row, Talk, Terminal, say
from borewright.errors import NotHeldError
from borewright.exchange.demo import DEMO_BORES, DemoBore
from borewright.exchange.identity import tidy_name
from borewright.rehearsal.debrief import debrief
from borewright.rehearsal.machine import SimulatedMachine
from borewright.shop import bores
from borewright.shop.kept import in_effect, kept_events, since_opening
from borewright.shop.store import Store

if TYPE_CHECKING:
    from borewright.exchange.jobfile import Job

INVENTED: Final = (
    "Shop, part and machine are invented and no metal is cut: gauge, bench and readout are simulated. Enter takes what "
    "they show; type another number to enter that instead."
)
MOST_ANSWERS: Final = 200
"""More than any bore of the demo takes; a run that presses Enter by itself stops there."""


class SelfPressing(Terminal):
    """A terminal at which Enter presses itself."""

    def __init__(self) -> None:
        """Begin with nothing pressed."""
        super().__init__()
        self.pressed = 0

    def ask(self, question: str, *, typed: str = "") -> str:
        """Show the question and take what stands on the line.

        Args:
            question: what stands before the answer.
            typed: what stands on the line already.

        Returns:
            What stands on the line.

        Raises:
            LeftError: Enter was pressed too often to get anywhere.
        """
        self.pressed += 1
        if self.pressed > MOST_ANSWERS:
            raise LeftError
        self.show([Row(f"{question}{typed}")])
        return typed


def run_demo(name: str | None, folder: Path, *, fresh: bool, auto: bool) -> int:
    """Size a bore of the demo.

    Args:
        name: the bore's name, or None for the first that is not finished.
        folder: the demo's own folder of records.
        fresh: whether to put the demo's records aside and start anew.
        auto: whether Enter presses itself.

    Returns:
        The exit code: 1 where a run that presses Enter by itself did not finish.

    Raises:
        BorewrightError: there is no such bore, or the record cannot be opened.
    """
    if fresh:
        put_aside(folder)
    talk = SelfPressing() if auto else Terminal()
    try:
        with Store.open(folder) as store:
            bore = _chosen(store, name)
            if bore is None:
                say(talk, "  Every bore of the demo is finished. Name one with --bore, or start anew with --fresh.")
                return 0
            say(talk, "")
            _say_scenario(talk, bore.job())
            try:
                _size(talk, store, bore, by="the demo" if auto else None)
            except LeftError:
                say(talk, "", "  Left. Everything kept stands; borewright demo goes on from here.")
                return 1 if auto else 0
    except KeyboardInterrupt:
        say(talk, "", "  Left. Everything that was kept stands.")
        return INTERRUPTED
    return 0


def put_aside(folder: Path) -> None:
    """Give the demo's folder another name, so that nothing recorded is thrown away.

    Args:
        folder: the demo's folder; it need not exist.
    """
    if folder.exists():
        number = 1
        while (aside := folder.with_name(f"{folder.name}-{number}")).exists():
            number += 1
        folder.rename(aside)


def _chosen(store: Store, name: str | None) -> DemoBore | None:
    if name is not None:
        for bore in DEMO_BORES:
            if bore.name.casefold() == tidy_name(name).casefold():
                return bore
        names = ", ".join(bore.name for bore in DEMO_BORES)
        raise NotHeldError("No bore of the demo has that name.", given=name, right=f"It has {names}.")
    return next((bore for bore in DEMO_BORES if state_of(store, bore.bore()) not in FINISHED), None)


def _say_scenario(talk: Talk, job: Job) -> None:
    for words in (job.shop, job.part, INVENTED):
        talk.show(wrapped(words or "", talk.width))


def _size(talk: Talk, store: Store, bore: DemoBore, by: str | None) -> None:
    job, entry = bore.job(), bore.bore()
    machine = SimulatedMachine(
        bore.kind,
        bore.seed,
        job.units,
        lambda: in_effect(since_opening(kept_events(bores.history(store, entry.identity)))),
    )
    size_bore(talk, store, job, entry, by=by, machine=machine)
    desk = ShopDesk(store, entry.identity, job.name, by)
    talk.show(debrief_rows(debrief(machine, desk.view()), talk.width))
    left = [other.name for other in DEMO_BORES if state_of(store, other.bore()) not in FINISHED]
    if left:
        talk.show(
            [Row(""), *wrapped(f"Next: borewright demo --bore {left[0]!r}, or --fresh to start anew.", talk.width)]
        )
