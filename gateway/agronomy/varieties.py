"""The office's variety table: how long a crop grows, by how and when it was planted."""

from collections.abc import Mapping
from dataclasses import dataclass

from gateway.agronomy.season import Season


@dataclass(frozen=True, slots=True)
class Variety:
    """Days from sowing to maturity by method, and by season and method where seasons differ.

    ``ripening_days`` from peak flowering to maturity, the scheme's where None. A variety that is
    ``photoperiod_sensitive`` flowers by the length of the day, so no duration holds for it.
    """

    duration_days: Mapping[str, int]
    by_season: Mapping[str, Mapping[str, int]]
    ripening_days: int | None = None
    photoperiod_sensitive: bool = False


@dataclass(frozen=True, slots=True)
class Growth:
    """What the calendar counts with; ``duration_days`` None: dated by report alone."""

    duration_days: int | None
    ripening_days: int
    notes: tuple[str, ...] = ()


def variety_name(name: str) -> str:
    """A variety as the table writes it: "Medium  120" is ``medium-120``."""
    return "-".join(name.casefold().replace("_", " ").replace("-", " ").split())


def growth_of(season: Season, varieties: Mapping[str, Variety], ripening_days: int) -> Growth:
    """The season's growth: its own duration first, then the table's by season and method."""
    variety = varieties.get(variety_name(season.variety)) if season.variety else None
    ripening = (variety.ripening_days if variety else None) or ripening_days
    if _sensitive(season, variety):
        return Growth(None, ripening, ("photoperiod-sensitive",))
    if season.duration_days is not None:
        return Growth(season.duration_days, ripening)
    if variety is None:
        return Growth(None, ripening, ("variety-unknown",) if season.variety else ())
    return _by_table(season, variety, ripening)


def _sensitive(season: Season, variety: Variety | None) -> bool:
    if season.photoperiod_sensitive is not None:
        return season.photoperiod_sensitive
    return variety is not None and variety.photoperiod_sensitive


def _by_table(season: Season, variety: Variety, ripening: int) -> Growth:
    of_season = variety.by_season.get(season.crop_season or "", {})
    days = of_season.get(season.method, variety.duration_days.get(season.method))
    notes = ["duration-from-variety"] if days is not None else []
    if variety.by_season and season.crop_season is None and days is not None:
        notes.append("crop-season-unknown")
    return Growth(days, ripening, tuple(notes))
