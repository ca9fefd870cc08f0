"""Which season is on the field, and where its part of the book begins."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from sqlalchemy import Row

from gateway.agronomy.book import Event
from gateway.agronomy.season import Method, Season, Seedlings


class SeasonRow(NamedTuple):
    """A row of the season's table with its posterior's, as it comes beside its plot's."""

    id: int
    plan_id: int | None
    method: Method
    established_on: date
    sown_on: date | None
    duration_days: int | None
    flowering_seen_on: date | None
    variety: str
    splits: Any
    crop_season: str | None
    photoperiod_sensitive: bool | None
    uneven: bool
    seedlings: Seedlings | None
    carried: int | None
    habit: Any
    sign: str | None
    belief: Any


def current(seasons: Sequence[SeasonRow], day: date, harvested_on: date | None) -> SeasonRow | None:
    """The season that counts on ``day``: the last begun, or the next one once that is harvested.

    ``seasons`` stand in the order of their establishment; before the first one that is it.
    """
    begun = [row for row in seasons if row.established_on <= day]
    ahead = [row for row in seasons if row.established_on > day]
    if begun and not (ahead and over(begun[-1], harvested_on)):
        return begun[-1]
    return ahead[0] if ahead else None


def over(season: SeasonRow, harvested_on: date | None) -> bool:
    """Whether the plot's last harvest is this season's."""
    return harvested_on is not None and harvested_on >= season.established_on


def last_harvest(events: Sequence[Event], before: date | None = None) -> date | None:
    """The day of the last harvest in a book, or of the last one before a day."""
    days = (event.on for event in events if event.kind == "harvest")
    return max((day for day in days if before is None or day < before), default=None)


def book_from(seasons: Sequence[SeasonRow], established_on: date) -> date | None:
    """From when on a season established then may need the book: since the crop before it began.

    None where there was no crop before it.
    """
    earlier = (row.established_on for row in seasons if row.established_on < established_on)
    return max(earlier, default=None)


def book_from_day(seasons: Sequence[SeasonRow], day: date) -> date | None:
    """The same for the last season begun on ``day``."""
    begun = [row.established_on for row in seasons if row.established_on <= day]
    return book_from(seasons, begun[-1]) if begun else None


def of_season(
    events: Sequence[Event], grown: Season | None, has_earlier: bool
) -> tuple[Event, ...]:
    """The events that belong to a season; all of them where there is none.

    A season's part begins after the harvest of the one before. Where that harvest was never told,
    it begins with the sowing, so that the water of an old crop is not taken for this one's.
    """
    if grown is None:
        return tuple(events)
    harvested_on = last_harvest(events, grown.established_on)
    if harvested_on is not None:
        return tuple(event for event in events if event.on > harvested_on)
    first = min(grown.sown_on or grown.established_on, grown.established_on)
    return tuple(event for event in events if not has_earlier or event.on >= first)


@dataclass(frozen=True, slots=True)
class Stand:
    """A plot on a day: its row, the season that counts, and the book that it may need."""

    row: Row[Any]
    season: SeasonRow | None
    day: date
    events: Sequence[Event]
    earlier: SeasonRow | None
    is_over: bool

    def of_earlier(self, grown: Season) -> tuple[Event, ...]:
        """The events that belong to the season before ``grown``, which is the one that counts."""
        mine = set(of_season(self.events, grown, has_earlier=True))
        return tuple(event for event in self.events if event not in mine)

    @classmethod
    def of(
        cls, row: Row[Any], seasons: Sequence[SeasonRow], day: date, events: Sequence[Event]
    ) -> "Stand":
        """``is_over`` also where no season is on record: nothing grows there."""
        harvested_on = last_harvest(events)
        now = current(seasons, day, harvested_on)
        before = [row for row in seasons if now and row.established_on < now.established_on]
        earlier = before[-1] if before else None
        return cls(row, now, day, events, earlier, now is None or over(now, harvested_on))
