"""Job files: the bores of a job as a person types them, in TOML, every decimal kept as it stands.

A bore takes the same fields as ``Bore.start``. Any of them but ``name``, ``callout`` and ``hole`` may also stand at the
top of the file: a bore that does not give that field takes it from there, whole (two tables are never mixed).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path as FilePath
from typing import Final, cast, get_args

from borewright.callout import parse_callout
from borewright.errors import BorewrightError, EntryError, NotHeldError
from borewright.exchange.identity import bore_identity, tidy_name
from borewright.exchange.toml_faults import read_toml
from borewright.exchange.toml_lines import Path, key_lines, nearest_line
from borewright.quantity.length import Unit, parse_length
from borewright.record.faults import payload_faults, unknown_field
from borewright.record.fields import payload_plain, payload_schema, read_payload
from borewright.record.payloads.opened import Start
from borewright.record.stream import Plain

FORMAT: Final = 1
_LARGEST: Final = 1_000_000
_NUMBER: Final = re.compile(r"-?\d+(\.\d+)?")
_OWN_FIELDS: Final = ("borewright", "units", "job", "part", "shop", "bore")
_NEVER_SHARED: Final = ("name", "callout", "hole", "unit")
_BORE_FIELDS: Final = tuple(cast("dict[str, object]", payload_schema(Start)["properties"]))
_SHARED_FIELDS: Final = tuple(name for name in _BORE_FIELDS if name not in _NEVER_SHARED)


class JobFileError(EntryError):
    """A job file has faults; all that could be found are told together.

    Args:
        faults: each with the line and the field in ``where``, in the order of the lines.
        where: the file's name.
    """

    def __init__(self, faults: Sequence[BorewrightError], where: str) -> None:
        """Keep the faults, so that each can be shown on a line of its own."""
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        super().__init__(f"The job file has {count}.", where=where)
        self.faults = tuple(faults)

    def __str__(self) -> str:
        return "\n".join([super().__str__(), *(f"  {fault}" for fault in self.faults)])

    def as_problem(self) -> dict[str, object]:
        """Return the error as plain values, with the faults.

        Returns:
            The mapping of the family, with ``faults`` added.
        """
        return {**super().as_problem(), "faults": [fault.as_problem() for fault in self.faults]}


@dataclass(frozen=True, slots=True)
class JobBore:
    """One bore of a job file.

    Args:
        name: its name in the job.
        identity: of its stream, from the job's name and its own.
        mapping: what ``Bore.start`` takes, with the name, the unit and the job's shared fields filled in.
    """

    name: str
    identity: str
    mapping: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Job:
    """A job file as it was read.

    Args:
        name: the job's name.
        units: unit of every length that carries none.
        bores: in the file's order.
        part: the part and its drawing, in words.
        shop: the shop, in words.
    """

    name: str
    units: Unit
    bores: tuple[JobBore, ...]
    part: str | None = None
    shop: str | None = None

    def bore(self, name: str) -> JobBore:
        """Find a bore by its name, in capitals or not.

        Args:
            name: as a person types it.

        Returns:
            The bore.

        Raises:
            NotHeldError: no bore of the job has that name.
        """
        for bore in self.bores:
            if bore.name.casefold() == tidy_name(name).casefold():
                return bore
        names = ", ".join(bore.name for bore in self.bores)
        raise NotHeldError("No bore of this job has that name.", given=name, right=f"It has {names}.")


@dataclass(frozen=True, slots=True)
class Edit:
    """A field of a job file that no longer says what the bore was opened with.

    Args:
        field: such as ``gauge.step``.
        opened: what the bore was opened with, or None.
        now: what the file says now, or None.
    """

    field: str
    opened: Plain
    now: Plain


def read_job(text: str, where: str = "job file") -> Job:
    """Read a job file.

    Args:
        text: the file's text.
        where: the file's name, for messages.

    Returns:
        The job.

    Raises:
        JobFileError: with every fault that could be found, each told by line and field.
    """
    read = read_toml(text)
    reader = _Reader(read.values or {}, key_lines(read.text) if read.values else {(): 1})
    job = reader.job() if read.values is not None else None
    if job is not None and not read.faults:
        return job
    raise JobFileError(sorted([*read.faults, *reader.faults], key=_line), where)


def load_job(path: FilePath) -> Job:
    """Read a job file from disk.

    Args:
        path: the file.

    Returns:
        The job.

    Raises:
        EntryError: there is no such file, or it cannot be read as text.
        JobFileError: with every fault that could be found, each told by line and field.
    """
    where = str(path)
    try:
        stored = path.read_bytes()
    except FileNotFoundError:
        raise EntryError("There is no such file.", right="Check the name and the folder.", where=where) from None
    except IsADirectoryError:
        raise EntryError("That is a folder.", right="Name the job file in it.", where=where) from None
    except OSError as error:
        raise EntryError(f"The file cannot be read: {error.strerror}.", where=where) from None
    if len(stored) > _LARGEST:
        raise EntryError("That is too large for a job file.", right=f"Keep it under {_LARGEST} bytes.", where=where)
    try:
        return read_job(stored.decode("utf-8-sig"), where)
    except UnicodeDecodeError as error:
        line = stored.count(b"\n", 0, error.start) + 1
        fault = EntryError("A byte there is not UTF-8.", right="Save the file as UTF-8.", where=f"line {line}")
        raise JobFileError([fault], where) from None


def edits_since(opened: Mapping[str, Plain], bore: JobBore) -> list[Edit]:
    """Compare a bore in a job file with what it was opened with.

    Args:
        opened: what was stored as typed when the bore was opened.
        bore: the bore as the file has it now.

    Returns:
        The fields that differ, in alphabetical order. What is merely written another way does not differ.
    """
    before = dict(_leaves(dict(opened)))
    now = dict(_leaves(_as_stored(bore.mapping)))
    return [
        Edit(field, before.get(field), now.get(field))
        for field in sorted({*before, *now})
        if not _same(before.get(field), now.get(field))
    ]


def _same(one: Plain, other: Plain) -> bool:
    """Tell whether two stored values say the same, however many zeros they carry."""
    if one == other or not isinstance(one, str) or not isinstance(other, str):
        return one == other
    try:
        return parse_length(one, signed=True) == parse_length(other, signed=True)
    except EntryError:
        return (
            _NUMBER.fullmatch(one) is not None
            and _NUMBER.fullmatch(other) is not None
            and Decimal(one) == Decimal(other)
        )


def _as_stored(mapping: Mapping[str, object]) -> dict[str, Plain]:
    return payload_plain(read_payload(Start, mapping, cast("Unit", mapping["unit"])))


def _leaves(plain: Plain, field: str = "") -> list[tuple[str, Plain]]:
    if not isinstance(plain, dict):
        return [(field, plain)]
    return [leaf for name, inner in plain.items() for leaf in _leaves(inner, f"{field}.{name}" if field else name)]


class _Reader:
    """Reads what the TOML reader gave, noting each fault with the line it stands on."""

    def __init__(self, values: dict[str, object], lines: dict[Path, int]) -> None:
        self.values = values
        self.lines = lines
        self.faults: list[BorewrightError] = []

    def job(self) -> Job | None:
        """Return the job, or None where there are faults."""
        self.version()
        units = self.units()
        name, part, shop = self.words("job", needed=True), self.words("part"), self.words("shop")
        for field in self.values:
            if field not in _OWN_FIELDS and field not in _SHARED_FIELDS:
                self.fault((field,), self.unknown_at_top(field))
        bores = self.bores(name or "", units)
        if self.faults or units is None or name is None:
            return None
        return Job(name, units, bores, part, shop)

    def version(self) -> None:
        given = self.values.get("borewright")
        if given is None:
            self.fault(("borewright",), EntryError("It is missing.", right=f"Write borewright = {FORMAT} at the top."))
        elif given != FORMAT or isinstance(given, bool):
            right = f"This program reads borewright = {FORMAT}."
            self.fault(("borewright",), EntryError("That version of job files is not known.", given=given, right=right))

    def units(self) -> Unit | None:
        given = self.values.get("units")
        right = 'Write units = "mm" or units = "in".'
        if given is None:
            self.fault(("units",), EntryError("It is missing: every job file says its unit.", right=right))
        elif given in get_args(Unit):
            return cast("Unit", given)
        else:
            self.fault(("units",), EntryError("That is not a unit of a job.", given=given, right=right))
        return None

    def words(self, field: str, *, needed: bool = False) -> str | None:
        given = self.values.get(field)
        if isinstance(given, str) and tidy_name(given):
            return tidy_name(given)
        if given is not None:
            self.fault((field,), EntryError("Words are wanted.", given=given, right="Put them in quotes."))
        elif needed:
            self.fault((field,), EntryError("It is missing.", right=f'Write {field} = "..." at the top.'))
        return None

    def unknown_at_top(self, field: str) -> EntryError:
        if field in _NEVER_SHARED:
            right = "Give it in each [[bore]]; the unit of all stands in units."
            return EntryError("It cannot stand for the whole job.", right=right)
        return unknown_field(field, [*_OWN_FIELDS, *_SHARED_FIELDS])

    def bores(self, job: str, units: Unit | None) -> tuple[JobBore, ...]:
        given = self.values.get("bore")
        right = "Begin each bore with a line [[bore]] of its own."
        if given is None or given == []:
            self.fault(("bore",), EntryError("No bore stands in the file.", right=right))
            return ()
        if not isinstance(given, list) or not all(isinstance(bore, dict) for bore in given):
            self.fault(("bore",), EntryError("A list of bores is wanted.", right=right))
            return ()
        bores = [self.bore(job, units, bore, index) for index, bore in enumerate(given)]
        self.same_names(bores)
        return tuple(bores)

    def bore(self, job: str, units: Unit | None, given: dict[str, object], index: int) -> JobBore:
        shared = {field: self.values[field] for field in _SHARED_FIELDS if field in self.values and field not in given}
        name = given.get("name")
        if name is None:
            right = 'Write name = "..." so that it can be told from the others.'
            self.fault(("bore", index, "name"), EntryError("It is missing.", right=right))
        name = tidy_name(name) if isinstance(name, str) else ""
        mapping: dict[str, object] = {"unit": units, **shared, **given}
        unit = mapping["unit"] if mapping["unit"] in get_args(Unit) else units
        faults = [*payload_faults(Start, mapping, cast("Unit", unit or "mm")), *_callout_faults(mapping, unit)]
        identity = bore_identity(job, name)
        if not faults and unit is not None:
            faults = _opening_faults(mapping, identity)
        for fault in faults:
            path = _path(fault)
            place: Path = path if path[0] in shared else ("bore", index, *path)
            self.fault(place, fault)
        if name:
            mapping["name"] = name
        return JobBore(name, identity, mapping)

    def same_names(self, bores: Sequence[JobBore]) -> None:
        first: dict[str, int] = {}
        for index, bore in enumerate(bores):
            earlier = first.setdefault(bore.name.casefold(), index)
            if bore.name and earlier != index:
                wrong = f"The bore on line {self.lines['bore', earlier]} has that name already."
                fault = EntryError(wrong, given=bore.name, right="Give each bore a name of its own.")
                self.fault(("bore", index, "name"), fault)

    def fault(self, path: Path, fault: BorewrightError) -> None:
        """Note a fault once, with its line and field; a shared field is wrong for every bore that takes it."""
        fault.where = f"line {nearest_line(self.lines, path)}, {_said(path)}"
        if isinstance(fault.given, Decimal):
            fault.given = str(fault.given)
        if str(fault) not in map(str, self.faults):
            self.faults.append(fault)


def _callout_faults(mapping: Mapping[str, object], unit: object) -> list[BorewrightError]:
    written = mapping.get("callout")
    if isinstance(written, str) and written.strip():
        try:
            parse_callout(written, cast("Unit", unit or "mm"))
        except BorewrightError as error:
            error.where = "callout"
            return [error]
    return []


def _opening_faults(mapping: Mapping[str, object], identity: str) -> list[BorewrightError]:
    """Open the bore in memory, for what only shows when its fields are taken together, such as a hole over size."""
    from borewright.sizing.opening import opening_drafts

    try:
        opening_drafts(mapping, identity)
    except BorewrightError as error:
        return [error]
    return []


def _line(fault: BorewrightError) -> int:
    return int(fault.where.removeprefix("line ").partition(",")[0])


def _path(fault: BorewrightError) -> Path:
    """Turn ``gauge.step`` or ``cuts[1].depth`` into a path."""
    return tuple(int(step) if step.isdecimal() else step for step in re.findall(r"[^.\[\]]+", fault.where))


def _said(path: Path) -> str:
    """Say a path as a person counts: ``bore 2, gauge.step``."""
    if len(path) > 1 and path[0] == "bore":
        return ", ".join([f"bore {int(path[1]) + 1}", _said(path[2:])]) if len(path) > 2 else f"bore {int(path[1]) + 1}"
    return ".".join(f"{step + 1}" if isinstance(step, int) else step for step in path)
