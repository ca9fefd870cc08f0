"""The reasons of an advice: the table's first, then every assumption and concern beside it."""

from collections.abc import Iterator
from datetime import timedelta

from gateway.agronomy.bars import bars_of
from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.facts import Facts
from gateway.agronomy.irrigation import Fill
from gateway.agronomy.losses import losses_that_cannot_be
from gateway.agronomy.nitrogen import dose_doubts
from gateway.agronomy.practice import soil_name
from gateway.agronomy.quality import flags_of
from gateway.agronomy.rules import Row, RuleBook
from gateway.agronomy.supply import hours_at_hand, running_until

FERTILISING = frozenset({"reflood-after-nitrogen", "dry-to-fertilise", "fertilise-shallow"})
HOLDING = frozenset({"wait", "keep-flooded", "top-up"})  # a lack of water ahead is said beside them
OUT_OF_SEASON = frozenset({"before-planting", "harvested"})


def reasons_of(facts: Facts, row: Row, watered: Fill | None, book: RuleBook) -> tuple[str, ...]:
    """Reason codes in the order of their weight, each once."""
    codes = [row.name]
    if facts.stage not in OUT_OF_SEASON:
        codes += [
            *_water(facts, row, watered),
            *_nitrogen(facts, row),
            *_weather(facts),
            *facts.estimate.notes,
            *flags_of(facts.case, facts.practice.quality),
            *losses_that_cannot_be(facts.case, facts.practice),
            *_unknowns(facts, book),
            *facts.threshold.reasons,
            *facts.standing.reasons,
            *sorted(bars_of(facts.case, facts.practice)),
        ]
    return tuple(dict.fromkeys([*codes, *facts.calendar.assumed, *left_out(facts.case)]))


def left_out(case: Case) -> tuple[str, ...]:
    """Whether the book holds what lies after the case's day, and so is not looked at."""
    later = any(event.on > case.as_of for event in case.events)
    return ("later-events-left-out",) if later else ()


def _water(facts: Facts, row: Row, watered: Fill | None) -> Iterator[str]:
    """Whether there is water for it, and whether it comes before the plot needs it."""
    supply = facts.known["supply"]
    if watered is None:
        if facts.known["next_turn"] == "too-late" and row.action in HOLDING:
            yield "water-comes-too-late"
        return
    if supply == "sure" and facts.case.next_water is None:
        yield "own-pump-at-hand"
    if supply == "unsure" and running_until(facts.case, facts.practice.supply) is None:
        yield "water-comes-later"
    if facts.holds.free_on is not None:
        yield "inlet-only"
    if supply == "unknown":
        yield "supply-unknown"
    if supply == "none":
        yield "no-water-known"
    if not watered.keeps_up:
        yield "outlet-too-small"
    at_hand = hours_at_hand(facts.case, facts.practice.supply)
    if at_hand is not None and watered.hours is not None and watered.hours > at_hand:
        yield "hours-too-short"


def _nitrogen(facts: Facts, row: Row) -> Iterator[str]:
    """A split that is open but not advised is named with what holds it: none lapses silently."""
    due, supply = facts.nitrogen.due, facts.known["supply"]
    if row.action in FERTILISING:
        if facts.season.nitrogen_approved is None:
            yield "approver-not-named"
        yield from dose_doubts(facts.case, facts.nitrogen.split, facts.practice.nitrogen)
    if facts.nitrogen.missed:
        yield "nitrogen-missed"
    if due == "rain-coming":
        yield "nitrogen-postponed-for-rain"
    elif due in ("due", "last-days") and row.action not in FERTILISING:
        yield "nitrogen-waits-for-water" if supply in ("unsure", "none") else "nitrogen-held"


def _weather(facts: Facts) -> Iterator[str]:
    if facts.known["cold"] != "no":
        yield "cold-forecast"
    if facts.known["heat"] == "yes":
        yield "heat-forecast"
    if facts.holds.long_under:
        yield "long-under-water"


def _unknowns(facts: Facts, book: RuleBook) -> Iterator[str]:
    plot, season = facts.case.plot, facts.season
    if plot.bars is None:
        yield "soil-not-checked"
    if plot.soil and soil_name(plot.soil) not in facts.practice.soils:
        yield "soil-unknown"
    if plot.profile and plot.profile not in book.practices:
        yield "profile-unknown"
    asked = any(e.kind == "weeds" for e in facts.case.events)
    if facts.stage == "establishment" and season.method == "transplanted" and not asked:
        yield "weeds-not-answered"
    if _heads_missed(facts):
        yield "heading-not-reported"
    if not any(_tells_demand(day) for day in facts.case.weather):
        yield "weather-usual"
        if plot.latitude is None:
            yield "latitude-assumed"


def _tells_demand(day: WeatherDay) -> bool:
    return day.et0_mm is not None or (day.tmin is not None and day.tmax is not None)


def _heads_missed(facts: Facts) -> bool:
    """Whether the crop should head about now, and the date is reckoned, not seen."""
    calendar = facts.calendar
    if calendar.told or facts.stage not in ("panicle", "flowering", "unknown"):
        return False
    if calendar.peak_on is None:
        return facts.stage == "unknown"
    lead = timedelta(days=facts.practice.calendar.ask_heading_days)
    return facts.case.as_of >= calendar.peak_on - lead
