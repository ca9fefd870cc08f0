"""Thermal time: heat units of a day, and the day on which a crop has had what it needs.

Linear from the base to the optimum, then falling to nothing at the maximum, hour by hour over a
sine of the day's temperatures (Bouman et al. 2001, ORYZA2000: 8, 30 and 42 C for rice).
"""

from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import lru_cache
from math import cos, pi
from typing import Any

from gateway.agronomy.case import WeatherDay
from gateway.agronomy.recent import Recent
from gateway.agronomy.weather import Climate, usual_range

HOURS = 24
WARMEST_HOUR = 14
SWING = tuple(cos(2 * pi / HOURS * (hour - WARMEST_HOUR)) for hour in range(1, HOURS + 1))


@dataclass(frozen=True, slots=True)
class ThermalPractice:
    """Base, optimum and maximum in C; how many days of temperatures make heat units worth while,
    and by how many days they may move a date.

    ``usual_tmin_c`` and ``usual_tmax_c``: the office's own twelve months, or empty. What is usual
    is then guessed from the latitude, and a shift of less than ``rough_days`` means nothing.
    """

    base_c: float
    optimum_c: float
    maximum_c: float
    least_days: int
    most_days: int
    rough_days: int
    usual_tmin_c: tuple[float, ...]
    usual_tmax_c: tuple[float, ...]


@lru_cache(maxsize=4096)
def heat_units(tmin: float, tmax: float, known: ThermalPractice) -> float:
    """The heat units of a day in degree-days (Cd), never negative."""
    mean, half = (tmin + tmax) / 2, (tmax - tmin) / 2
    return sum(_hourly(mean + half * swing, known) for swing in SWING) / HOURS


def _hourly(degrees: float, known: ThermalPractice) -> float:
    if degrees <= known.base_c or degrees >= known.maximum_c:
        return 0.0
    if degrees <= known.optimum_c:
        return degrees - known.base_c
    fall = (known.optimum_c - known.base_c) / (known.maximum_c - known.optimum_c)
    return (known.maximum_c - degrees) * fall


@dataclass(frozen=True, slots=True)
class Warmth:
    """The temperatures of a place: told day by day, usual where none is on record."""

    told: dict[date, tuple[float, float]]
    latitude: float | None
    elevation_m: float | None
    climate: Climate
    known: ThermalPractice
    reached: dict[tuple[date, date, int], date] = field(
        default_factory=dict, compare=False, repr=False
    )

    def units(self, day: date) -> float:
        """The heat units of a day, as told or as usual."""
        found = self.told.get(day)
        return self.usual(day) if found is None else heat_units(*found, self.known)

    def usual(self, day: date) -> float:
        """The heat units that are usual for the day of the year."""
        if self.known.usual_tmin_c:
            month = day.month - 1
            low, high = self.known.usual_tmin_c[month], self.known.usual_tmax_c[month]
        else:
            place = self.climate.latitude if self.latitude is None else self.latitude
            low, high = usual_range(day, place, self.elevation_m, self.climate)
        return heat_units(round(low, 1), round(high, 1), self.known)

    def day_reached(self, start: date, usual_start: date, usual_days: int) -> date:
        """The day on which the crop, growing from ``start``, has had the heat of ``usual_days``
        usual days from ``usual_start``; in usual weather exactly so many days on.

        Never more than the practice's days away from that, nor less where the usual is a guess.
        """
        asked = (start, usual_start, usual_days)
        if asked not in self.reached:
            self.reached[asked] = self._day_reached(start, usual_start, usual_days)
        return self.reached[asked]

    def _day_reached(self, start: date, usual_start: date, usual_days: int) -> date:
        usual = start + timedelta(days=usual_days)
        day = self._reached(start, usual_start, usual_days)
        rough = not self.known.usual_tmin_c and abs((day - usual).days) < self.known.rough_days
        return usual if rough else day

    def _reached(self, start: date, usual_start: date, usual_days: int) -> date:
        need = sum(self.usual(usual_start + timedelta(days=n)) for n in range(usual_days))
        if need <= 0:
            return start + timedelta(days=usual_days)
        had, count = 0.0, 0
        while count < usual_days + self.known.most_days:
            today = self.units(start + timedelta(days=count))
            if had + today / 2 >= need:  # the nearer of the two mornings
                break
            had, count = had + today, count + 1
        return start + timedelta(days=max(count, usual_days - self.known.most_days))


# Plots of a scheme share their weather, and many the day of sowing. What is usual is not known
# finer than this, so that neighbours share their warmth too.
DEGREES, METRES = 0.1, 10.0
REMEMBERED = 512
_remembered: Recent[Any, tuple[Any, ...]] = Recent(REMEMBERED)


def warmth_of(
    weather: tuple[WeatherDay, ...],
    since: date,
    latitude: float | None,
    elevation_m: float | None,
    climate: Climate,
    known: ThermalPractice,
) -> Warmth | None:
    """The warmth of a season; None where too few of its temperatures are known, or nothing tells
    what is usual. The same for the very same weather is remembered."""
    if latitude is None and not known.usual_tmin_c:
        return None
    place = _near(latitude, DEGREES), _near(elevation_m, METRES)
    key = (id(weather), since, *place, id(climate), id(known))
    found = _remembered.get(key)
    if found is None:
        warmth = _warmth(weather, since, *place, climate, known)
        found = (warmth, weather, climate, known)  # held, so that no other takes their identity
        _remembered.put(key, found)
    answer: Warmth | None = found[0]
    return answer


def _near(value: float | None, step: float) -> float | None:
    return None if value is None else round(value / step) * step


def _warmth(
    weather: tuple[WeatherDay, ...],
    since: date,
    latitude: float | None,
    elevation_m: float | None,
    climate: Climate,
    known: ThermalPractice,
) -> Warmth | None:
    told = {
        day.on: (day.tmin, day.tmax)
        for day in weather
        if day.on >= since and day.tmin is not None and day.tmax is not None
    }
    if len(told) < known.least_days:
        return None
    return Warmth(told, latitude, elevation_m, climate, known)
