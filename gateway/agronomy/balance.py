"""The water balance of a plot by the day: the crop's demand and the rain, summed up.

A day of the balance runs from its morning to the next, so that a reading at dawn comes before the
day's weather. Times are days since year 1, a morning being .25.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import accumulate

from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.forecast_practice import ForecastPractice
from gateway.agronomy.weather import et0_of, usual_et0

MORNING = 0.25
Sums = tuple[float, float, float]
TRACE_MM = 0.01  # no gauge shows a tenth of a tenth; less is a slip, and is reckoned as no rain
DAYS_TO_FILL = 10  # a day without weather takes the mean of the latest days that have some


@dataclass(frozen=True, slots=True)
class Balance:
    """Sums from the first day's morning: demand (Kc x ET0), rain, and rain squared, in mm.

    The square of rain told of a whole block counts for more, by how much less it is trusted.
    """

    first: int
    demand: Sequence[float]
    rain: Sequence[float]
    squares: Sequence[float]

    def at(self, time: float) -> Sums:
        """Demand, rain and the sum of squares of daily rain from the first morning to a time."""
        days = max(0.0, min(time - MORNING - self.first, len(self.demand) - 1.0))
        low = min(int(days), len(self.demand) - 2)
        part, demand, rain, squares = days - low, self.demand, self.rain, self.squares
        return (
            demand[low] + (demand[low + 1] - demand[low]) * part,
            rain[low] + (rain[low + 1] - rain[low]) * part,
            squares[low] + (squares[low + 1] - squares[low]) * part,
        )

    def between(self, start: float, end: float) -> Sums:
        """Demand, rain and the sum of squares of daily rain between two times."""
        low, high = self.at(start), self.at(end)
        return high[0] - low[0], high[1] - low[1], high[2] - low[2]

    def mornings(self, start: float, first: int, count: int) -> tuple[list[float], list[float]]:
        """Demand and rain from ``start`` to each of ``count`` mornings from day ``first`` on."""
        used, fallen, _ = self.between(self.first + MORNING, start)
        low = first - self.first
        return (
            [max(0.0, each - used) for each in self.demand[low : low + count]],
            [max(0.0, each - fallen) for each in self.rain[low : low + count]],
        )


def balance_of(
    case: Case, first: int, last: int, crop: "CropDays", known: ForecastPractice
) -> Balance:
    """The balance from day ``first`` to the morning after day ``last`` (days since year 1)."""
    count = last - first + 1
    et0: list[float | None] = [None] * count
    rain = [0.0] * count
    for day in case.weather:
        place = day.on.toordinal() - first
        if 0 <= place < count:
            et0[place], rain[place] = _et0(day, case, known), day.rain_mm or 0.0
    wider = [1.0] * count
    for on, (own, fallen) in _rain_reports(case).items():
        if first <= on.toordinal() <= last:
            rain[on.toordinal() - first] = fallen
            wider[on.toordinal() - first] = 1.0 if own else known.model.block_rain_wider
    rain = [fallen if fallen >= TRACE_MM else 0.0 for fallen in rain]
    usual = _usual(case, et0, case.as_of.toordinal() - first, known)
    kc = crop.kc(first, count)
    demand = [k * (usual if each is None else each) for k, each in zip(kc, et0, strict=True)]
    squares = [fallen * fallen * w for fallen, w in zip(rain, wider, strict=True)]
    sums = [list(accumulate(each, initial=0.0)) for each in (demand, rain, squares)]
    return Balance(first, sums[0], sums[1], sums[2])


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

    def kc(self, first: int, count: int) -> list[float]:
        """Kc on ``count`` days from day ``first`` (days since year 1) on."""
        if self.planted is None:
            return [self.known.kc.middle] * count
        return self.known.kc.over(first - self.planted + 1, count, self.duration)


def _et0(day: WeatherDay, case: Case, known: ForecastPractice) -> float | None:
    if day.et0_mm is not None:
        return day.et0_mm
    if day.tmin is None or day.tmax is None:
        return None
    return _computed(day, case.plot.latitude, case.plot.elevation_m, known.climate)


_computed = lru_cache(maxsize=20_000)(et0_of)


def _usual(case: Case, et0: Sequence[float | None], today: int, known: ForecastPractice) -> float:
    """ET0 for days without weather: the mean of the latest known days, else what is usual."""
    found = [each for each in et0[: today + 1] if each is not None][-DAYS_TO_FILL:]
    found = found or [each for each in et0 if each is not None]
    if found:
        return sum(found) / len(found)
    return usual_et0(case.as_of, case.plot.latitude, case.plot.elevation_m, known.climate)


def rain_told(case: Case) -> Mapping[date, float]:
    """Rain that was reported, in mm; it stands in the place of that day's weather."""
    return {on: fallen for on, (_, fallen) in _rain_reports(case).items()}


def _rain_reports(case: Case) -> Mapping[date, tuple[bool, float]]:
    """Whether the plot's own report tells of a day's rain, and its mm.

    The plot's own goes before one told of its block; of two alike the larger counts.
    """
    told: dict[date, tuple[bool, float]] = {}
    for event in case.events:
        if event.kind == "rain" and event.mm is not None:
            report = (not event.by_block, event.mm)
            told[event.on] = max(report, told.get(event.on, report))
    return told
