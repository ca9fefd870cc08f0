"""Reads flows/varieties.yaml: the office's variety table."""

from collections.abc import Mapping
from typing import get_args

from gateway.agronomy.season import Method
from gateway.agronomy.varieties import Variety, variety_name
from gateway.flowfiles.reader import Entry

SHORTEST, LONGEST = 60, 300  # days from sowing to maturity, of any rice


def varieties_of(top: Entry) -> Mapping[str, Variety]:
    """The varieties by name. Raises FlowError at the first mistake."""
    top.keys("varieties")
    found: dict[str, Variety] = {}
    for name, entry in top.need("varieties").items():
        key = variety_name(name)
        if key in found:
            entry.fail(f"the variety {key!r} stands twice, as capitals and spaces do not count")
        found[key] = _variety(entry)
    return found


def _variety(entry: Entry) -> Variety:
    entry.keys("duration_days", "by_season", "ripening_days", "photoperiod_sensitive")
    durations, seasons = entry.get("duration_days"), entry.get("by_season")
    ripening, sensitive = entry.get("ripening_days"), entry.get("photoperiod_sensitive")
    variety = Variety(
        duration_days=_days(durations) if durations else {},
        by_season={name: _days(each) for name, each in seasons.items()} if seasons else {},
        ripening_days=ripening.whole(20, 80, "days") if ripening else None,
        photoperiod_sensitive=sensitive.flag() if sensitive else False,
    )
    if variety.photoperiod_sensitive and (durations or seasons):
        (durations or seasons or entry).fail(
            "a photoperiod-sensitive variety has no duration; take it out, heads are reported"
        )
    if not variety.photoperiod_sensitive and not (durations or seasons):
        entry.fail("need duration_days by method, or photoperiod_sensitive: yes")
    return variety


def _days(entry: Entry) -> dict[str, int]:
    return {
        m: days.whole(SHORTEST, LONGEST, "days")
        for m, days in entry.keys(*get_args(Method)).items()
    }
