"""The reasons of an advice: the table's first, then every assumption and concern beside it."""

from collections.abc import Iterator

from gateway.agronomy.facts import Facts
from gateway.agronomy.irrigation import Fill
from gateway.agronomy.practice import soil_name
from gateway.agronomy.rules import Row, RuleBook

FERTILISING = frozenset({"reflood-after-nitrogen", "dry-to-fertilise", "fertilise-shallow"})
OUT_OF_SEASON = frozenset({"before-planting", "harvested"})


def reasons_of(facts: Facts, row: Row, watered: Fill | None, book: RuleBook) -> tuple[str, ...]:
    """Reason codes in the order of their weight, each once."""
    codes = [row.name]
    if facts.stage not in OUT_OF_SEASON:
        codes += [
            *_water(facts, watered),
            *_nitrogen(facts, row),
            *facts.estimate.notes,
            *_unknowns(facts, book),
            *facts.threshold.reasons,
            *sorted(facts.case.plot.bars or ()),
        ]
    return tuple(dict.fromkeys([*codes, *facts.calendar.assumed]))


def _water(facts: Facts, watered: Fill | None) -> Iterator[str]:
    if watered is None:
        return
    supply = facts.known["supply"]
    if facts.holds.free_on is not None:
        yield "inlet-only"
    if supply == "unknown":
        yield "supply-unknown"
    if supply == "none":
        yield "no-water-known"
    if not watered.keeps_up:
        yield "outlet-too-small"


def _nitrogen(facts: Facts, row: Row) -> Iterator[str]:
    """A split that is open but not advised is named with what holds it: none lapses silently."""
    due, supply = facts.nitrogen.due, facts.known["supply"]
    if facts.nitrogen.missed:
        yield "nitrogen-missed"
    if due == "rain-coming":
        yield "nitrogen-postponed-for-rain"
    elif due in ("due", "last-days") and row.action not in FERTILISING:
        yield "nitrogen-waits-for-water" if supply in ("unsure", "none") else "nitrogen-held"


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
