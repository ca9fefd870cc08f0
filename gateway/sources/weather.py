"""A sheet of daily weather, one line a day; what is outside the bounds of any weather is a slip."""

from dataclasses import fields
from datetime import date
from pathlib import Path
from typing import Any, Final

from gateway.advisory.sheets import SheetBounds, WeatherSheet
from gateway.advisory.weatherlink import WeatherLink
from gateway.agronomy.air import STANDARD_HEIGHT_M, wind_at_two_metres
from gateway.agronomy.case import WeatherDay
from gateway.sources.cells import Cells
from gateway.sources.table import Table, read_table, table_of

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
HEIGHT: Final = "wind_height_m"
MEAN: Final = "rhmean"
COLUMNS: Final = ("on", *VALUES, HEIGHT, MEAN)
IN_ORDER: Final = (("tmin", "tmax"), ("rhmin", "rhmax"))


def read_weather(path: Path, bounds: SheetBounds, today: date) -> WeatherSheet:
    """The sheet at ``path``. Raises SheetRefused with every mistake in it."""
    return _read(read_table(path, COLUMNS, ("on",)), path.name, STANDARD_HEIGHT_M, bounds, today)


def read_fetched(raw: bytes, link: WeatherLink, bounds: SheetBounds, today: date) -> WeatherSheet:
    """The sheet that came from a link. Raises SheetRefused with every mistake in it."""
    table = table_of(f"weather from {link.host}", raw, COLUMNS, ("on",), link.columns)
    return _read(table, link.host, link.wind_height_m, bounds, today)


def _read(
    table: Table, name: str, height_m: float, bounds: SheetBounds, today: date
) -> WeatherSheet:
    days: dict[date, tuple[int, WeatherDay]] = {}
    for cells in (Cells(table, line) for line in table.lines):
        on = cells.day("on", today, bounds.days.weather)
        told = _values(cells, bounds, height_m)
        cells.need("on")
        if on is not None and on in days:
            cells.fail("on", f"line {days[on][0]} tells of this day already; keep one")
        elif on is not None:
            days[on] = (cells.line, WeatherDay(on, **told))
    table.require_order()
    return WeatherSheet(name, tuple(days.values()))


def _values(cells: Cells, bounds: SheetBounds, height_m: float) -> dict[str, Any]:
    told = {name: cells.number(name, getattr(bounds.weather, name), UNITS[name]) for name in VALUES}
    mean = cells.number(MEAN, bounds.weather.rhmean, UNITS["rhmax"])
    if not any(cells.has(name) for name in (*VALUES, MEAN)):
        cells.fail("on", f"tells nothing of its day; need one of {', '.join(VALUES)}")
    for low, high in IN_ORDER:
        least, most = told[low], told[high]
        if least is not None and most is not None and least > most:
            cells.fail(low, f"{least:g} must not lie above {high}, {most:g}")
    if mean is not None and told["rhmin"] is None and told["rhmax"] is None:
        told |= {"rhmin": mean, "rhmax": mean}  # FAO-56 eq. 17 with both alike is its eq. 19
    return told | {"wind_ms": _wind(cells, told["wind_ms"], bounds, height_m)}


def _wind(
    cells: Cells, wind_ms: float | None, bounds: SheetBounds, height_m: float
) -> float | None:
    """The wind at 2 m, where it was measured at another height."""
    told = cells.number(HEIGHT, bounds.weather.wind_height_m, "m")
    height = height_m if told is None else told
    if wind_ms is None or height == STANDARD_HEIGHT_M:
        return wind_ms
    return round(wind_at_two_metres(wind_ms, height), 3)
