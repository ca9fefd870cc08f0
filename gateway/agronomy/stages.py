"""The calendar of a crop: from method, dates and duration, moved by what was seen in the field."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from gateway.agronomy.advice import Stage
from gateway.agronomy.book import Event
from gateway.agronomy.practice import Around, CalendarPractice, Practice
from gateway.agronomy.season import Season


@dataclass(frozen=True, slots=True)
class Calendar:
    """The days of a season. ``None``: there is no such day, or it cannot be known.

    ``flowering_from`` to ``flowering_to`` is the flowering window, both days included, around
    ``peak_on``; ``last_irrigation_on`` the last day on which the crop is still watered;
    ``awd_opens_on`` the first day on which the water may fall below the surface. ``unknown_from``
    is the first day on which nobody can say the stage, where no duration is on record.
    ``assumed`` are reason codes.
    """

    established_on: date
    awd_opens_on: date
    panicle_on: date | None = None
    peak_on: date | None = None
    flowering_from: date | None = None
    flowering_to: date | None = None
    last_irrigation_on: date | None = None
    drain_on: date | None = None
    harvest_on: date | None = None
    over_on: date | None = None
    harvested_on: date | None = None
    unknown_from: date | None = None
    assumed: tuple[str, ...] = ()

    def stage_on(self, day: date) -> Stage:
        """The stage of the crop on a day."""
        if day < self.established_on:
            return "before-planting"
        if self._is_over(day):
            return "harvested"
        if self.peak_on is None:
            return self._undated(day)
        return self._dated(day)

    def is_flowering(self, day: date) -> bool:
        """Whether the day lies in the flowering window."""
        first, last = self.flowering_from, self.flowering_to
        return first is not None and last is not None and first <= day <= last

    def starts(self) -> dict[Stage, date]:
        """The first day of each stage that has one, in the order of the days."""
        days: dict[Stage, date | None] = {
            "establishment": self.established_on,
            "tillering": self.awd_opens_on,
            "panicle": _later(self.panicle_on, self.awd_opens_on),
            "flowering": self.flowering_from,
            "grain-filling": _next(self.flowering_to),
            "ripening": _next(self.last_irrigation_on),
            "unknown": self.unknown_from,
            "harvested": self.harvested_on or self.over_on,
        }
        return {s: day for s, day in days.items() if day and self.stage_on(day) == s}

    def _is_over(self, day: date) -> bool:
        reported = self.harvested_on is not None and day >= self.harvested_on
        return reported or (self.over_on is not None and day >= self.over_on)

    def _undated(self, day: date) -> Stage:
        if self.unknown_from is not None and day >= self.unknown_from:
            return "unknown"
        return "establishment" if day < self.awd_opens_on else "tillering"

    def _dated(self, day: date) -> Stage:
        if self.last_irrigation_on and day > self.last_irrigation_on:
            return "ripening"
        if self.is_flowering(day):
            return "flowering"
        if self.flowering_to and day > self.flowering_to:
            return "grain-filling"
        if day < self.awd_opens_on:
            return "establishment"
        return "panicle" if self.panicle_on and day >= self.panicle_on else "tillering"


def calendar_of(
    season: Season,
    practice: Practice,
    events: Iterable[Event] = (),
    as_of: date | None = None,
    soil: str | None = None,
) -> Calendar:
    """The calendar of a season as known at ``as_of`` (all of the events where it is None).

    Phase lengths: IRRI Rice Knowledge Bank, growth-stage pages (reproductive phase about 35 days,
    ripening about 30, the varieties differ in the vegetative phase).
    """
    first = season.established_on  # what happened before belongs to another crop
    known = [e for e in events if e.on >= first and (as_of is None or e.on <= as_of)]
    sown, assumed = _sown(season, practice.calendar)
    opens = _opens(season, practice, known)
    harvest = max((e.on for e in known if e.kind == "harvest"), default=None)
    seen, doubted = _peak_seen(season, practice.calendar, known, sown)
    peak = seen or _peak_reckoned(season, practice.calendar, sown)
    notes = (*assumed, *doubted)
    if peak is None:
        return Calendar(
            season.established_on,
            opens,
            harvested_on=harvest,
            unknown_from=_unknown_from(practice.calendar, season, sown),
            assumed=(*notes, "duration-unknown"),
        )
    around = _window(season, practice.calendar, bool(assumed) and seen is None)
    return _dated(season, practice, peak, around, opens, harvest, soil, notes)


def _dated(
    season: Season,
    practice: Practice,
    peak: date,
    around: Around,
    opens: date,
    harvest: date | None,
    soil: str | None,
    notes: tuple[str, ...],
) -> Calendar:
    known = practice.calendar
    mature = peak + timedelta(days=known.ripening_days)
    last = peak + timedelta(days=practice.soil(soil).last_irrigation_days)
    return Calendar(
        established_on=season.established_on,
        awd_opens_on=opens,
        panicle_on=peak - timedelta(days=known.reproductive_days),
        peak_on=peak,
        flowering_from=peak - timedelta(days=around.before_days),
        flowering_to=peak + timedelta(days=around.after_days),
        last_irrigation_on=last,
        drain_on=mature - timedelta(days=known.drain_before_harvest_days),
        harvest_on=mature,
        over_on=mature + timedelta(days=known.harvest_grace_days + 1),
        harvested_on=harvest,
        assumed=notes,
    )


def _sown(season: Season, known: CalendarPractice) -> tuple[date, tuple[str, ...]]:
    if season.method != "transplanted":
        return season.established_on, ()
    if season.sown_on is not None:
        return season.sown_on, ()
    return season.established_on - timedelta(days=known.seedling_age_days), (
        "seedling-age-assumed",
    )


def _peak_reckoned(season: Season, known: CalendarPractice, sown: date) -> date | None:
    if season.duration_days is None:
        return None
    return sown + timedelta(days=season.duration_days - known.ripening_days)


def _peak_seen(
    season: Season, known: CalendarPractice, events: Iterable[Event], sown: date
) -> tuple[date | None, tuple[str, ...]]:
    """The peak by the latest evidence; heads sooner than any variety's are not believed."""
    soonest = sown + timedelta(days=known.earliest_heading_days)
    reported = [e for e in events if e.kind in ("heading", "flowering")]
    after = {"heading": timedelta(days=known.heading_to_peak_days), "flowering": timedelta()}
    believed = [(e.on, e.on + after[e.kind]) for e in reported if e.on >= soonest]
    doubted = ("heading-doubted",) if len(believed) < len(reported) else ()
    if season.flowering_seen_on is not None:
        believed.append((season.flowering_seen_on, season.flowering_seen_on))
    return (max(believed)[1] if believed else None), doubted


