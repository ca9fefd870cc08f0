"""Fixtures for all tests: a migrated database of each kind, and the store on it."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import make_url

from gateway.store import tables
from gateway.store.cipher import Keys
from gateway.store.columns import metadata
from gateway.store.engine import SqlStore, open_store
from gateway.store.migrate import migrate
from tests import postgres

SERVER = os.environ.get("GATEWAY_TEST_POSTGRES_URL")
HAS_POSTGRES = bool(SERVER) or postgres.installed() is not None
FIXTURES = {"sqlite": "sqlite_url"} | ({"postgresql": "postgres_url"} if HAS_POSTGRES else {})
PATIENCE_S = 60
NO_POSTGRES = (
    f"NO POSTGRESQL HERE ({postgres.PACKAGE} has no wheel for this platform): the store is tested "
    "on SQLite alone. GATEWAY_TEST_POSTGRES_URL may name a server in which databases may be made."
)
SECRET = "a secret for tests, long enough"
assert tables.places.scheme.metadata is metadata  # every table is known to it
KEYS = Keys.from_master(SECRET)


def pytest_report_header() -> str | None:
    """Say so where half of the store's tests cannot be."""
    return None if HAS_POSTGRES else NO_POSTGRES


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say it again at the end, where a quiet run shows it too."""
    if not HAS_POSTGRES:
        terminalreporter.write_line(NO_POSTGRES)


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """The address of a server, with {} in the place of the database's name."""
    if SERVER:
        url = make_url(SERVER).set(drivername="postgresql+psycopg", database="{}")
        yield url.render_as_string(hide_password=False).replace("%7B%7D", "{}")
        return
    with postgres.running() as address:
        yield address


@pytest.fixture(scope="session")
def migrated_postgres(postgres_server: str) -> Iterator[str]:
    """The address of a migrated database, shared by all tests of this process in turn."""
    name = f"gateway_test_{os.getpid()}"
    command(postgres_server.format("postgres"), f"CREATE DATABASE {name} ENCODING 'UTF8'")
    url = postgres_server.format(name)
    migrate(url)
    yield url
    if SERVER:
        command(postgres_server.format("postgres"), f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def postgres_url(migrated_postgres: str) -> str:
    """A migrated database that holds nothing. Emptying one is faster than making one."""
    names = ", ".join(table.name for table in metadata.sorted_tables)
    emptied = f"TRUNCATE {names} RESTART IDENTITY CASCADE"
    command(migrated_postgres, f"SET lock_timeout = '{PATIENCE_S}s'; {emptied}")
    return migrated_postgres


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A migrated SQLite file, to be copied."""
    place = tmp_path_factory.mktemp("migrated") / "store.sqlite"
    migrate(f"sqlite:///{place}")
    return place


@pytest.fixture
def sqlite_url(migrated_file: Path, tmp_path: Path) -> str:
    """A migrated SQLite file of the test's own."""
    return f"sqlite:///{shutil.copy(migrated_file, tmp_path / 'store.sqlite')}"


@pytest.fixture(params=list(FIXTURES))
def database_url(request: pytest.FixtureRequest) -> str:
    """A migrated database of the test's own, of each kind in turn."""
    url: str = request.getfixturevalue(FIXTURES[request.param])
    return url


@pytest.fixture
def store(database_url: str) -> Iterator[SqlStore]:
    """The store on a migrated database of its own, of each kind in turn."""
    opened = open_store(database_url, KEYS)
    yield opened
    opened.close()


def command(url: str, statements: str) -> None:
    """Run statements on a PostgreSQL."""
    address = make_url(url).set(drivername="postgresql").render_as_string(hide_password=False)
    with psycopg.connect(address, autocommit=True) as conn:
        conn.execute(statements.encode())
