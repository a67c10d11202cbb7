"""The tables of the record, the versions of them this program knows, and the way from one to the next."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib.resources import files
from typing import Final

from sqlalchemy import (
    CheckConstraint,
    Column,
    Connection,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

from borewright.errors import DamagedRecordError, RecordUnavailableError

APPLICATION_ID: Final = 0x426F7265
"""Stands in the file's header, so that another program's database is never taken for a record."""

GUARDS: Final = frozenset(
    f"{table}_{rule}" for table in ("events", "keys") for rule in ("next_only", "never_change", "never_delete")
)
"""The triggers by which the file itself refuses changes, whichever program asks for them."""

NAMING: Final = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

METADATA: Final = MetaData(naming_convention=NAMING)

KEYS: Final = Table(
    "keys",
    METADATA,
    Column("key", String(200), primary_key=True),
    Column("request", String(64), nullable=False),
    Column("answer", Text, nullable=False),
)
"""Each entry's key, the hash of what was asked with it, and the first answer."""

EVENTS: Final = Table(
    "events",
    METADATA,
    Column("position", Integer, primary_key=True, autoincrement=True),
    Column("stream_kind", String(8), nullable=False),
    Column("stream_id", String(80), nullable=False),
    Column("number", Integer, CheckConstraint("number >= 1", name="number"), nullable=False),
    Column("body", LargeBinary, nullable=False),
    Column("hash", String(64), CheckConstraint("length(hash) = 64", name="hash"), nullable=False),
    Column("key", String(200), ForeignKey("keys.key", deferrable=True, initially="DEFERRED"), nullable=True),
    UniqueConstraint("stream_kind", "stream_id", "number"),
    Index(None, "key"),
)
"""Each event once: its place in the whole record and in its stream, its bytes as first written, its hash, its key."""


SETTINGS: Final = Table(
    "settings",
    METADATA,
    Column("position", Integer, primary_key=True, autoincrement=True),
    Column("name", String(40), nullable=False),
    Column("value", Text, nullable=False),
    Column("decided_at", String(40), nullable=False),
    Column("decided_by", String(80), nullable=True),
    Index(None, "name"),
)
"""What the shop decides once, as JSON: of each name the latest row holds. No bore is judged by it after its opening."""


@dataclass(frozen=True, slots=True)
class Schema:
    """The versions of the tables a program knows, and where the steps between them are kept.

    Args:
        versions: their names, oldest first; the last is the one the program works with.
        scripts: folders of migration scripts.
    """

    versions: tuple[str, ...]
    scripts: tuple[str, ...]

    @property
    def newest(self) -> str:
        """The version the program works with."""
        return self.versions[-1]


def own_schema() -> Schema:
    """Return the schema of this program.

    Returns:
        The versions known and the folder of migrations inside the package.
    """
    return Schema(
        versions=("0001", "0002"), scripts=(str(files("borewright.shop").joinpath("migrations", "versions")),)
    )


def found_version(connection: Connection, schema: Schema) -> str | None:
    """Return the version of the tables in a file.

    Args:
        connection: an open connection.
        schema: what the program knows.

    Returns:
        The version, or None where the file holds no table yet.

    Raises:
        DamagedRecordError: the file belongs to another program.
        RecordUnavailableError: the file was written by a newer version of this program.
    """
    tables = connection.exec_driver_sql("SELECT count(*) FROM sqlite_master").scalar_one()
    application = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
    if tables == 0 and application in (0, APPLICATION_ID):
        return None
    if application != APPLICATION_ID:
        raise DamagedRecordError(
            "This file is not a record of this program.",
            given=f"application id {application}",
            right="Move it away, or choose another data folder.",
        )
    version = str(connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one())
    if version not in schema.versions:
        raise RecordUnavailableError(
            f"This record was last written by a newer version of the program; this one knows its tables up to "
            f"{schema.newest}.",
            given=f"tables of version {version}",
            right="Start the newer version. Nothing was changed.",
        )
    return version


def upgrade(connection: Connection, schema: Schema, keep_copy: Callable[[str], None]) -> None:
    """Bring the tables to the version the program works with, inside the caller's transaction.

    Args:
        connection: a connection that holds the write lock, with foreign keys not enforced.
        schema: what the program knows.
        keep_copy: copies the file as it stands before its tables are changed; given the version found. Not called
            for a file that holds nothing yet.

    Raises:
        DamagedRecordError: a reference would point nowhere afterwards; the caller must roll back.
        RecordUnavailableError: the file was written by a newer version.
    """
    version = found_version(connection, schema)
    if version == schema.newest:
        return
    if version is not None:
        keep_copy(version)
    _run_alembic(connection, schema)
    if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        raise DamagedRecordError("A table change would leave a reference that points nowhere; nothing was changed.")


def _run_alembic(connection: Connection, schema: Schema) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(files("borewright.shop").joinpath("migrations")).replace("%", "%%"))
    config.set_main_option("path_separator", "newline")
    config.set_main_option("version_locations", "\n".join(schema.scripts).replace("%", "%%"))
    config.attributes["connection"] = connection
    config.attributes["metadata"] = METADATA
    command.upgrade(config, schema.newest)
