"""The dry-down of a plot: its level now, the days on which it may cross its threshold, and the day
to read again, each with its doubt.

Clock: a day runs from morning to morning. A reading without a time is taken in the morning, a
flooding without a time later on that day; weather of a day falls after its morning.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import exp
from typing import Protocol

from gateway.agronomy.advice import Band, DateBand
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.forecast_practice import ForecastPractice, SoilPrior
from gateway.agronomy.weather import et0_of, usual_et0, weather_by_day

NORMAL_P90 = 1.2816  # the standard normal's 90 % point


class Growth(Protocol):
    """What the forecast asks of a season's calendar: the days of the crop, where known."""

    @property
    def flowering_from(self) -> date | None: ...
    @property
    def flowering_to(self) -> date | None: ...
    @property
    def harvest_on(self) -> date | None: ...


class Practice(Protocol):
    """What the forecast asks of the scheme's practice."""

    @property
    def forecast(self) -> ForecastPractice: ...


@dataclass(frozen=True, slots=True)
class Estimate:
    """Level now in cm, crossing days, loss in mm/d, storage in mm per cm, the day to read again.

    ``level_cm`` is None where no reading or flooding is on record. ``too_late_tomorrow``: what the
    plot's own readings say makes it likely that tomorrow's level lies too deep. ``notes`` are
    reason codes: ``reading-overdue``, ``reading-doubted``, ``no-reading-yet``.
    """

    level_cm: Band | None
    threshold_on: DateBand
    loss_mm_d: Band
    storage_mm_cm: Band
    next_reading_on: date
    notes: tuple[str, ...] = ()
    too_late_tomorrow: bool = False


@dataclass(frozen=True, slots=True)
class _Sign:
    """A level seen or set on a morning (``day`` in days; .5 after a flooding)."""

    day: float
    level_cm: float
    flooded: bool


def estimate(case: Case, calendar: Growth, practice: Practice, threshold_cm: float) -> Estimate:
    """The estimate as of the case's day; ``threshold_cm`` is the signed level to reflood at."""
    known = practice.forecast
    soil = known.soil(case.plot.soil)
    signs = _signs(case, known)
    storage = _spread(known.storage_median, known.storage_spread)
    loss = _loss(case, calendar, known, soil, signs)
    gap = _gap(case, calendar, known, soil)
    if not signs:
        nothing = ("no-reading-yet",)
        return Estimate(None, DateBand(), loss, storage, case.as_of, nothing)
    level = _level_now(case, known, signs[-1], loss, storage)
    crossing = _crossing(case, known, level, threshold_cm, loss, storage)
    last = date.fromordinal(int(signs[-1].day))
    latest = max(case.as_of, last + timedelta(days=gap))
    first = crossing.p10 or latest
    soonest = case.as_of + timedelta(days=1) if last == case.as_of else case.as_of
    notes = ("reading-overdue",) if last + timedelta(days=gap) < case.as_of else ()
    return Estimate(level, crossing, loss, storage, max(soonest, min(first, latest)), notes)


def _signs(case: Case, known: ForecastPractice) -> list[_Sign]:
    found = [_sign(event, case, known) for event in case.events if event.on <= case.as_of]
    return sorted((s for s in found if s is not None), key=lambda s: (s.day, s.level_cm))


def _sign(event: Event, case: Case, known: ForecastPractice) -> _Sign | None:
    hour = (event.at.hour + event.at.minute / 60) / 24 if event.at else None
    day = event.on.toordinal()
    if event.kind == "flooded":
        depth = known.flooded_to_cm if event.to_cm is None else event.to_cm
        return _Sign(day + (0.5 if hour is None else hour), depth, True)
    if event.kind != "reading":
        return None
    bottom = case.plot.tube_bottom_cm
    level = (
        (bottom if bottom is not None else known.tube_bottom_cm) if event.dry else event.level_cm
    )
    return None if level is None else _Sign(day + (0.25 if hour is None else hour), level, False)