def _window(season: Season, known: CalendarPractice, assumed: bool) -> Around:
    if assumed:
        return known.window_assumed
    return known.window if season.method == "transplanted" else known.window_seeded


def _unknown_from(known: CalendarPractice, season: Season, sown: date) -> date:
    """The first day on which the shortest variety could stand in its flowering window."""
    days = known.shortest_duration_days - known.ripening_days - known.window_assumed.before_days
    return max(season.established_on, sown + timedelta(days=days))


def _opens(season: Season, practice: Practice, events: list[Event]) -> date:
    """The first day of drying: by the stand (seeded) or by the answer about weeds (planted)."""
    start, planted = practice.start, season.established_on
    if season.method != "transplanted":
        usual = planted + timedelta(days=start.seeded_days)
        moist = planted + timedelta(days=start.moist_days)
        tall = min((e.on for e in events if e.kind == "tall"), default=usual)
        return max(moist, min(usual, tall))
    few = min((e.on for e in events if e.kind == "weeds" and e.amount == "few"), default=None)
    usual = planted + timedelta(days=start.unanswered_days)
    if few is None:
        return usual
    return min(usual, max(planted + timedelta(days=start.few_weeds_days), few))


def _next(day: date | None) -> date | None:
    return None if day is None else day + timedelta(days=1)


def _later(day: date | None, other: date) -> date | None:
    return None if day is None else max(day, other)
