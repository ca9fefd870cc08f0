"""The crop of a plot: the cells of a line that tell how, when and what was planted."""

from collections.abc import Collection, Mapping
from typing import Any, get_args

from gateway.advisory.sheets import Known, SeasonEntry
from gateway.agronomy.season import Method, Seedlings
from gateway.sources.cells import Cells

COLUMNS = (
    *("method", "established_on", "sown_on", "variety", "duration_days", "plan"),
    *("crop_season", "photoperiod_sensitive", "uneven", "seedlings"),
)


def read_crop(cells: Cells, known: Known) -> dict[str, Any]:
    """What a line tells of a crop, by column; cells that are empty or wrong are left out."""
    days = known.bounds.days.season
    told = {
        "method": cells.choice("method", get_args(Method)),
        "established_on": cells.day("established_on", known.today, days),
        "sown_on": cells.day("sown_on", known.today, days),
        "variety": cells.words("variety"),
        "duration_days": cells.whole("duration_days", known.bounds.plots.duration_days),
        "plan": cells.choice("plan", known.plans),
        "crop_season": cells.choice("crop_season", known.crop_seasons),
        "photoperiod_sensitive": cells.flag("photoperiod_sensitive"),
        "uneven": cells.flag("uneven"),
        "seedlings": cells.choice("seedlings", get_args(Seedlings)),
    }
    return {column: value for column, value in told.items() if value is not None}


def season_of(cells: Cells, told: Mapping[str, Any], wrong: Collection[str]) -> SeasonEntry | None:
    """The season that a plot's cells add up to; None where there is none, or it is wrong.

    ``cells`` are those of the line on which mistakes are noted; a ``wrong`` column has been told.
    """
    if not told:
        return None
    for column in ("method", "established_on"):
        if column not in told and column not in wrong:
            cells.fail(column, "must be told with the crop")
    if "method" not in told or "established_on" not in told:
        return None
    if not (_seedlings_in_order(cells, told) & _sown_in_order(cells, told)):
        return None
    return SeasonEntry(cells.line, **told)


def _seedlings_in_order(cells: Cells, told: Mapping[str, Any]) -> bool:
    if told["method"] == "transplanted" or "seedlings" not in told:
        return True
    cells.fail("seedlings", "seeded rice has none; leave it empty")
    return False


def _sown_in_order(cells: Cells, told: Mapping[str, Any]) -> bool:
    sown, established = told.get("sown_on"), told["established_on"]
    if sown is None:
        return True
    if told["method"] != "transplanted" and sown != established:
        cells.fail("sown_on", "seeded rice has its sowing day under established_on; leave it empty")
        return False
    if sown > established:
        cells.fail(
            "sown_on", f"the nursery is sown before planting, need a day up to {established}"
        )
        return False
    return True
