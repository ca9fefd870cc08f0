"""Bringing the tables to what this version needs, by Alembic from inside the package."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, text

from gateway.store.engines import BUSY_S, answering, engines, read_url
from gateway.store.version import SCRIPTS, version_of

# One migration at a time on PostgreSQL; the number is ours, any would do. SQLite has one writer.
TURN: Final = 0x41574447


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
