"""The water balance of a plot by the day: the crop's demand and the rain, summed up.

A day of the balance runs from its morning to the next, so that a reading at dawn comes before the
day's weather. Times are days since year 1, a morning being .25.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import accumulate

from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.forecast_practice import ForecastPractice
from gateway.agronomy.weather import et0_of, usual_et0, weather_by_day

MORNING = 0.25
DAYS_TO_FILL = 10  # a day without weather takes the mean of the latest days that have some


@dataclass(frozen=True, slots=True)
class Balance:
    """Sums from the first day's morning: demand (Kc x ET0), rain, and rain squared, in mm.

    A day with more than ``heavy_mm`` may have filled the plot to its bund.
    """

    first: int
    demand: Sequence[float]
    rain: Sequence[float]
    squares: Sequence[float]
    heavy_mm: float

    def between(self, start: float, end: float) -> tuple[float, float, float]:
        """Demand, rain and the sum of squares of daily rain between two times."""
        return (
            _at(self.demand, end - self.first) - _at(self.demand, start - self.first),
            _at(self.rain, end - self.first) - _at(self.rain, start - self.first),
            _at(self.squares, end - self.first) - _at(self.squares, start - self.first),
        )

    def mornings(self, start: float, first: int, count: int) -> tuple[list[float], list[float]]:
        """Demand and rain from ``start`` to each of ``count`` mornings from day ``first`` on."""
        demand, rain = self.demand, self.rain
        used, fallen = _at(demand, start - self.first), _at(rain, start - self.first)
        low = first - self.first
        return (
            [max(0.0, each - used) for each in demand[low : low + count]],
            [max(0.0, each - fallen) for each in rain[low : low + count]],
        )


def balance_of(
    case: Case, first: int, last: int, crop: "CropDays", known: ForecastPractice
) -> Balance:
    """The balance from day ``first`` to the morning after day ``last`` (days since year 1)."""
    weather = weather_by_day(case.weather)
    falls = _rain_told(case)
    usual = _usual(case, known)
    demand, rain = [], []
    for number in range(first, last + 1):
        on = date.fromordinal(number)
        day = weather.get(on)
        et0 = _et0(day, case, known) if day else None
        demand.append(crop.kc(number) * (usual if et0 is None else et0))
        seen = (day.rain_mm or 0.0) if day else 0.0
        rain.append(falls.get(on, seen))
    squares = [each * each for each in rain]
    sums = [list(accumulate(each, initial=0.0)) for each in (demand, rain, squares)]
    return Balance(first, sums[0], sums[1], sums[2], known.model.heavy_rain_mm)


@dataclass(frozen=True, slots=True)
class CropDays:
    """The days of the crop that its Kc follows; without a season the middle of the curve."""

    known: ForecastPractice
    planted: int | None
    duration: float | None

    @classmethod
    def of(cls, case: Case, harvest_on: date | None, known: ForecastPractice) -> "CropDays":
        """From the season of a case and its harvest, where they are known."""
        if case.season is None:
            return cls(known, None, None)
        planted = case.season.established_on
        duration = float((harvest_on - planted).days) if harvest_on else None
        return cls(known, planted.toordinal(), duration)

    def kc(self, day: int) -> float:
        """Kc on a day (days since year 1)."""
        if self.planted is None:
            return self.known.kc.middle
        return self.known.kc.at(day - self.planted + 1.0, self.duration)


def _et0(day: WeatherDay, case: Case, known: ForecastPractice) -> float | None:
    if day.et0_mm is None and (day.tmin is None or day.tmax is None):
        return None
    return et0_of(day, case.plot.latitude, case.plot.elevation_m, known.climate)


def _usual(case: Case, known: ForecastPractice) -> float:
    """ET0 for days without weather: the mean of the latest known days, else what is usual."""
    days = sorted((day for day in case.weather), key=lambda day: day.on)
    near = [d for d in days if d.on <= case.as_of + timedelta(days=1)] or days
    found = [et0 for d in near[-DAYS_TO_FILL:] if (et0 := _et0(d, case, known)) is not None]
    if found:
        return sum(found) / len(found)
    return usual_et0(case.as_of, case.plot.latitude, case.plot.elevation_m, known.climate)


def _rain_told(case: Case) -> Mapping[date, float]:
    """Rain that was reported from the plot; it stands in the place of that day's weather."""
    told: dict[date, float] = {}
    for event in case.events:
        if event.kind == "rain" and event.mm is not None:
            told[event.on] = max(event.mm, told.get(event.on, 0.0))
    return told


def _at(sums: Sequence[float], days: float) -> float:
    place = max(0.0, min(days - MORNING, len(sums) - 1.0))
    low = min(int(place), len(sums) - 2)
    return sums[low] + (sums[low + 1] - sums[low]) * (place - low)
