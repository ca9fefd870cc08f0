"""The calendar of a crop: from method, dates and duration, moved by what was seen in the field."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.practice import Around, CalendarPractice, Practice
from gateway.agronomy.season import Season
from gateway.agronomy.seasondays import Calendar
from gateway.agronomy.thermal import Warmth, warmth_of
from gateway.agronomy.varieties import Growth, growth_of

__all__ = ["Calendar", "calendar_for", "calendar_of"]


@dataclass(frozen=True, slots=True)
class Peak:
    """Peak flowering. ``usual_on`` is where days alone put it; ``seen``: somebody reported it."""

    on: date
    usual_on: date
    seen: bool = False


def calendar_for(case: Case, season: Season, practice: Practice) -> Calendar:
    """The calendar of a season as known on the case's day, by heat where the case tells it."""
    known, plot = practice.forecast, case.plot
    sown, _ = _sown(season, practice.calendar)
    warmth = warmth_of(
        case.weather, sown, plot.latitude, plot.elevation_m, known.climate, practice.thermal
    )
    return calendar_of(season, practice, case.events, case.as_of, plot.soil, warmth)


def calendar_of(
    season: Season,
    practice: Practice,
    events: Iterable[Event] = (),
    as_of: date | None = None,
    soil: str | None = None,
    warmth: Warmth | None = None,
) -> Calendar:
    """The calendar of a season as known at ``as_of`` (all of the events where it is None).

    Phase lengths: IRRI Rice Knowledge Bank, growth-stage pages (reproductive phase about 35 days,
    ripening about 30, the varieties differ in the vegetative phase).
    """
    first = season.established_on  # what happened before belongs to another crop
    known = [e for e in events if e.on >= first and (as_of is None or e.on <= as_of)]
    grown = growth_of(season, practice.varieties, practice.calendar.ripening_days)
    sown, assumed = _sown(season, practice.calendar)
    opens = _opens(season, practice, known)
    harvest = max((e.on for e in known if e.kind == "harvest"), default=None)
    seen, doubted = _peak_seen(season, practice.calendar, known, sown)
    peak = seen or _peak_reckoned(grown, sown, warmth)
    notes = (*assumed, *grown.notes, *doubted)
    if peak is None:
        return _undated(season, practice, sown, opens, harvest, notes)
    heat = ("thermal-time",) if warmth and not peak.seen else ()
    around = _window(season, practice.calendar, bool(assumed) and not peak.seen)
    dated = _dated(season, practice, peak, around, grown, soil, warmth)
    dated = _deferred(dated, practice.calendar, [e.on for e in known if e.kind == "green"])
    return replace(
        dated, awd_opens_on=opens, harvested_on=harvest, assumed=(*notes, *heat, *dated.assumed)
    )


def _undated(
    season: Season,
    practice: Practice,
    sown: date,
    opens: date,
    harvest: date | None,
    notes: tuple[str, ...],
) -> Calendar:
    known = practice.calendar
    forming = known.shortest_duration_days - known.ripening_days - known.reproductive_days
    unknown = () if "photoperiod-sensitive" in notes else ("duration-unknown",)
    return Calendar(
        season.established_on,
        opens,
        harvested_on=harvest,
        unknown_from=_unknown_from(known, season, sown),
        booting_from=sown + timedelta(days=forming),
        assumed=(*notes, *unknown),
    )


