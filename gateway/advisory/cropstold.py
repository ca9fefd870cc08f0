"""Which crop on record a sheet speaks of."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from gateway.advisory.register import SeasonOnRecord
from gateway.advisory.sheets import SeasonEntry, Span


def same_crop(
    established_on: date, seasons: Mapping[date, SeasonOnRecord], near: Span
) -> SeasonOnRecord | None:
    """The crop of that day; else the nearest one within ``near`` days, whose day was wrong."""
    by_distance = sorted(seasons, key=lambda day: abs((established_on - day).days))
    for day in by_distance[:1]:
        if day == established_on or near.least <= (established_on - day).days <= near.most:
            return seasons[day]
    return None


def season_told(entry: SeasonEntry) -> dict[str, Any]:
    """What a sheet tells of a crop, as fields of ``Season``."""
    return {
        "method": entry.method,
        "established_on": entry.established_on,
        "sown_on": entry.sown_on,
        "duration_days": entry.duration_days,
        "variety": entry.variety,
        "crop_season": entry.crop_season,
        "photoperiod_sensitive": entry.photoperiod_sensitive,
        "uneven": entry.uneven,
        "seedlings": entry.seedlings,
    }
