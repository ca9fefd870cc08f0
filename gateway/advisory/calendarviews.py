"""Plain rows of the pages about the calendar: what was owed, what is coming, who is silent."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol


@dataclass(frozen=True, slots=True)
class CalendarFilter:
    """What is wanted of the calendar; days are whole days of the scheme's zone, as instants."""

    since: datetime | None = None
    until: datetime | None = None
    plot: str | None = None
    block: str | None = None
    duty: str | None = None
    state: str | None = None


@dataclass(frozen=True, slots=True)
class OwedLine:
    """A duty that was owed, and one text of it; no text where nobody was to be told.

    ``phone`` is masked. ``state`` None: no text was put.
    """

    duty: str
    plot: str
    block: str
    grower: str
    owed_at: datetime
    anchor_on: date
    phone: str = ""
    text: str = ""
    state: str | None = None
    words: str = ""
    leaves_at: datetime | None = None
    sent_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class OwedPage:
    """One page of lines, the newest first."""

    lines: tuple[OwedLine, ...]
    page: int
    pages: int
    total: int


@dataclass(frozen=True, slots=True)
class ComingLine:
    """A duty to come, on the day it is reckoned for by what is known now."""

    on: date
    duty: str
    plot: str
    block: str
    grower: str


@dataclass(frozen=True, slots=True)
class Coming:
    """What is coming of some plots. ``too_many``: so many plots that none was reckoned."""

    lines: tuple[ComingLine, ...] = ()
    too_many: int = 0


@dataclass(frozen=True, slots=True)
class SilentLine:
    """A plot of which a reading was asked for in vain.

    ``told_on``: the day the water was last told of. ``words``: the last text of a phone that reads
    it, numbers hidden. ``lead_asked``: the lead reader of its block was asked too.
    """

    plot: str
    block: str
    grower: str
    asked_on: date
    told_on: date | None
    words: str
    words_at: datetime | None
    lead_asked: bool


class CalendarViews(Protocol):
    """Queries about the calendar, of one scheme only."""

    def owed_lines(
        self, scheme_id: int, wanted: CalendarFilter, page: int, size: int
    ) -> OwedPage: ...
    def plots_of(self, scheme_id: int, wanted: CalendarFilter) -> list[tuple[int, str, str, str]]:
        """Id, code, block and grower of the plots that the filter names, by code."""

    def blocks(self, scheme_id: int) -> list[str]: ...
    def silent(
        self, scheme_id: int, asked: tuple[str, ...], by_lead: tuple[str, ...], before: date
    ) -> list[SilentLine]:
        """Plots of which a duty of ``asked`` was owed before that day and not answered since."""
