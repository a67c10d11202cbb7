"""The records behind the pages: the shop's own, and beside it those of rehearsals, so that the two never mix."""

from __future__ import annotations

import contextlib
import hashlib
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from borewright.errors import ConflictError, NotHeldError
from borewright.exchange.demo import DEMO_BORES
from borewright.exchange.rehearsals import Rehearsal, begin, begun, of_demo
from borewright.rehearsal.machine import SimulatedMachine
from borewright.shop import acts, bores
from borewright.shop.database import FILE_NAME
from borewright.shop.kept import in_effect
from borewright.shop.stands import Stand
from borewright.shop.store import Store

REHEARSALS: Final = "rehearsals"
"""The folder of the rehearsals' own record, inside the data folder."""


class Records:
    """What the pages show and what their acts reach.

    Args:
        data: the data folder.
        demo: whether it is the demo's: its five bores are then opened where they are not yet.
    """

    def __init__(self, data: Path, *, demo: bool) -> None:
        self.demo = demo
        self.shop = Store.open(data)
        self._apart = data / REHEARSALS
        self._rehearsed: Store | None = None
        self._opening = threading.Lock()
        self._demo_names = frozenset(bore.bore().identity for bore in DEMO_BORES) if demo else frozenset()
        self._tokens = {store: store.token() for store in self.stores}
        if demo:
            self._open_demo()

    @property
    def stores(self) -> tuple[Store, ...]:
        """The records there are: the shop's and, once something was rehearsed, that of rehearsals."""
        apart = self._rehearsals()
        return (self.shop,) if apart is None else (self.shop, apart)

    def close(self) -> None:
        """Close the records."""
        for store in self.stores:
            store.close()

    def store_of(self, bore: str) -> Store:
        """Find the record that holds a bore.

        Args:
            bore: the bore's name in the record.

        Returns:
            Its record; for a name that is nowhere, the one that it would stand in.
        """
        apart = self._rehearsals() if begun(bore) is not None else None
        return self.shop if apart is None else apart

    def stand(self, bore: str) -> Stand:
        """Look how a bore stands.

        Args:
            bore: the bore's name in the record.

        Returns:
            How it stands.

        Raises:
            NotHeldError: there is no bore of that name.
        """
        return bores.stand(self.store_of(bore), bore)

    def stands(self) -> tuple[tuple[str, Stand], ...]:
        """Look how every bore of the shop stands.

        Returns:
            Each bore's name in the record and how it stands, the one opened first at the front.
        """
        return bores.all_stands(self.shop)

    def rehearsed_stands(self) -> tuple[tuple[str, Stand], ...]:
        """Look how every bore stands that can be rehearsed.

        Returns:
            Those of the demo, then those begun here.
        """
        own = [(bore, stand) for bore, stand in self.stands() if bore in self._demo_names]
        apart = self._rehearsals()
        return (*own, *(bores.all_stands(apart) if apart is not None else ()))

    def rehearsal(self, bore: str) -> Rehearsal:
        """Say which simulated machine stands behind a bore.

        Args:
            bore: the bore's name in the record.

        Returns:
            The rehearsal.

        Raises:
            NotHeldError: none does.
        """
        found = of_demo(bore) if bore in self._demo_names else begun(bore)
        if found is None:
            wrong = "No simulated machine stands behind that bore."
            raise NotHeldError(wrong, given=bore, right="Begin one at Rehearse.", where="bore")
        return found

    def is_rehearsed(self, bore: str) -> bool:
        """Tell whether a simulated machine stands behind a bore.

        Args:
            bore: the bore's name in the record.

        Returns:
            Whether one does.
        """
        return bore in self._demo_names or begun(bore) is not None

    def machine(self, bore: str) -> SimulatedMachine:
        """Rebuild the simulated machine behind a bore.

        Args:
            bore: the bore's name in the record.

        Returns:
            The machine.

        Raises:
            NotHeldError: there is no such bore, or no machine behind it.
        """
        found = self.rehearsal(bore)
        return SimulatedMachine(found.kind, found.seed, found.unit, lambda: in_effect(self.stand(bore).history))

    def begin_rehearsal(self, kind: object, seed: object, *, key: str, by: str | None) -> Mapping[str, object]:
        """Open a bore to be rehearsed.

        Args:
            kind: the kind of job.
            seed: the seed of the hidden truth.
            key: the entry's key; the bore is named after it, so that one that is sent again begins no other.
            by: who.

        Returns:
            What ``acts.open_bore`` returns.

        Raises:
            NotHeldError: there is no such kind.
            EntryError: that is no seed.
        """
        stem, given = begin(kind, seed)
        bore = f"{stem}.{hashlib.sha256(key.encode()).hexdigest()[:8]}"
        apart = self._rehearsals(begin=True)
        assert apart is not None
        return acts.open_bore(apart, given, bore=bore, key=key, by=by)

    def changed(self) -> dict[str, dict[str, int]]:
        """Say which bores have changed since the last time this was asked, whichever process wrote.

        Returns:
            For each, the numbers an act on it carries now.
        """
        found: dict[str, dict[str, int]] = {}
        for store in self.stores:
            changes = store.changed_since(self._tokens.get(store, 0))
            self._tokens[store] = changes.token
            if changes.streams:
                found |= bores.resting_on(store, changes.streams)
        return found

    def _rehearsals(self, *, begin: bool = False) -> Store | None:
        """Return the record of rehearsals; None where there is none yet and none is to be begun."""
        with self._opening:
            if self._rehearsed is None and (begin or (self._apart / FILE_NAME).exists()):
                self._rehearsed = Store.open(self._apart)
            return self._rehearsed

    def _open_demo(self) -> None:
        for demo in DEMO_BORES:
            bore = demo.bore()
            with contextlib.suppress(ConflictError):  # opened at an earlier run, or by another process
                acts.open_bore(self.shop, bore.mapping, bore=bore.identity, by="demo")
