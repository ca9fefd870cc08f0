"""What the decision table's rows may name, in the table's own words, from what was judged."""

from dataclasses import dataclass

from gateway.agronomy.case import Case
from gateway.agronomy.drydown import Estimate
from gateway.agronomy.holds import Holds
from gateway.agronomy.nitrogen import Nitrogen
from gateway.agronomy.practice import Practice
from gateway.agronomy.seasondays import Calendar
from gateway.agronomy.sight import Sight
from gateway.agronomy.standing import Standing
from gateway.agronomy.supply import next_turn, supply_of
from gateway.agronomy.temperature import Cold, heat_of
from gateway.agronomy.threshold import Threshold

Part = dict[str, str | float | None]


@dataclass(frozen=True, slots=True)
class Care:
    """What keeps water on a plot beside its stage: what its bars forbid, a seedbed, the cold."""

    bar: str
    seedbed: bool
    cold: Cold


def crop_facts(
    case: Case, practice: Practice, calendar: Calendar, nitrogen: Nitrogen, care: Care
) -> Part:
    """The crop, its calendar, and what its soil and weather ask for."""
    stage = calendar.stage_on(case.as_of)
    return {
        "stage": stage,
        "season": "on-record",
        "seedbed": _yes(care.seedbed),
        "bar": care.bar,
        "cold": care.cold,
        "heat": _yes(heat_of(case, stage, practice)),
        "nitrogen": nitrogen.due,
        "near_harvest": _yes(calendar.drain_on and case.as_of >= calendar.drain_on),
    }


def hold_facts(holds: Holds, practice: Practice) -> Part:
    """What must stay in the plot, and for what."""
    return {
        "submerged": holds.submerged,
        "spray_hold": _yes(holds.free_on),
        "spray_water": _yes(holds.keep_cm),
        "weed_hold": _yes(holds.weeds_until),
        "may_enter": _yes(holds.entry_on is None),
        "fertilise_in_holds": practice.nitrogen.in_holds,
    }


def water_facts(
    sight: Sight, guess: Estimate, standing: Standing, threshold: Threshold, doubted: bool
) -> Part:
    """Where the water stands, and how that is known; ``doubted``: what was told may not be so."""
    evidence = _evidence(sight, guess)
    level = None if evidence == "overdue" else _level(sight, guess)
    sunk = guess.level_cm is not None and guess.level_cm.p90 <= threshold.level_cm
    return {
        "evidence": evidence,
        "doubted": _yes(doubted),
        "surely_at_threshold": _yes(sunk),
        "too_late_tomorrow": _yes(guess.too_late_tomorrow),
        "too_deep": _yes(level is not None and level > standing.too_deep_cm),
        "level_cm": level,
        "lowest_cm": _lowest(sight, guess),
    }


def supply_facts(case: Case, practice: Practice, guess: Estimate) -> Part:
    """Whether water is to be had, and whether it comes in time."""
    return {
        "supply": supply_of(case, practice.supply),
        "next_turn": next_turn(case, guess.threshold_on.p50, practice.supply),
    }


def _yes(value: object) -> str:
    return "yes" if value else "no"


def _level(sight: Sight, guess: Estimate) -> float | None:
    if sight.level_cm is not None and not sight.flooded and not sight.out_of_reach:
        return sight.level_cm
    return guess.level_cm.p50 if guess.level_cm else None


def _lowest(sight: Sight, guess: Estimate) -> float | None:
    """The lowest level that is worth fearing while a reading is doubted."""
    seen = [] if sight.level_cm is None or sight.flooded else [sight.level_cm]
    return min([*seen, *([guess.level_cm.p50] if guess.level_cm else [])], default=None)


def _evidence(sight: Sight, guess: Estimate) -> str:
    if sight.reading is not None or sight.flooded:
        return "today"
    if guess.level_cm is None:
        return "never"
    return "overdue" if "reading-overdue" in guess.notes else "forecast"
