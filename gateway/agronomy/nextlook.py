"""The day to look into the tube again."""

from dataclasses import replace
from datetime import date, timedelta

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.drydown import estimate
from gateway.agronomy.facts import Facts
from gateway.agronomy.rules import Row
from gateway.agronomy.sight import believable

DAY = timedelta(days=1)


def next_look(facts: Facts, row: Row, watered: bool) -> date | None:
    """The next reading day; None where no more is needed. Nobody is sent in after a spray."""
    day = _wanted(facts, row, watered)
    entry = facts.holds.entry_on
    return max(day, entry) if day and entry else day


def _wanted(facts: Facts, row: Row, watered: bool) -> date | None:
    as_of, action = facts.case.as_of, row.action
    if action in ("none", "drain"):
        return None
    if action == "no-more-water":
        drain = facts.calendar.drain_on
        return drain if drain and drain > as_of else None
    if action == "ask":
        return as_of + DAY if facts.sight.reading else as_of
    if action == "let-out":
        return as_of + DAY
    if watered:
        return _after_flooding(facts)
    return _on_forecast(facts, row)


def _after_flooding(facts: Facts) -> date:
    """The next reading if the water came by tomorrow."""
    day = facts.case.as_of + DAY
    flood = Event("flooded", day, to_cm=facts.flood_to_cm)
    case = believable(facts.case, facts.practice)
    flooded = replace(case, as_of=day, events=(*case.events, flood))
    mark = facts.mark_cm
    found = estimate(flooded, facts.calendar, facts.practice, mark).next_reading_on
    return _within_season(facts, found)


def _on_forecast(facts: Facts, row: Row) -> date:
    found = facts.estimate.next_reading_on
    if row.action == "dry-to-fertilise":
        found = _at_surface(facts)
    if facts.nitrogen.due == "rain-coming":
        found = min(found, _days_on(facts, facts.practice.nitrogen.rain_days))
    soonest = facts.case.as_of + (DAY if facts.known["evidence"] == "today" else 0 * DAY)
    return max(soonest, _within_season(facts, found))


def _at_surface(facts: Facts) -> date:
    """The day on which the surface may be bare for the fertiliser, before its window ends."""
    case: Case = believable(facts.case, facts.practice)
    surface = facts.practice.water.surface_cm
    found = estimate(case, facts.calendar, facts.practice, surface).next_reading_on
    return min(found, facts.nitrogen.split.to) if facts.nitrogen.split else found


def _within_season(facts: Facts, day: date) -> date:
    """No look is put off past the start of the flowering window: the crop must not enter it dry."""
    begins = facts.calendar.flowering_from
    return min(day, begins) if begins and begins > facts.case.as_of else day


def _days_on(facts: Facts, days: int) -> date:
    return facts.case.as_of + timedelta(days=days)
