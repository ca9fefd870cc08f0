"""How deep water may stand: the aim of a flooding, and the level above which some is let out."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from math import floor

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.practice import Practice
from gateway.agronomy.season import Season
from gateway.agronomy.temperature import Cold

STICK_CM = 0.5  # nobody reads a depth finer than this


@dataclass(frozen=True, slots=True)
class Standing:
    """``flood_to_cm`` is the aim, ``too_deep_cm`` the most that may stand, both in cm above the
    soil; ``low_cm`` the level at which a plot that is kept flooded is filled again. ``reasons``
    are codes for what moved them."""

    flood_to_cm: float
    too_deep_cm: float
    low_cm: float
    reasons: tuple[str, ...] = ()


def age_days(case: Case, season: Season) -> int:
    """Days since planting or sowing in the field; negative before."""
    return (case.as_of - season.established_on).days


def is_young(case: Case, season: Season, practice: Practice) -> bool:
    """Whether the stand is so young that its water has a ceiling."""
    return 0 <= age_days(case, season) < practice.start.young_days


def is_seedbed(case: Case, season: Season, practice: Practice) -> bool:
    """Direct-seeded and so young that the soil is kept wet without standing water."""
    age = age_days(case, season)
    return season.method != "transplanted" and 0 <= age < practice.start.moist_days


def standing_of(case: Case, season: Season, practice: Practice, cold: Cold) -> Standing:
    """The depths of the case's day: lower for the young and where snails are, deeper in cold."""
    water = practice.water
    limits = list(_limits(case, season, practice))
    aim = min([water.flood_to_cm, *(limit for _, limit, _ in limits)])
    deep = min([water.too_deep_cm, *(most for _, _, most in limits)])
    reasons = tuple(reason for reason, _, _ in limits if reason)
    if is_seedbed(case, season, practice):
        return Standing(water.surface_cm, deep, water.surface_cm, reasons)
    if cold == "booting":
        aim = max(aim, _cold_depth(case, practice))
    short = water.flood_to_cm - water.top_up_cm
    return Standing(aim, max(deep, aim), max(water.surface_cm, aim - short), reasons)


def _limits(case: Case, season: Season, practice: Practice) -> Iterator[tuple[str, float, float]]:
    """What bounds the water: reason code, aim and most in cm."""
    start, most = practice.start, practice.water.too_deep_cm
    young, seeded = is_young(case, season, practice), season.method != "transplanted"
    height, snails = _height_cm(case, season, practice), _has_snails(case, season, practice)
    if young and seeded:
        yield "", start.young_seeded_cm, start.young_seeded_cm
    elif young:
        yield "", start.young_transplanted_cm, most
    if case.plot.bund_cm is not None:  # what stands above it runs off to the neighbour
        yield "", max(practice.water.shallow_cm, case.plot.bund_cm), most
    if snails:
        yield "snails", start.snail_cm, start.snail_cm
    if height is not None:
        small = young or seeded or snails
        share = start.young_share if small else practice.water.deep_share
        aim = floor(height * share / STICK_CM) * STICK_CM
        yield "plants-short", aim, max(aim, height * practice.water.deep_share)


def _height_cm(case: Case, season: Season, practice: Practice) -> float | None:
    """The height told lately; plants outgrow an older one."""
    told = _lately(case, season, "tall", practice.start.height_days)
    heights = [(e.on, e.height_cm) for e in told if e.height_cm is not None]
    return max(heights)[1] if heights else None


def _has_snails(case: Case, season: Season, practice: Practice) -> bool:
    start = practice.start
    if age_days(case, season) >= start.snail_days:
        return False
    return any(True for _ in _lately(case, season, "snails", start.snails_count_days))


def _lately(case: Case, season: Season, kind: str, days: int) -> Iterator[Event]:
    first = max(season.established_on, case.as_of - timedelta(days=days - 1))
    return (e for e in case.events if e.kind == kind and first <= e.on <= case.as_of)


def _cold_depth(case: Case, practice: Practice) -> float:
    """The water that shields the panicles, as deep as the bund holds."""
    known, bund = practice.temperature, case.plot.bund_cm
    if bund is None:
        return min(known.cold_cm, known.bund_unknown_cm)
    return min(known.cold_cm, bund - known.freeboard_cm)
