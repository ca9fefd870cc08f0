"""Books of invented dry-downs and their estimates, for the tests of the water model."""

from collections.abc import Iterable
from datetime import date, time, timedelta
from typing import Any

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.drydown import Estimate, estimate
from gateway.agronomy.forecast_practice import ForecastPractice
from gateway.agronomy.plot import Plot
from gateway.agronomy.season import Season
from gateway.agronomy.stages import calendar_of
from tests.agronomy.plots import book

START = date(2026, 2, 1)
THRESHOLD = -15.0
# A long season, so that the whole book lies before its flowering window.
SEASON = Season(
    "transplanted", START - timedelta(days=20), START - timedelta(days=41), duration_days=300
)


def day(number: int) -> date:
    """A day by its number from the start of the book."""
    return START + timedelta(days=number)


def flooded(number: int, to_cm: float | None = 5.0, at: time | None = None) -> Event:
    return Event("flooded", day(number), at=at, to_cm=to_cm)


def reading(number: int, level: float | str, at: time | None = None) -> Event:
    """A reading in cm, or a dry tube for "dry"."""
    if level == "dry":
        return Event("reading", day(number), at=at, dry=True)
    return Event("reading", day(number), at=at, level_cm=float(level))


def falling(first: int, *levels: float, every: int = 2, flood: bool = True) -> list[Event]:
    """A flooding on day ``first`` and a reading every so many days after it."""
    start = [flooded(first)] if flood else []
    return start + [reading(first + every * (n + 1), level) for n, level in enumerate(levels)]


def weather(until: int, et0: float = 5.0, rain: dict[int, float] | None = None) -> list[WeatherDay]:
    falls = rain or {}
    return [WeatherDay(day(n), et0_mm=et0, rain_mm=falls.get(n, 0.0)) for n in range(-5, until + 1)]


def case_on(
    today: int,
    events: Iterable[Event],
    days: Iterable[WeatherDay] | None = None,
    **plot: Any,
) -> Case:
    settings = {"soil": "clay-loam", "bars": frozenset()} | plot
    sky = tuple(weather(today + 10) if days is None else days)
    return Case(day(today), Plot("H07", **settings), SEASON, tuple(events), sky)


def estimated(
    today: int,
    events: Iterable[Event],
    days: Iterable[WeatherDay] | None = None,
    threshold: float = THRESHOLD,
    **plot: Any,
) -> Estimate:
    """The estimate on a day of the book."""
    case = case_on(today, events, days, **plot)
    practice = book().practice_of(None)
    calendar = calendar_of(SEASON, practice, case.events, case.as_of, case.plot.soil)
    return estimate(case, calendar, practice, threshold)


def forecast() -> ForecastPractice:
    """The forecast's numbers as shipped."""
    return book().practice_of(None).forecast
