"""Bringing the tables to what this version needs, by Alembic from inside the package."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, text

from gateway.advisory.errors import GatewayError
from gateway.store.engines import BUSY_S, answering, engines, read_url

SCRIPTS: Final = Path(__file__).parent / "migrations"
# One migration at a time on PostgreSQL; the number is ours, any would do. SQLite has one writer.
TURN: Final = 0x41574447


@dataclass
class NotMigrated(GatewayError):
    """The tables are not those of this version. ``found`` is None where there are none."""

    found: str | None
    need: str

    def __str__(self) -> str:
        return f"the store is not migrated (at {self.found}, need {self.need}): run gateway migrate"


def migrate(url: str) -> None:
    """Bring the tables at ``url`` to this version. Doing it twice, or twice at once, is harmless.

    Raises StoreDown where the database does not answer, UnknownDatabase.
    """
    # Begun here, before Alembic looks at anything: it then neither commits nor begins by itself.
    with _migrating(url) as conn, conn.begin():
        if conn.dialect.name == "postgresql":
            conn.execute(text(f"SELECT pg_advisory_xact_lock({TURN})"))
        config = script_config()
        config.attributes["connection"] = conn
        command.upgrade(config, "head")


def current(url: str) -> str | None:
    """The version of the tables at ``url``; None where there are none."""
    with _migrating(url) as conn:
        return version_of(conn)


def head() -> str:
    """The version that this program needs."""
    newest = ScriptDirectory.from_config(script_config()).get_current_head()
    assert newest is not None, "the package carries its migrations"
    return newest


def require_migrated(conn: Connection) -> None:
    """Raises NotMigrated where the tables are not those of this version."""
    found, need = version_of(conn), head()
    if found != need:
        raise NotMigrated(found, need)


def version_of(conn: Connection) -> str | None:
    """The version noted in the database."""
    return MigrationContext.configure(conn).get_current_revision()


def script_config() -> Config:
    """Alembic's settings: where the scripts are, nothing else."""
    config = Config()
    config.set_main_option("script_location", str(SCRIPTS).replace("%", "%%"))
    return config


@contextmanager
def _migrating(url: str) -> Iterator[Connection]:
    writing, reading = engines(read_url(url), BUSY_S, 1)
    try:
        with answering(), writing.connect() as conn:
            yield conn
    finally:
        writing.dispose()
        reading.dispose()
