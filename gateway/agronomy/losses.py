"""Losses that no field has, day after day: a leaking bund, a clogged tube, water nobody told of.

Taken from the readings alone, for the estimate bends to whatever it is told: between two readings
without a flooding or rain, standing water loses what crop and soil take, and below the surface the
level goes on falling. Reading noise is allowed for; one odd reading proves nothing.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise
from math import exp, sqrt

from gateway.agronomy.balance import rain_told
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.forecast_practice import SoilPrior
from gateway.agronomy.order import in_order
from gateway.agronomy.practice import LossPractice, Practice
from gateway.agronomy.sight import believable

MM_PER_CM = 10.0
SURE = 2.0  # standard deviations, of the noise of readings and of the soils of one name


@dataclass(frozen=True, slots=True)
class Fall:
    """A fall in cm over days without rain or flooding, all of it above the surface or below."""

    days: int
    fall_cm: float
    ponded: bool


def losses_that_cannot_be(case: Case, practice: Practice) -> Iterator[str]:
    """Reason codes: ``loses-too-much``, ``loses-too-little``."""
    known, forecast = practice.losses, practice.forecast
    noise = SURE * sqrt(2) * forecast.model.reading_noise_cm
    falls = list(_falls(believable(case, practice), known, forecast.model.flooded_to_cm))
    ponded = _pace([fall for fall in falls if fall.ponded], noise, known)
    below = _pace([fall for fall in falls if not fall.ponded], noise, known)
    if ponded and MM_PER_CM * ponded[0] > _most(forecast.soil(case.plot.soil), known):
        yield "loses-too-much"
    if (ponded and MM_PER_CM * ponded[1] < known.least_ponded_mm_d) or (
        below and below[1] < known.least_fall_cm_d
    ):
        yield "loses-too-little"


def _most(soil: SoilPrior, known: LossPractice) -> float:
    """The most that a plot of the soil may lose in mm a day: a leaky one, under a hot sky."""
    return soil.seepage_mm_d * exp(SURE * soil.spread) + known.most_demand_mm_d


def _pace(falls: list[Fall], noise_cm: float, known: LossPractice) -> tuple[float, float] | None:
    """The least and the most that falls may come to in cm a day; None for too few days."""
    days = sum(fall.days for fall in falls)
    if days < known.least_days:
        return None
    pace, doubt = sum(fall.fall_cm for fall in falls) / days, noise_cm * sqrt(len(falls)) / days
    return pace - doubt, pace + doubt


def _falls(case: Case, known: LossPractice, flooded_to_cm: float) -> Iterator[Fall]:
    """The falls of late, each as long as water stayed on its side and it did not rain."""
    since = case.as_of - timedelta(days=known.within_days)
    looks = in_order(e for e in case.events if since <= e.on <= case.as_of)
    rain = {day.on: day.rain_mm for day in case.weather if day.rain_mm} | dict(rain_told(case))
    joined: Fall | None = None
    for before, after in pairwise(looks):
        fall = _fall(before, after, flooded_to_cm)
        wet = any(rain.get(before.on + timedelta(days=n)) for n in range(fall.days if fall else 0))
        if fall is None or wet:
            yield from [joined] if joined else []
            joined = None
        elif joined and joined.ponded == fall.ponded and before.kind == "reading":
            joined = Fall(joined.days + fall.days, joined.fall_cm + fall.fall_cm, fall.ponded)
        else:
            yield from [joined] if joined else []
            joined = fall
    yield from [joined] if joined else []


def _fall(before: Event, after: Event, flooded_to_cm: float) -> Fall | None:
    """The fall between two looks; None where it cannot be told, or crossed the surface."""
    high, low, days = before.level_cm, after.level_cm, (after.on - before.on).days
    if before.kind == "flooded":
        high = flooded_to_cm if before.to_cm is None else before.to_cm
    if high is None or low is None or days < 1 or (high >= 0) != (low >= 0):
        return None
    return Fall(days, high - low, low >= 0)
