"""Rounds of the calendar through all plots, in parts that any number of processes share."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a round, and the plots in it that have a season."""

    id: int
    plots: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """How far the event books and the seasons were looked at, as numbers of their rows."""

    event_id: int
    season_id: int


class Rounds(Protocol):
    """Who goes through which plots when: the rows decide."""

    def open(self, scheme_id: int, at: datetime) -> None:
        """Open the round of that hour, once; older ones are forgotten."""

    def take(self, scheme_id: int, at: datetime, now: datetime, lease: timedelta) -> Part | None:
        """The next part that nobody has done or holds, now held under a lease; None: no more."""

    def done(self, part_id: int, now: datetime) -> None:
        """The part has been gone through; in the same commit as what it owed."""

    def seen(self, scheme_id: int) -> Seen: ...
    def stirred(self, scheme_id: int, since: Seen) -> tuple[tuple[int, ...], Seen]:
        """Plots of which something became known since then, and how far that goes."""

    def see(self, scheme_id: int, upto: Seen) -> None:
        """Note how far was looked."""
