"""What is seen of a bore: its Size page and its release, rendered from how it stands."""

from __future__ import annotations

from collections.abc import Mapping

from borewright.errors import EntryError
from borewright.quantity.length import Unit
from borewright.shop import bores
from borewright.shop.kept import in_spindle
from borewright.shop.stands import Stand
from borewright.shop.touched import marks_said
from borewright.sizing.wanted import wanted_by
from borewright.web.answers import Pages
from borewright.web.panel import Tap, as_json
from borewright.web.proof import other_unit, proof_view
from borewright.web.records import Records
from borewright.web.signing import ReleaseView, release_view
from borewright.web.views import FINISHED, SizeView, size_view


class Sight:
    """Looks at bores and renders what is seen.

    Args:
        records: the records.
        pages: renders.
    """

    def __init__(self, records: Records, pages: Pages) -> None:
        self.records = records
        self.pages = pages

    def size(self, bore: str, stand: Stand, show: Unit | None) -> SizeView:
        """Look at a bore that is being sized.

        Args:
            bore: the bore's name in the record.
            stand: how it stands.
            show: the unit to show; the bore's own where it is None.

        Returns:
            What the templates get.
        """
        return size_view(
            bore,
            stand.bore,
            stand.history,
            unit=show,
            advice=stand.advice_in(show),
            machine=self.machine_taps(bore, stand),
            rehearsed=self.records.is_rehearsed(bore),
            alike=len(bores.like_bores(self.records.store_of(bore), bore)),
        )

    def part(self, bore: str, stand: Stand, show: Unit | None) -> str:
        """Render what stands inside the main part of the Size page.

        Args:
            bore: the bore's name in the record.
            stand: how it stands.
            show: the unit to show.

        Returns:
            HTML.
        """
        return self.pages.render("size.part.html", {"view": self.size(bore, stand, show)})

    def release(self, bore: str, stand: Stand, show: Unit | None) -> ReleaseView:
        """Look at what is in view when a bore is signed.

        Args:
            bore: the bore's name in the record.
            stand: how it stands.
            show: the unit to show.

        Returns:
            What the template gets.
        """
        rehearsed = self.records.is_rehearsed(bore)
        machine = self.records.machine(bore) if rehearsed and stand.bore.state in FINISHED else None
        marks = marks_said(self.records.store_of(bore), bore, stand, show or stand.bore.unit)
        return release_view(
            bore, stand.bore, stand.history, unit=show, rehearsed=rehearsed, machine=machine, marks=marks
        )

    def proof(
        self, bore: str, stand: Stand, readings: Mapping[str, object], show: Unit | None
    ) -> tuple[dict[str, object], str]:
        """Look at a proof of the adjuster as far as it has come.

        Args:
            bore: the bore's name in the record.
            stand: how it stands.
            readings: the indicator's step and what it showed so far.
            show: the unit to show.

        Returns:
            What ``Bore.prove`` returns, and the same as HTML.

        Raises:
            EntryError: a reading cannot be.
        """
        try:
            plain = stand.bore.prove(readings, show)
        except EntryError as error:
            raise other_unit(error, error.given, show or stand.bore.unit) from None
        view = proof_view(bore, stand.bore, plain, rehearsed=self.records.is_rehearsed(bore))
        return plain, self.pages.render("prove.part.html", {"view": view})

    def machine_taps(self, bore: str, stand: Stand) -> tuple[Tap, ...]:
        """List what a simulated machine behind a bore can be asked to do now.

        Args:
            bore: the bore's name in the record.
            stand: how it stands.

        Returns:
            What is wanted next first, then the gauge and the thermometer; none where no machine stands behind it.
        """
        if not self.records.is_rehearsed(bore):
            return ()
        wanted = wanted_by(stand.advice, in_spindle=in_spindle(stand.history))
        if wanted.event in {"", "released", "quarantined"}:
            return ()
        taps = [Tap("Do it on the machine", as_json(wanted.order), "fills in what the machine shows")]
        if stand.bore.state in {"cut, not measured", "measured"} and wanted.event != "read":
            taps.append(Tap("Gauge once more", as_json({"event": "read"})))
        if wanted.event != "temperature":
            taps.append(Tap("Part's temperature", as_json({"event": "temperature", "of": "part", "when": "now"})))
        return tuple(taps)
