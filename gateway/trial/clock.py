"""A clock that is moved by hand, forwards only."""

from datetime import datetime


class MovingClock:
    """A Clock for rehearsals: the present is where it was last moved to."""

    def __init__(self, start: datetime) -> None:
        self._now = start

    def now(self) -> datetime:
        """The present moment, in UTC."""
        return self._now

    def move_to(self, moment: datetime) -> None:
        """Go forwards to ``moment``; a moment gone by leaves the clock where it is."""
        self._now = max(self._now, moment)