def _dated(
    season: Season,
    practice: Practice,
    peak: Peak,
    around: Around,
    grown: Growth,
    soil: str | None,
    warmth: Warmth | None,
) -> Calendar:
    """The days around a peak. Where heat and days differ, the window holds both, and the crop is
    watered as long as either asks for."""
    known, last_days = practice.calendar, practice.soil(soil).last_irrigation_days
    early, late = min(peak.on, peak.usual_on), max(peak.on, peak.usual_on)
    mature = peak.on + timedelta(days=grown.ripening_days)
    if warmth:
        mature = warmth.day_reached(peak.on, peak.usual_on, grown.ripening_days)
    before_harvest = timedelta(days=known.ripening_days - last_days)
    last = max(late + timedelta(days=last_days), mature - before_harvest)
    mature = max(mature, last)
    drain = max(mature - timedelta(days=known.drain_before_harvest_days), last)
    standing = max(mature, late + timedelta(days=grown.ripening_days))
    doubt = timedelta(days=around.before_days - known.window.before_days)
    return Calendar(
        established_on=season.established_on,
        awd_opens_on=season.established_on,
        panicle_on=peak.on - timedelta(days=known.reproductive_days),
        peak_on=peak.on,
        flowering_from=early - timedelta(days=around.before_days),
        flowering_to=late + timedelta(days=around.after_days),
        last_irrigation_on=last,
        drain_on=drain,
        harvest_on=mature,
        over_on=standing + timedelta(days=known.harvest_grace_days + 1),
        booting_from=early - timedelta(days=known.reproductive_days) - doubt,
        told=peak.seen,
    )


def _deferred(dated: Calendar, known: CalendarPractice, green: list[date]) -> Calendar:
    """The end put off by each report, near the last irrigation or later, that grain is green."""
    days, put_off = timedelta(days=known.green_defers_days), dated
    for day in sorted(green):
        last, over = put_off.last_irrigation_on, put_off.over_on
        if last and over and dated.last_irrigation_on and last - days <= day < over:
            usual = dated.last_irrigation_on
            put_off = _moved(dated, max(last, max(usual, day) + days) - usual)
    return put_off


def _moved(dated: Calendar, by: timedelta) -> Calendar:
    ends = ("last_irrigation_on", "drain_on", "harvest_on", "over_on")
    days = {name: day + by for name in ends if (day := getattr(dated, name))}
    return replace(dated, **days, assumed=("grain-still-green",))


def _sown(season: Season, known: CalendarPractice) -> tuple[date, tuple[str, ...]]:
    if season.method != "transplanted":
        return season.established_on, ()
    if season.sown_on is not None:
        return season.sown_on, ()
    age = known.seedling_ages.get(season.seedlings or "", known.seedling_age_days)
    return season.established_on - timedelta(days=age), ("seedling-age-assumed",)


def _peak_reckoned(grown: Growth, sown: date, warmth: Warmth | None) -> Peak | None:
    if grown.duration_days is None:
        return None
    days = grown.duration_days - grown.ripening_days
    usual = sown + timedelta(days=days)
    return Peak(warmth.day_reached(sown, sown, days) if warmth else usual, usual)


def _peak_seen(
    season: Season, known: CalendarPractice, events: Iterable[Event], sown: date
) -> tuple[Peak | None, tuple[str, ...]]:
    """The peak by the latest evidence; heads sooner than any variety's are not believed."""
    soonest = sown + timedelta(days=known.earliest_heading_days)
    reported = [e for e in events if e.kind in ("heading", "flowering")]
    after = {"heading": timedelta(days=known.heading_to_peak_days), "flowering": timedelta()}
    believed = [(e.on, e.on + after[e.kind]) for e in reported if e.on >= soonest]
    doubted = ("heading-doubted",) if len(believed) < len(reported) else ()
    if season.flowering_seen_on is not None:
        believed.append((season.flowering_seen_on, season.flowering_seen_on))
    if not believed:
        return None, doubted
    day = max(believed)[1]
    return Peak(day, day, seen=True), doubted


def _window(season: Season, known: CalendarPractice, assumed: bool) -> Around:
    if assumed:
        return known.window_assumed
    even = season.method == "transplanted" and not season.uneven
    return known.window if even else known.window_seeded


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
        tall = min((e.on for e in events if _is_tall(e, start.tall_cm)), default=usual)
        return max(moist, min(usual, tall))
    few = min((e.on for e in events if e.kind == "weeds" and e.amount == "few"), default=None)
    usual = planted + timedelta(days=start.unanswered_days)
    if few is None:
        return usual
    return min(usual, max(planted + timedelta(days=start.few_weeds_days), few))


def _is_tall(event: Event, least_cm: float) -> bool:
    """Whether the stand was told to be tall enough; a height that says otherwise goes first."""
    return event.kind == "tall" and (event.height_cm is None or event.height_cm >= least_cm)
