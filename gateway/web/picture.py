"""What the drawings of a plot show, as plain values: days, levels in signed cm, words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from itertools import groupby

from gateway.advisory.records import BookRow
from gateway.advisory.report import PlotPage
from gateway.agronomy.advice import Band, DateBand
from gateway.agronomy.fan import FanDay
from gateway.agronomy.stages import Calendar
from gateway.web.words import stage_word

DAY = timedelta(days=1)
# How far a drawing looks beyond what is known; bounds of paper, not of the crop.
MOST_DAYS = 260
MARGIN_DAYS = 7
LATELY_BEFORE, LATELY_AFTER = 24, 11
SHOWN = ("reading", "flooded", "rain", "nitrogen", "spray", "no-water", "heading", "flowering")


@dataclass(frozen=True, slots=True)
class Span:
    """A stage from its first to its last day."""

    stage: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Mark:
    """An event; ``level_cm`` is where it is drawn, None for those at the foot of the chart."""

    kind: str
    on: date
    level_cm: float | None
    dry: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A plot's season, ready to draw.

    ``threshold_cm`` is the season's dry limit, ``due_cm`` the level at which the plot needs water
    today (the flowering window has its own); ``crossing`` holds the days on which it gets there,
    ``fan`` the levels on the way. ``seen_cm`` is today's reading; a dry tube has its water at the
    bottom or below.
    """

    code: str
    first: date
    last: date
    today: date
    spans: tuple[Span, ...]
    marks: tuple[Mark, ...]
    threshold_cm: float
    due_cm: float
    bottom_cm: float
    rim_cm: float | None
    level: Band | None
    crossing: DateBand
    fan: tuple[FanDay, ...] = ()
    seen_cm: float | None = None

    @property
    def shown_cm(self) -> float | None:
        """The water to draw in the tube: as read today, else as reckoned."""
        likely = self.level.p50 if self.level else None
        return likely if self.seen_cm is None else self.seen_cm


def picture_of(page: PlotPage) -> Picture:
    """The whole season of a plot, or what its book holds where no season is on record."""
    marks = tuple(_marks(page.rows, page.tube_bottom_cm))
    first, last = _reach(page, marks)
    spans = tuple(_spans(page.calendar, first, last)) if page.calendar else ()
    advice, estimate = page.advice, page.estimate
    due = advice.detail.threshold_cm
    return Picture(
        page.code,
        first,
        last,
        page.today,
        spans,
        tuple(mark for mark in marks if first <= mark.on <= last),
        page.threshold_cm,
        page.threshold_cm if due is None else due,
        page.tube_bottom_cm,
        page.case.plot.rim_cm,
        advice.level_cm or (estimate.level_cm if estimate else None),
        advice.threshold_on,
        page.fan,
        _seen(page),
    )


def _seen(page: PlotPage) -> float | None:
    detail = page.advice.detail
    return page.tube_bottom_cm if detail.seen_dry else detail.seen_cm


def recent(picture: Picture) -> Picture:
    """The last weeks and the next days only, for narrow screens."""
    first = max(picture.first, picture.today - LATELY_BEFORE * DAY)
    last = min(picture.last, picture.today + LATELY_AFTER * DAY)
    if first >= last:
        return picture
    spans = tuple(
        Span(span.stage, max(span.first, first), min(span.last, last))
        for span in picture.spans
        if span.last >= first and span.first <= last
    )
    marks = tuple(mark for mark in picture.marks if first <= mark.on <= last)
    return replace(picture, first=first, last=last, spans=spans, marks=marks)


def _marks(rows: Sequence[BookRow], bottom_cm: float) -> Iterator[Mark]:
    for row in sorted(rows, key=_moment):
        event = row.event
        if row.superseded or event.kind not in SHOWN:
            continue
        level = bottom_cm if event.dry else event.level_cm
        yield Mark(event.kind, event.on, event.to_cm if level is None else level, event.dry)


def _moment(row: BookRow) -> tuple[date, time, int]:
    """On one day a reading comes before a flooding, unless both carry a time."""
    event = row.event
    usual = time.max if event.kind == "flooded" else time.min
    return event.on, event.at or usual, row.id


def _reach(page: PlotPage, marks: Sequence[Mark]) -> tuple[date, date]:
    season = page.case.season
    if season is None:
        days = [mark.on for mark in marks] + [page.today]
        return min(days) - MARGIN_DAYS * DAY, max(days) + MARGIN_DAYS * DAY
    first = season.established_on
    last = max(_last_day(page.calendar, first, page.today), first + MARGIN_DAYS * DAY)
    return first - MARGIN_DAYS * DAY, last + MARGIN_DAYS * DAY


def _last_day(calendar: Calendar | None, first: date, today: date) -> date:
    """The last day before the harvest, where the calendar knows one; else a little after today."""
    if calendar is not None:
        for number in range(MOST_DAYS):
            if calendar.stage_on(first + number * DAY) == "harvested":
                return first + number * DAY
    return min(today, first + MOST_DAYS * DAY)


def _spans(calendar: Calendar, first: date, last: date) -> Iterator[Span]:
    days = [first + number * DAY for number in range((last - first).days + 1)]
    for stage, run in groupby(days, calendar.stage_on):
        found = list(run)
        yield Span(stage, found[0], found[-1])


def span_words(span: Span) -> str:
    """The words on a stage's band."""
    return stage_word(span.stage)