def _loss(
    case: Case,
    calendar: Growth,
    known: ForecastPractice,
    soil: SoilPrior,
    signs: Sequence[_Sign],
) -> Band:
    weather = weather_by_day(case.weather)
    plot, days = case.plot, [case.as_of + timedelta(days=n) for n in range(-3, 4)]
    et0 = sum(
        et0_of(weather[day], plot.latitude, plot.elevation_m, known.climate)
        for day in days
        if day in weather
    )
    seen = sum(day in weather for day in days)
    reference = (
        et0 / seen
        if seen
        else usual_et0(case.as_of, plot.latitude, plot.elevation_m, known.climate)
    )
    prior = _spread(soil.seepage_mm_d, soil.spread)
    ponded = [
        10 * (a.level_cm - b.level_cm) / (b.day - a.day)
        for a, b in pairwise(signs)
        if not b.flooded and b.level_cm > 0 and b.day - a.day >= 1
    ]
    etc = reference * known.kc.at(_crop_day(case), _duration(case))
    if not ponded:
        return Band(etc + prior.p10, etc + prior.p50, etc + prior.p90)
    mean = max(etc * 0.5, (sum(ponded) + etc + prior.p50) / (len(ponded) + 1))
    return _spread(mean, soil.spread / (1 + len(ponded)) ** 0.5)


def _crop_day(case: Case) -> float:
    return (case.as_of - case.season.established_on).days + 1.0 if case.season else 60.0


def _duration(case: Case) -> float | None:
    return float(case.season.duration_days) if case.season and case.season.duration_days else None


def _spread(median: float, spread: float) -> Band:
    factor = exp(spread * NORMAL_P90)
    return Band(median / factor, median, median * factor)


def _water(level: float, storage: float) -> float:
    return 10 * level if level >= 0 else storage * level


def _level(water: float, storage: float) -> float:
    return water / 10 if water >= 0 else water / storage


def _level_now(case: Case, known: ForecastPractice, sign: _Sign, loss: Band, storage: Band) -> Band:
    days = max(0.0, case.as_of.toordinal() + 0.25 - sign.day)
    rain = sum(
        w.rain_mm or 0.0
        for w in case.weather
        if int(sign.day) <= w.on.toordinal() < case.as_of.toordinal()
    )
    doubt = known.flood_doubt_cm if sign.flooded else known.reading_noise_cm

    def after(start: float, rate: float, store: float) -> float:
        return _level(_water(start, store) - rate * days + rain, store)

    return Band(
        after(sign.level_cm - doubt, loss.p90, storage.p10 if days else storage.p50),
        after(sign.level_cm, loss.p50, storage.p50),
        after(sign.level_cm + doubt, loss.p10, storage.p90 if days else storage.p50),
    )


def _crossing(
    case: Case,
    known: ForecastPractice,
    level: Band,
    threshold: float,
    loss: Band,
    storage: Band,
) -> DateBand:
    def days(start: float, rate: float, store: float) -> float:
        left = _water(start, store) - _water(threshold, store)
        rain = {w.on: w.rain_mm or 0.0 for w in case.weather if w.on >= case.as_of}
        for day in range(known.horizon_days):
            left += rain.get(case.as_of + timedelta(days=day), 0.0)
            if left <= rate:
                return day + max(0.0, left) / rate
            left -= rate
        return float(known.horizon_days)

    middle = days(level.p50, loss.p50, storage.p50)
    doubt = max(known.least_days, known.least_share * middle)
    early = min(days(level.p10, loss.p90, storage.p10), middle - doubt)
    late = max(days(level.p90, loss.p10, storage.p90), middle + doubt)
    return DateBand(
        *(case.as_of + timedelta(days=round(max(0.0, d))) for d in (early, middle, late))
    )


def _gap(case: Case, calendar: Growth, known: ForecastPractice, soil: SoilPrior) -> int:
    most = known.gaps.light_soil if soil.light else known.gaps.most
    start, end = calendar.flowering_from, calendar.flowering_to
    if start and end and start <= case.as_of <= end:
        return min(most, known.gaps.flowering)
    return most
