"""The day to look into the tube again."""

from datetime import date, timedelta

from gateway.agronomy.drydown import look_for
from gateway.agronomy.facts import Facts
from gateway.agronomy.footing import Footing
from gateway.agronomy.rules import Row
from gateway.agronomy.supply import last_chance

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
    """The next reading if the water came by tomorrow; a doubted one is looked at again at once.

    Never further off than the gap between readings, as the water may not come.
    """
    doubted = facts.known["doubted"] == "yes"
    if doubted and facts.sight.reading:
        return facts.case.as_of + DAY
    footing = _footing(facts)
    found = look_for(footing.flooded_tomorrow(facts.flood_to_cm), facts.mark_cm)
    return _within_season(facts, min(found, _days_on(facts, footing.gap(doubted))))


def _on_forecast(facts: Facts, row: Row) -> date:
    found = facts.estimate.next_reading_on
    if row.action == "dry-to-fertilise":
        found = _at_surface(facts)
    if facts.nitrogen.due == "rain-coming":
        found = min(found, _days_on(facts, facts.practice.nitrogen.rain_days))
    found = _while_water_runs(facts, found)
    soonest = facts.case.as_of + (DAY if facts.known["evidence"] == "today" else 0 * DAY)
    return max(soonest, _within_season(facts, found))


def _while_water_runs(facts: Facts, day: date) -> date:
    """The day, or the eve of the last day of water that will not return before it is needed."""
    needed, supply = facts.estimate.threshold_on.p50, facts.practice.supply
    ends = last_chance(facts.case, needed, supply) if needed else None
    eve = ends - DAY if ends else facts.case.as_of
    return min(day, eve) if eve > facts.case.as_of else day


def _at_surface(facts: Facts) -> date:
    """The day on which the surface may be bare for the fertiliser, before its window ends."""
    found = look_for(_footing(facts), facts.practice.water.surface_cm)
    return min(found, facts.nitrogen.split.to) if facts.nitrogen.split else found


def _within_season(facts: Facts, day: date) -> date:
    """No look is put off past the start of the flowering window: the crop must not enter it dry."""
    begins = facts.calendar.flowering_from
    return min(day, begins) if begins and begins > facts.case.as_of else day


def _days_on(facts: Facts, days: int) -> date:
    return facts.case.as_of + timedelta(days=days)


def _footing(facts: Facts) -> Footing:
    assert facts.estimate.footing is not None
    return facts.estimate.footing
