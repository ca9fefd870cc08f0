"""Cold and heat in the forecast, at the stages that they harm; only where the office asks."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Literal

from gateway.agronomy.advice import Stage
from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.practice import Practice
from gateway.agronomy.seasondays import Calendar

Cold = Literal["no", "seedlings", "booting"]


def cold_of(case: Case, calendar: Calendar, stage: Stage, young: bool, practice: Practice) -> Cold:
    """Whether cold nights are forecast for seedlings, or for panicles from pollen to flower."""
    known = practice.temperature
    limit = known.cold_tmin_c
    if not known.cold or not any(
        d.tmin < limit for d in _ahead(case, practice) if d.tmin is not None
    ):
        return "no"
    if _pollen_forms(case.as_of, calendar, stage, practice):
        return "booting"
    return "seedlings" if young else "no"


def heat_of(case: Case, stage: Stage, practice: Practice) -> bool:
    """Whether heat is forecast for a crop in flower."""
    known = practice.temperature
    hot = (day.tmax for day in _ahead(case, practice) if day.tmax is not None)
    return (
        known.heat
        and stage in ("flowering", "unknown")
        and any(t >= known.heat_tmax_c for t in hot)
    )


def _ahead(case: Case, practice: Practice) -> Iterator[WeatherDay]:
    end = case.as_of + timedelta(days=practice.temperature.ahead_days)
    return (day for day in case.weather if case.as_of <= day.on <= end)


def _pollen_forms(day: date, calendar: Calendar, stage: Stage, practice: Practice) -> bool:
    if stage == "unknown":
        return True
    first, last = calendar.flowering_from, calendar.flowering_to
    if first is None or last is None:
        return False
    lead = practice.temperature.cold_before_days - practice.calendar.window.before_days
    return first - timedelta(days=lead) <= day <= last
