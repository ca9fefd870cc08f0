"""Taking turns at writing: SQLite has one writer, so the threads of a process queue up here."""

import threading
from types import TracebackType

from gateway.advisory.errors import StoreDown


class WriteTurn:
    """A lock that waits ``patience_s`` seconds at most."""

    def __init__(self, patience_s: float) -> None:
        self._patience_s = patience_s
        self._lock = threading.Lock()
        self._holder: int | None = None

    def __enter__(self) -> None:
        """Raises StoreDown when the turn does not come, RuntimeError for a unit within a unit."""
        if self._holder == threading.get_ident():
            raise RuntimeError("this thread has a unit of work open for writing already")
        if not self._lock.acquire(timeout=self._patience_s):
            raise StoreDown("the store is busy writing")
        self._holder = threading.get_ident()

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._holder = None
        self._lock.release()
