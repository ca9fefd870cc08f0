"""The migrated schema, on both databases."""

import sqlite3
import subprocess
import sys

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect

from gateway.advisory.errors import StoreDown
from gateway.store import tables
from gateway.store.cipher import Keys
from gateway.store.columns import metadata
from gateway.store.engine import SqlStore, open_store
from gateway.store.engines import UnknownDatabase, engines, read_url
from gateway.store.migrate import current, migrate, script_config
from gateway.store.version import NotMigrated, head
from tests.databases import KEYS
from tests.store.field import NOW

assert tables.traffic.outbox.metadata is metadata


def test_the_migrated_schema_is_that_of_the_tables(store: SqlStore) -> None:
    with store.begin_work() as work:
        context = MigrationContext.configure(
            work.conn, opts={"compare_type": True, "compare_server_default": False}
        )
        assert compare_metadata(context, metadata) == []


def test_the_version_needed_is_the_last_that_alembic_knows() -> None:
    assert head() == ScriptDirectory.from_config(script_config()).get_current_head()


def test_migrating_again_changes_nothing(database_url: str) -> None:
    assert current(database_url) == head()
    migrate(database_url)
    assert current(database_url) == head()


def test_the_tables_can_be_taken_down_and_put_up_again(database_url: str) -> None:
    writing, reading = engines(read_url(database_url), 5, 1)
    with writing.connect() as conn:
        config = script_config()
        config.attributes["connection"] = conn
        command.downgrade(config, "base")
        assert set(inspect(conn).get_table_names()) == {"alembic_version"}
        command.upgrade(config, "head")
        assert compare_metadata(MigrationContext.configure(conn), metadata) == []
    writing.dispose()
    reading.dispose()


MIGRATING = "import sys; from gateway.store.migrate import migrate; migrate(sys.argv[1])"


def test_many_who_migrate_at_once_do_not_disturb_each_other(tmp_path) -> None:
    url = f"sqlite:///{tmp_path / 'new.sqlite'}"
    many = [subprocess.Popen([sys.executable, "-c", MIGRATING, url]) for _ in range(4)]
    assert [each.wait(60) for each in many] == [0] * 4
    assert current(url) == head()


def test_a_migration_that_fails_leaves_nothing_behind(
    tmp_path,
) -> None:
    """The last table is in the way, so the first ones must not stay either."""
    url = f"sqlite:///{tmp_path / 'new.sqlite'}"
    with sqlite3.connect(tmp_path / "new.sqlite") as conn:
        conn.execute("CREATE TABLE dialogue (id INTEGER)")
    conn.close()
    with pytest.raises(StoreDown):
        migrate(url)
    assert current(url) is None
    with sqlite3.connect(tmp_path / "new.sqlite") as conn:
        found = conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    conn.close()
    assert found == [("dialogue",)]


def test_what_is_not_a_number_is_stored_on_neither_database(store: SqlStore) -> None:
    with pytest.raises(Exception, match="not JSON compliant"), store.begin() as unit:
        unit.office.audit(None, "officer", "looked", {"level": float("nan")}, NOW)


def test_a_store_that_is_not_migrated_says_what_to_do(tmp_path) -> None:
    store = open_store(f"sqlite:///{tmp_path / 'empty.sqlite'}", KEYS)
    with pytest.raises(NotMigrated, match="run gateway migrate"), store.begin():
        pass
    store.close()
    assert current(f"sqlite:///{tmp_path / 'empty.sqlite'}") is None


@pytest.mark.parametrize("url", ["sqlite://", "sqlite:///:memory:", "mysql://u:word@h/n", "what"])
def test_an_address_of_no_store_is_refused_without_repeating_it(url: str) -> None:
    with pytest.raises(UnknownDatabase) as refused:
        open_store(url, Keys.from_master("x" * 20))
    assert "word" not in str(refused.value)


def test_a_table_changed_without_a_migration_would_be_found(store: SqlStore) -> None:
    with store.begin_work() as work:
        work.conn.exec_driver_sql("DROP INDEX ix_outbox_duty_id")
        work.conn.exec_driver_sql("ALTER TABLE phone ADD COLUMN shade VARCHAR")
        found = compare_metadata(MigrationContext.configure(work.conn), metadata)
    assert {change[0] for change in found} == {"add_index", "remove_column"}
