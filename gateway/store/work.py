"""What every repository works with: one connection inside one transaction, and the keys."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import (
    BindParameter,
    ColumnElement,
    Connection,
    CursorResult,
    Executable,
    Row,
    Select,
    Table,
    bindparam,
)
from sqlalchemy.dialects.postgresql import insert
from sqlalchemy.exc import IntegrityError

from gateway.advisory.errors import GatewayError, NotOnRecord
from gateway.store.cipher import Keys
from gateway.store.memory import Memory


@dataclass
class RuleBroken(GatewayError):
    """A row that the tables refuse; ``rule`` names the constraint, never the row's values."""

    rule: str

    def __str__(self) -> str:
        return f"the store refuses this row: {self.rule}"


@dataclass(slots=True)
class Work:
    """The connection of a unit of work, the keys of the store, and what it remembers."""

    conn: Connection
    keys: Keys
    memory: Memory = field(default_factory=Memory)

    def forget(self) -> None:
        """Go on with a memory of its own: what is written from here on may be taken back."""
        self.memory = Memory()

    def run(self, statement: Executable, **values: Any) -> CursorResult[Any]:
        """Execute a statement with its named values. Raises RuleBroken."""
        return self._run(statement, values)

    def run_many(self, statement: Executable, rows: list[dict[str, Any]]) -> None:
        """Execute a statement for each of many rows of values, if there are any."""
        if rows:
            self._run(statement, rows)

    def rows_of_many(self, statement: Executable, rows: list[dict[str, Any]]) -> list[Row[Any]]:
        """What a statement gives back for many rows of values, in no order."""
        return list(self._run(statement, rows).all()) if rows else []

    def row(self, statement: Executable, **values: Any) -> Row[Any] | None:
        """The first row, if there is one."""
        return self._run(statement, values).first()

    def rows(self, statement: Executable, **values: Any) -> list[Row[Any]]:
        """All rows."""
        return list(self._run(statement, values).all())

    def need(self, kind: str, key: object, statement: Executable, **values: Any) -> Row[Any]:
        """The first row; raises NotOnRecord with ``kind`` and ``key`` where there is none."""
        found = self.row(statement, **values)
        if found is None:
            raise NotOnRecord(kind, str(key))
        return found

    def number(self, statement: Executable, **values: Any) -> int:
        """The single number that a statement gives."""
        return int(self._run(statement, values).scalar_one())

    def number_or_none(self, statement: Executable, **values: Any) -> int | None:
        """The single number, or None where no row came (an insert that met its like)."""
        found = self._run(statement, values).scalar()
        return None if found is None else int(found)

    def _run(self, statement: Executable, values: Any) -> CursorResult[Any]:
        try:
            return self.conn.execute(statement, values)
        except IntegrityError as error:
            # The driver's words would repeat the row, and with it somebody's text.
            raise RuleBroken(_rule(error)) from None


def _rule(error: IntegrityError) -> str:
    named = getattr(getattr(error.orig, "diag", None), "constraint_name", None)
    if named:
        return str(named)
    if hasattr(error.orig, "sqlite_errorname"):
        return str(error.orig)
    return type(error.orig).__name__


class Repository:
    """A part of the store, bound to one unit of work."""

    def __init__(self, work: Work) -> None:
        self.work = work


def added(table: Table) -> Any:
    """An insert that gives the number of the new row."""
    return insert(table).returning(table.c.id)


def added_once(table: Table, *unique: str) -> Any:
    """An insert that gives no row where one with the same ``unique`` columns is there already.

    SQLite and PostgreSQL write ON CONFLICT alike, so one statement serves both.
    """
    once = insert(table).on_conflict_do_nothing(index_elements=list(unique))
    return once.returning(table.c.id) if "id" in table.c else once


@dataclass(frozen=True, slots=True)
class OneOrMany:
    """A statement for one key, and for many: an IN with one value costs as much again as the rest.

    The values are those of ``the_one`` or ``the_many``.
    """

    one: Select[Any]
    many: Select[Any]

    def rows(self, work: Work, keys: Sequence[Any], **values: Any) -> list[Row[Any]]:
        """All rows of those keys."""
        if len(keys) == 1:
            return work.rows(self.one, the_one=keys[0], **values)
        return work.rows(self.many, the_many=list(keys), **values)


def one_or_many(column: ColumnElement[Any], statement: Select[Any]) -> OneOrMany:
    """The statement where ``column`` is one key, or one of many."""
    several: BindParameter[Any] = bindparam("the_many", expanding=True)
    return OneOrMany(
        statement.where(column == bindparam("the_one")), statement.where(column.in_(several))
    )
