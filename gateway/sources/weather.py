"""A sheet of daily weather, one line a day; what is outside the bounds of any weather is a slip."""

from dataclasses import fields
from datetime import date
from pathlib import Path
from typing import Any, Final

from gateway.advisory.sheets import SheetBounds, WeatherSheet
from gateway.agronomy.case import WeatherDay
from gateway.sources.cells import Cells
from gateway.sources.table import read_table

VALUES: Final = tuple(field.name for field in fields(WeatherDay) if field.name != "on")
UNITS: Final = {
    "tmin": "degrees C",
    "tmax": "degrees C",
    "rain_mm": "mm",
    "et0_mm": "mm",
    "rhmin": "percent",
    "rhmax": "percent",
    "wind_ms": "m/s",
    "sun_h": "hours",
    "radiation_mj": "MJ/m2",
}
IN_ORDER: Final = (("tmin", "tmax"), ("rhmin", "rhmax"))


def read_weather(path: Path, bounds: SheetBounds, today: date) -> WeatherSheet:
    """The sheet at ``path``. Raises SheetRefused with every mistake in it."""
    table = read_table(path, ("on", *VALUES), ("on",))
    days: dict[date, tuple[int, WeatherDay]] = {}
    for cells in (Cells(table, line) for line in table.lines):
        on = cells.day("on", today, bounds.days.weather)
        told = _values(cells, bounds)
        cells.need("on")
        if on is not None and on in days:
            cells.fail("on", f"line {days[on][0]} tells of this day already; keep one")
        elif on is not None:
            days[on] = (cells.line, WeatherDay(on, **told))
    table.require_order()
    return WeatherSheet(path.name, tuple(days.values()))


def _values(cells: Cells, bounds: SheetBounds) -> dict[str, Any]:
    told = {name: cells.number(name, getattr(bounds.weather, name), UNITS[name]) for name in VALUES}
    if not any(cells.has(name) for name in VALUES):
        cells.fail("on", f"tells nothing of its day; need one of {', '.join(VALUES)}")
    for low, high in IN_ORDER:
        least, most = told[low], told[high]
        if least is not None and most is not None and least > most:
            cells.fail(low, f"{least:g} must not lie above {high}, {most:g}")
    return told
