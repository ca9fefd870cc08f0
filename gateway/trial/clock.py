"""A clock that is moved by hand: for histories, rehearsals and tests."""

from datetime import datetime, timedelta


class MovedClock:
    """Stands still until it is moved, and never runs back."""

    def __init__(self, start: datetime) -> None:
        self._now = start

    def now(self) -> datetime:
        """The moment it stands at, aware, in UTC."""
        return self._now

    def move(self, by: timedelta) -> None:
        """Move it on by a span of time."""
        self.move_to(self._now + by)

    def move_to(self, moment: datetime) -> None:
        """Move it on to a moment. Raises ValueError for an earlier one."""
        if moment < self._now:
            raise ValueError(f"a clock does not run back: {moment} is before {self._now}")
        self._now = moment
