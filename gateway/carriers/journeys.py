"""What travels on the simulated link, ordered by when it arrives."""

import heapq
import random
from collections.abc import Callable
from datetime import datetime, timedelta

Arrive = Callable[[datetime, datetime], None]
INBOUND, OUTBOUND, RECEIPTS = "in", "out", "receipts"


class Journeys:
    """A queue of arrivals. On one lane nothing overtakes, unless it is held back on purpose.

    Not thread-safe: its owner holds the lock.
    """

    def __init__(self, chance: random.Random) -> None:
        self._chance = chance
        self._queue: list[tuple[datetime, int, Arrive]] = []
        self._started = 0
        self._last: dict[str, datetime] = {}

    def start(
        self,
        lane: str,
        now: datetime,
        delay_s: tuple[float, float],
        hold_back_s: float | None,
        arrive: Arrive,
    ) -> datetime:
        """Let something travel; ``arrive(due, now)`` is what happens at its end. When it is due."""
        due = now + timedelta(seconds=self._chance.uniform(*delay_s))
        due = max(due, self._last.get(lane, due))
        if hold_back_s is None:
            self._last[lane] = due
        else:
            due += timedelta(seconds=hold_back_s)
        self.put(due, arrive)
        return due

    def put(self, due: datetime, arrive: Arrive) -> None:
        """Let something arrive at ``due``, whatever travels beside it."""
        self._started += 1
        heapq.heappush(self._queue, (due, self._started, arrive))

    def next_due(self) -> datetime | None:
        """When the next one arrives, or None where nothing travels."""
        return self._queue[0][0] if self._queue else None

    def pop(self, now: datetime) -> tuple[datetime, Arrive] | None:
        """The next one that is due, or None."""
        if not self._queue or self._queue[0][0] > now:
            return None
        due, _, arrive = heapq.heappop(self._queue)
        return due, arrive
