"""The store: units of work on one database."""

from collections.abc import Iterator
from contextlib import contextmanager, nullcontext

from gateway.store.attention import SqlAttention
from gateway.store.blockviews import SqlBlockViews
from gateway.store.broadcastviews import SqlBroadcastViews
from gateway.store.calendarviews import SqlCalendarViews
from gateway.store.cipher import Keys
from gateway.store.engines import BUSY_S, answering, engines, read_url
from gateway.store.memory import Memory
from gateway.store.peopleviews import SqlPeopleViews
from gateway.store.readerviews import SqlReaderViews
from gateway.store.turn import WriteTurn
from gateway.store.unit import SqlUnit
from gateway.store.version import require_migrated
from gateway.store.views import SqlViews
from gateway.store.work import Work


class SqlStore:
    """Everything kept, on one database. Safe to share between threads; close() it at the end."""

    def __init__(self, url: str, keys: Keys, busy_s: float, pool_size: int) -> None:
        address = read_url(url)
        self.keys = keys
        self._writing, self._reading = engines(address, busy_s, pool_size)
        self._turn = WriteTurn(busy_s) if address.get_backend_name() == "sqlite" else None
        self._migrated = False
        self._memory = Memory()
        self.views = SqlViews(self.begin_work)
        self.attention_views = SqlAttention(self.begin_work)
        self.reader_views = SqlReaderViews(self.begin_work)
        self.block_views = SqlBlockViews(self.begin_work)
        self.calendar_views = SqlCalendarViews(self.begin_work)
        self.broadcast_views = SqlBroadcastViews(self.begin_work)
        self.people_views = SqlPeopleViews(self.begin_work)

    @contextmanager
    def begin(self, write: bool = True) -> Iterator[SqlUnit]:
        """A unit of work; without ``commit`` nothing happened.

        On SQLite the writers of this process take turns, and ``write=False`` reads beside them.
        Raises StoreDown where the database does not answer, NotMigrated where its tables are not
        those of this version, RuntimeError where this thread is writing already (on SQLite).
        """
        with self.begin_work(write) as work:
            yield SqlUnit(work)

    @contextmanager
    def begin_work(self, write: bool = True) -> Iterator[Work]:
        """The connection and the keys of a unit of work; what is not committed is undone."""
        turn = self._turn if write and self._turn else nullcontext()
        engine = self._writing if write else self._reading
        with turn, answering(), engine.connect() as conn:
            if not self._migrated:
                require_migrated(conn)
                self._migrated = True
            yield Work(conn, self.keys, self._memory)

    def close(self) -> None:
        """Give back every connection."""
        self._writing.dispose()
        self._reading.dispose()


def open_store(url: str, keys: Keys, *, busy_s: float = BUSY_S, pool_size: int = 10) -> SqlStore:
    """The store at ``url`` (sqlite:///FILE or postgresql://...). It connects at the first use.

    ``busy_s`` is how long a writer waits for its turn on SQLite, in seconds. Raises
    UnknownDatabase.
    """
    return SqlStore(url, keys, busy_s, pool_size)
