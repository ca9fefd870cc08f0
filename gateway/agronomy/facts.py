"""The facts of a case: what the decision table asks, computed from plot, season, book and water."""

from dataclasses import dataclass

from gateway.agronomy.advice import Stage
from gateway.agronomy.bars import effect_of
from gateway.agronomy.case import Case
from gateway.agronomy.drydown import Estimate, estimate
from gateway.agronomy.holds import Holds, holds_of
from gateway.agronomy.nitrogen import Nitrogen, nitrogen_of
from gateway.agronomy.practice import Practice
from gateway.agronomy.rules import Known
from gateway.agronomy.season import Season
from gateway.agronomy.sight import Sight, believable, sight_of
from gateway.agronomy.stages import Calendar, calendar_for
from gateway.agronomy.standing import Standing, is_seedbed, is_young, standing_of
from gateway.agronomy.supply import next_turn, supply_of
from gateway.agronomy.temperature import cold_of, heat_of
from gateway.agronomy.threshold import Threshold, threshold_of

WEEDY = ("establishment", "tillering", "panicle")  # later the canopy shades the weeds
KEPT = ("establishment", "flowering", "unknown")  # the water may not fall below the surface


@dataclass(frozen=True, slots=True)
class Facts:
    """Everything judged of a case. ``known`` and ``marks`` are what the table's rows name.

    ``mark_cm`` is the level that the forecast looks for.
    """

    case: Case
    practice: Practice
    season: Season
    calendar: Calendar
    stage: Stage
    holds: Holds
    nitrogen: Nitrogen
    sight: Sight
    threshold: Threshold
    standing: Standing
    estimate: Estimate
    mark_cm: float
    known: Known
    marks: dict[str, float]

    @property
    def flood_to_cm(self) -> float:
        """The aim of a flooding, in cm above the soil."""
        return self.standing.flood_to_cm

    @property
    def level_cm(self) -> float | None:
        """The level as judged, in cm: today's reading, else the forecast within its gap."""
        level = self.known["level_cm"]
        return level if isinstance(level, float) else None


def facts_of(case: Case, season: Season, practice: Practice) -> Facts:
    """The facts on the case's day, for a plot with a season."""
    calendar = calendar_for(case, season, practice)
    stage = calendar.stage_on(case.as_of)
    holds = holds_of(case, practice, weeds=stage in WEEDY)
    forming = calendar.may_form_panicles(case.as_of)
    threshold = threshold_of(case, practice, stage, forming)
    nitrogen, sight = nitrogen_of(case, practice.nitrogen), sight_of(case, practice)
    bar, seedbed = effect_of(case, practice), is_seedbed(case, season, practice)
    young = is_young(case, season, practice) and not seedbed
    cold = cold_of(case, calendar, stage, young, practice)
    standing = standing_of(case, season, practice, cold)
    mark = practice.water.surface_cm if _kept(stage, bar, holds, cold) else threshold.level_cm
    guess = estimate(believable(case, practice), calendar, practice, mark)
    evidence = _evidence(sight, guess)
    level = None if evidence == "overdue" else _level(sight, guess)
    known: dict[str, str | float | None] = {
        "stage": stage,
        "season": "on-record",
        "evidence": evidence,
        "doubted": _yes(sight.out_of_reach or "reading-doubted" in guess.notes),
        "surely_at_threshold": _yes(guess.level_cm and guess.level_cm.p90 <= threshold.level_cm),
        "too_late_tomorrow": _yes(guess.too_late_tomorrow),
        "seedbed": _yes(seedbed),
        "too_deep": _yes(level is not None and level > standing.too_deep_cm),
        "submerged": holds.submerged,
        "spray_hold": _yes(holds.free_on),
        "spray_water": _yes(holds.keep_cm),
        "weed_hold": _yes(holds.weeds_until),
        "may_enter": _yes(holds.entry_on is None),
        "fertilise_in_holds": practice.nitrogen.in_holds,
        "bar": bar,
        "cold": cold,
        "heat": _yes(heat_of(case, stage, practice)),
        "nitrogen": nitrogen.due,
        "supply": supply_of(case, practice.supply),
        "near_harvest": _yes(calendar.drain_on and case.as_of >= calendar.drain_on),
        "next_turn": next_turn(case, guess.threshold_on.p50, practice.supply),
        "level_cm": level,
        "lowest_cm": _lowest(sight, guess),
    }
    return Facts(
        case,
        practice,
        season,
        calendar,
        stage,
        holds,
        nitrogen,
        sight,
        threshold,
        standing,
        guess,
        mark,
        known,
        _marks(practice, threshold),
    )


def _kept(stage: Stage, bar: str, holds: Holds, cold: str) -> bool:
    """Whether the water may not fall below the surface, so that the forecast looks for that."""
    held = holds.weeds_until is not None or holds.submerged != "no" or holds.keep_cm is not None
    return held or bar != "none" or cold != "no" or stage in KEPT


def _yes(value: object) -> str:
    return "yes" if value else "no"


def _marks(practice: Practice, threshold: Threshold) -> dict[str, float]:
    water = practice.water
    return {
        "too-dry": threshold.level_cm - water.too_dry_past_cm,
        "threshold": threshold.level_cm,
        "surface": water.surface_cm,
        "top-up": water.top_up_cm,
        "shallow": water.shallow_cm,
        "too-deep": water.too_deep_cm,
    }


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
