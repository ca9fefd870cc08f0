"""The ticks: when to ask, never what. The rows of the store decide what is owed and sent."""

import logging
import threading
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Final

from apscheduler.executors.pool import ThreadPoolExecutor
from apscheduler.jobstores.memory import MemoryJobStore
from apscheduler.schedulers.background import BackgroundScheduler

log = logging.getLogger(__name__)

GATHER_S: Final = 0.005


class Ticker:
    """Calls the calendar every so often, and the dispatchers also when something was put out."""

    def __init__(
        self,
        owe: Callable[[], int | None],
        dispatchers: dict[str, Callable[[], int]],
        pumps: dict[str, Callable[[], object]],
        seconds: float,
        tidy: Callable[[], object],
        many: Callable[[], int | None] = lambda: None,
    ) -> None:
        """``owe`` goes through one part of the calendar, and gives None where nothing is left.

        So does ``many`` with the texts of broadcasts. ``tidy`` is called once a tick, after both.
        """
        self._owe, self._dispatchers, self._pumps = owe, dispatchers, pumps
        self._tidy, self._many = tidy, many
        self._wakes = {name: threading.Event() for name in dispatchers}
        self._stop = threading.Event()
        self._threads: list[threading.Thread] = []
        self._seconds = seconds
        self._scheduler = BackgroundScheduler(
            jobstores={"default": MemoryJobStore()},
            executors={"default": ThreadPoolExecutor(2)},
            job_defaults={"coalesce": True, "max_instances": 1, "misfire_grace_time": None},
            timezone="UTC",
        )

    def start(self) -> None:
        """Start ticking: at once, then every so many seconds, until ``stop``."""
        # At once, but not here: a round through many plots must not keep the server from opening.
        self._scheduler.add_job(
            self._tick,
            "interval",
            seconds=self._seconds,
            id="calendar",
            next_run_time=datetime.now(UTC),
        )
        self._scheduler.start()
        self._threads = [
            threading.Thread(target=self._send, args=(name,), name=f"send-{name}", daemon=True)
            for name in self._dispatchers
        ]
        self._threads += [
            threading.Thread(target=self._pump, args=(pump,), name=f"pump-{name}", daemon=True)
            for name, pump in self._pumps.items()
        ]
        for thread in self._threads:
            thread.start()

    def wake(self) -> None:
        """Something was put in the outbox: look now."""
        for event in self._wakes.values():
            event.set()

    def stop(self) -> None:
        """Finish what is under way and stop."""
        self._stop.set()
        self.wake()
        self._scheduler.shutdown(wait=True)
        for thread in self._threads:
            thread.join(timeout=10)

    def _tick(self) -> None:
        """All parts of the calendar, one after the other; to stop waits for no more than one."""
        for name, step in (("broadcasts", self._many), ("calendar", self._owe)):
            while not self._stop.is_set() and self._guarded(name, step, None) is not None:
                pass
        self._guarded("tidying", self._tidy)
        self.wake()

    def _send(self, name: str) -> None:
        event = self._wakes[name]
        while not self._stop.is_set():
            event.wait(timeout=self._seconds)
            # What comes in a burst goes out in one pass, after the callback has its answer.
            self._stop.wait(GATHER_S)
            event.clear()
            while not self._stop.is_set() and self._guarded(name, self._dispatchers[name]):
                pass

    def _pump(self, pump: Callable[[], object]) -> None:
        while not self._stop.wait(0.1):
            self._guarded("pump", pump)

    def _guarded(self, name: str, work: Callable[[], object], failed: object = 0) -> object:
        """One fault must not end the ticking; it is logged and the next tick tries again."""
        try:
            return work()
        except Exception:
            log.exception("%s failed; the next tick tries again", name)
            return failed
