"""Slowing down who guesses passwords, by the name that is guessed at."""

from datetime import datetime, timedelta
from threading import Lock

FREE_TRIES = 5
FIRST_PAUSE = timedelta(seconds=30)
LONGEST_PAUSE = timedelta(minutes=15)
MOST_NAMES = 10_000


class Patience:
    """Failures per name in this process. Known and unknown names are counted alike.

    After five failures each further one doubles the pause, from 30 s to 15 min.
    """

    def __init__(self) -> None:
        self._failures: dict[str, tuple[int, datetime]] = {}
        self._lock = Lock()

    def must_wait(self, name: str, now: datetime) -> bool:
        """Whether that name may not be tried yet."""
        count, last = self._failures.get(_key(name), (0, now))
        return count >= FREE_TRIES and now < last + _pause(count)

    def failed(self, name: str, now: datetime) -> None:
        """One more failure of that name."""
        with self._lock:
            key = _key(name)
            count, _ = self._failures.pop(key, (0, now))
            self._failures[key] = (count + 1, now)
            if len(self._failures) > MOST_NAMES:
                self._failures.pop(next(iter(self._failures)))

    def entered(self, name: str) -> None:
        """The right password was given: forget the failures."""
        with self._lock:
            self._failures.pop(_key(name), None)


def _key(name: str) -> str:
    return name.strip().casefold()[:200]


def _pause(count: int) -> timedelta:
    doublings = min(count - FREE_TRIES, 10)
    return min(FIRST_PAUSE * (1 << doublings), LONGEST_PAUSE)
