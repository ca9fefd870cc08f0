"""A copy of a store as it stands, for a rehearsal: the original is read and never written."""

from typing import Any, Final

from sqlalchemy import Connection, Table, insert, select

from gateway.store import tables
from gateway.store.columns import metadata
from gateway.store.engines import BUSY_S, answering, engines, read_url
from gateway.store.migrate import migrate
from gateway.store.tables.traffic import outbox
from gateway.store.version import require_migrated

ROWS_AT_ONCE: Final = 1000
assert tables.places.scheme.metadata is metadata  # every table is known to it


def copy_store(url: str, to: str, carrier: str) -> int:
    """Copy every row at ``url`` to a new store at ``to``, all as of one instant; how many rows.

    Both may be of either kind. The original is opened by an engine that cannot write. In the copy
    every text out goes by ``carrier``. Raises NotMigrated, StoreDown, UnknownDatabase.
    """
    migrate(to)
    writing, reading = engines(read_url(to), BUSY_S, 1)
    other, original = engines(read_url(url), BUSY_S, 1)
    as_of_one_instant = (
        {"isolation_level": "REPEATABLE READ"} if original.name == "postgresql" else {}
    )
    try:
        with answering(), original.connect() as conn, writing.connect() as copy:
            conn = conn.execution_options(**as_of_one_instant)
            require_migrated(conn)
            rows = sum(_copy_table(conn, copy, table, carrier) for table in metadata.sorted_tables)
            copy.commit()
    finally:
        for engine in (writing, reading, other, original):
            engine.dispose()
    return rows


def _copy_table(conn: Connection, copy: Connection, table: Table, carrier: str) -> int:
    changed = {"carrier": carrier} if table is outbox else {}
    # By number: a row that takes the place of another stands behind it.
    found = conn.execute(select(table).order_by(*table.primary_key.columns))
    copied = 0
    while rows := found.fetchmany(ROWS_AT_ONCE):
        values: list[dict[str, Any]] = [{**row._mapping, **changed} for row in rows]
        copy.execute(insert(table), values)
        copied += len(values)
    return copied
