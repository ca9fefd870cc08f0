"""From days and levels to places on paper."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta


@dataclass(frozen=True, slots=True)
class Scale:
    """A rectangle of paper with its first and last day, and its highest and lowest level (cm)."""

    left: float
    right: float
    top: float
    bottom: float
    first: date
    last: date
    highest_cm: float
    lowest_cm: float

    def x(self, day: date, share: float = 0.5) -> float:
        """Where a day lies; ``share`` 0 is its morning, 1 its end."""
        days = (self.last - self.first).days + 1
        return self.left + (self.right - self.left) * ((day - self.first).days + share) / days

    def y(self, level_cm: float) -> float:
        """Where a level lies; what is off the scale lies on its edge."""
        within = min(max(level_cm, self.lowest_cm), self.highest_cm)
        reach = self.highest_cm - self.lowest_cm
        return self.top + (self.bottom - self.top) * (self.highest_cm - within) / reach

    def levels(self, step: int = 5) -> Iterator[int]:
        """The levels that get a line: whole steps within the scale."""
        start = -int(-self.lowest_cm // step) * step
        yield from range(start, int(self.highest_cm) + 1, step)

    def days(self, step: int) -> Iterator[date]:
        """The days that get a tick: Mondays, each or every other one."""
        day = self.first + timedelta(days=-self.first.weekday() % 7)
        while day <= self.last:
            yield day
            day += timedelta(days=step)
