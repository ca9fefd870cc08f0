"""The facts of a case: what the decision table asks, computed from plot, season, book and water."""

from dataclasses import dataclass

from gateway.agronomy.advice import Stage
from gateway.agronomy.bars import effect_of
from gateway.agronomy.case import Case
from gateway.agronomy.drydown import Estimate, estimate
from gateway.agronomy.holds import Holds, holds_of
from gateway.agronomy.known import Care, crop_facts, hold_facts, supply_facts, water_facts
from gateway.agronomy.nitrogen import Nitrogen, nitrogen_of
from gateway.agronomy.practice import Practice
from gateway.agronomy.rises import rose_unexplained, seen_twice
from gateway.agronomy.rules import Known
from gateway.agronomy.season import Season
from gateway.agronomy.sight import Sight, believable, sight_of
from gateway.agronomy.stages import Calendar, calendar_for
from gateway.agronomy.standing import Standing, is_seedbed, is_young, standing_of
from gateway.agronomy.temperature import cold_of
from gateway.agronomy.threshold import Threshold, threshold_of

WEEDY = ("establishment", "tillering", "panicle")  # later the canopy shades the weeds
KEPT = ("establishment", "flowering", "unknown")  # the water may not fall below the surface


@dataclass(frozen=True, slots=True)
class Facts:
    """Everything judged of a case. ``known`` and ``marks`` are what the table's rows name.

    ``mark_cm`` is the level that the forecast looks for; ``rose``: a tube can show today's reading,
    but nothing on record explains that it lies so high.
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
    rose: bool
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


@dataclass(frozen=True, slots=True)
class Doubts:
    """Whether the last thing told is doubted; ``rose``: it may be irrigation that was not told."""

    any: bool
    rose: bool


@dataclass(frozen=True, slots=True)
class Aim:
    """The level at which the plot needs water and the one it is filled to, both in signed cm."""

    mark_cm: float
    flood_to_cm: float


def aim_of(case: Case, season: Season, practice: Practice, calendar: Calendar) -> Aim:
    """What the plot's water is held to on the case's day; no forecast is needed for it."""
    stage, care = calendar.stage_on(case.as_of), _care(case, season, practice, calendar)
    holds = holds_of(case, practice, weeds=stage in WEEDY)
    threshold = threshold_of(case, practice, stage, calendar.may_form_panicles(case.as_of))
    mark = practice.water.surface_cm if _kept(stage, holds, care) else threshold.level_cm
    return Aim(mark, standing_of(case, season, practice, care.cold).flood_to_cm)


def facts_of(case: Case, season: Season, practice: Practice) -> Facts:
    """The facts on the case's day, for a plot with a season."""
    calendar = calendar_for(case, season, practice)
    stage = calendar.stage_on(case.as_of)
    holds = holds_of(case, practice, weeds=stage in WEEDY)
    care = _care(case, season, practice, calendar)
    threshold = threshold_of(case, practice, stage, calendar.may_form_panicles(case.as_of))
    standing = standing_of(case, season, practice, care.cold)
    mark = practice.water.surface_cm if _kept(stage, holds, care) else threshold.level_cm
    guess = estimate(believable(case, practice), calendar, practice, mark)
    sight, nitrogen = sight_of(case, practice), nitrogen_of(case, practice.nitrogen)
    doubts = _doubts(case, practice, sight, guess)
    known: dict[str, str | float | None] = {
        **crop_facts(case, practice, calendar, nitrogen, care),
        **hold_facts(holds, practice),
        **water_facts(sight, guess, standing, threshold, doubts.any),
        **supply_facts(case, practice, guess),
    }
    return Facts(
        case=case,
        practice=practice,
        season=season,
        calendar=calendar,
        stage=stage,
        holds=holds,
        nitrogen=nitrogen,
        sight=sight,
        threshold=threshold,
        standing=standing,
        estimate=guess,
        mark_cm=mark,
        rose=doubts.rose,
        known=known,
        marks=_marks(practice, threshold),
    )


def _care(case: Case, season: Season, practice: Practice, calendar: Calendar) -> Care:
    stage, seedbed = calendar.stage_on(case.as_of), is_seedbed(case, season, practice)
    young = is_young(case, season, practice) and not seedbed
    cold = cold_of(case, calendar, stage, young, practice)
    return Care(effect_of(case, practice), seedbed, cold)


def _kept(stage: Stage, holds: Holds, care: Care) -> bool:
    """Whether the water may not fall below the surface, so that the forecast looks for that."""
    held = holds.weeds_until is not None or holds.submerged != "no" or holds.keep_cm is not None
    return held or care.bar != "none" or care.cold != "no" or stage in KEPT


def _doubts(case: Case, practice: Practice, sight: Sight, guess: Estimate) -> Doubts:
    """The doubts about what was last told; a reading borne out by the one before it has none."""
    doubted = "reading-doubted" in guess.notes and not seen_twice(case, practice)
    if sight.flooded or sight.out_of_reach or sight.level_cm is None or guess.level_cm is None:
        return Doubts(doubted or sight.out_of_reach, rose=False)
    rose = rose_unexplained(case, practice, guess.storage_mm_cm.p10)
    return Doubts(doubted or rose, rose or (doubted and sight.level_cm > guess.level_cm.p50))


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
