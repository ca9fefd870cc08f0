"""Fixtures for all tests: a migrated database of each kind, and the store on it."""

import os
import shutil
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import make_url

from gateway.store.cipher import Keys
from gateway.store.engine import SqlStore, open_store
from gateway.store.migrate import migrate
from tests import postgres

SERVER = os.environ.get("GATEWAY_TEST_POSTGRES_URL")
HAS_POSTGRES = bool(SERVER) or postgres.installed() is not None
KINDS = ("sqlite", "postgresql") if HAS_POSTGRES else ("sqlite",)
NO_POSTGRES = (
    f"NO POSTGRESQL HERE ({postgres.PACKAGE} has no wheel for this platform): the store is tested "
    "on SQLite alone. GATEWAY_TEST_POSTGRES_URL may name a server in which databases may be made."
)
SECRET = "a secret for tests, long enough"
KEYS = Keys.from_master(SECRET)
_numbers = count(1)

NewDatabase = Callable[[], str]


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
def new_postgres(postgres_server: str) -> Iterator[NewDatabase]:
    """Makes migrated databases, each a copy of one."""
    made = [f"gateway_test_{os.getpid()}"]
    _make(postgres_server, made[0])
    migrate(postgres_server.format(made[0]))

    def new() -> str:
        made.append(f"{made[0]}_{next(_numbers)}")
        _make(postgres_server, made[-1], template=made[0])
        return postgres_server.format(made[-1])

    yield new
    for name in made:
        _command(postgres_server, f"DROP DATABASE {name} WITH (FORCE)")


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


@pytest.fixture(params=KINDS)
def database_url(request: pytest.FixtureRequest) -> str:
    """A migrated database of the test's own, of each kind in turn."""
    if request.param == "sqlite":
        url: str = request.getfixturevalue("sqlite_url")
        return url
    new: NewDatabase = request.getfixturevalue("new_postgres")
    return new()


@pytest.fixture
def store(database_url: str) -> Iterator[SqlStore]:
    """The store on a migrated database of its own, of each kind in turn."""
    opened = open_store(database_url, KEYS)
    yield opened
    opened.close()


def _make(server: str, name: str, template: str = "template1") -> None:
    _command(server, f"CREATE DATABASE {name} TEMPLATE {template} ENCODING 'UTF8'")


def _command(server: str, statement: str) -> None:
    address = make_url(server.format("postgres")).set(drivername="postgresql")
    plain = address.render_as_string(hide_password=False)
    with psycopg.connect(plain, autocommit=True) as conn:
        conn.execute(statement.encode())
