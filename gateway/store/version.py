"""Which version the tables are of, told without Alembic: a server never needs the rest of it."""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, column, inspect, select, table

from gateway.advisory.errors import GatewayError

SCRIPTS: Final = Path(__file__).parent / "migrations"
# Alembic's own table, as its documentation names it.
NOTED: Final = table("alembic_version", column("version_num"))


@dataclass
class NotMigrated(GatewayError):
    """The tables are not those of this version. ``found`` is None where there are none."""

    found: str | None
    need: str

    def __str__(self) -> str:
        return f"the store is not migrated (at {self.found}, need {self.need}): run gateway migrate"


def head() -> str:
    """The version that this program needs: the last of its migrations, vNNNN_name.py."""
    return max(script.name for script in (SCRIPTS / "versions").glob("v*.py"))[1:5]


def version_of(conn: Connection) -> str | None:
    """The version noted in the database."""
    if not inspect(conn).has_table(NOTED.name):
        return None
    return conn.scalar(select(NOTED.c.version_num))


def require_migrated(conn: Connection) -> None:
    """Raises NotMigrated where the tables are not those of this version."""
    found, need = version_of(conn), head()
    if found != need:
        raise NotMigrated(found, need)
