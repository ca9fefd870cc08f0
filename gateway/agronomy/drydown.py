"""The dry-down of a plot: its level now, the days on which it may cross its threshold, and the day
to read again, each with its doubt.

Clock: a day runs from morning to morning. A reading without a time is taken in the morning, a
flooding without a time is over by noon; weather of a day falls after its morning.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import reduce
from math import ceil, floor
from typing import Protocol

from gateway.agronomy.advice import Band, DateBand
from gateway.agronomy.anchor import anchored
from gateway.agronomy.balance import MORNING, Balance, CropDays, balance_of
from gateway.agronomy.beliefs import Belief, prior_of
from gateway.agronomy.case import Case
from gateway.agronomy.clouds import Cloud, cloud_of
from gateway.agronomy.forecast_practice import ForecastPractice, SoilPrior
from gateway.agronomy.learning import learned
from gateway.agronomy.looks import best_morning, too_late_tomorrow
from gateway.agronomy.outlook import Outlook, band, outlook_of
from gateway.agronomy.spells import Sign, Spell, signs_of, spells_of


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

    ``level_cm`` is None where no reading or flooding is on record. ``too_late_tomorrow``: by the
    plot's own readings it is likely that tomorrow's level lies too deep, or past the threshold that
    is nearly reached today. ``fall_cm_d`` is the fall below the surface,
    ``days_to_threshold`` the crossing as reckoned, before its dates are made
    honestly wide. ``notes`` are reason codes: ``no-reading-yet``, ``reading-overdue``,
    ``reading-doubted``, ``falls-too-fast`` and ``readings-unexplained`` (more than one: a bund, a
    tube, a flooding nobody told of).
    """

    level_cm: Band | None
    threshold_on: DateBand
    loss_mm_d: Band
    storage_mm_cm: Band
    next_reading_on: date
    notes: tuple[str, ...] = ()
    too_late_tomorrow: bool = False
    fall_cm_d: Band | None = None
    days_to_threshold: Band | None = None


def estimate(case: Case, calendar: Growth, practice: Practice, threshold_cm: float) -> Estimate:
    """The estimate as of the case's day; ``threshold_cm`` is the signed level to reflood at."""
    known, soil = practice.forecast, practice.forecast.soil(case.plot.soil)
    today = case.as_of.toordinal()
    bottom = case.plot.tube_bottom_cm
    bottom = known.tube_bottom_cm if bottom is None else bottom
    signs = signs_of(case.events, today, bottom, known.model)
    now = max([today + MORNING, *(sign.time for sign in signs)])
    balance = _balance(case, calendar, known, signs)
    belief, spell = _believed(soil, known, signs, now, balance)
    cloud = cloud_of(belief, spell, known.model)
    mornings = 2 * known.gaps.most + 2
    days = [today + n + MORNING - now for n in range(1, mornings + 1)]
    ahead = balance.mornings(now, today + 1, mornings)
    outlook = outlook_of(cloud, days, *ahead, known.model)
    told = outlook_of(anchored(belief, spell, known.model), days, *ahead, known.model)
    crossing = told.crossing(threshold_cm)
    found = _estimate(case, calendar, known, soil, signs, outlook, threshold_cm)
    if not signs:
        return found
    dates = _dates(crossing, now, case.as_of, known)
    return replace(found, threshold_on=dates, days_to_threshold=crossing)


def _balance(case: Case, calendar: Growth, known: ForecastPractice, signs: list[Sign]) -> Balance:
    today = case.as_of.toordinal()
    first = int(signs[0].time) - 1 if signs else today
    crop = CropDays.of(case, calendar.harvest_on, known)
    return balance_of(case, min(first, today), today + 2 * known.gaps.most + 2, crop, known)


def _believed(
    soil: SoilPrior, known: ForecastPractice, signs: list[Sign], now: float, balance: Balance
) -> tuple[Belief, Spell]:
    """What the earlier spells taught, and the spell that runs."""
    prior = prior_of(soil, known.model)
    if not signs:
        return prior, Spell(0.0, known.model.jump_cm, ())
    *past, running = spells_of(signs, now, balance)
    return reduce(lambda b, spell: learned(b, spell, known.model), past, prior), running


def _estimate(
    case: Case,
    calendar: Growth,
    known: ForecastPractice,
    soil: SoilPrior,
    signs: list[Sign],
    outlook: Outlook,
    threshold_cm: float,
) -> Estimate:
    loss, storage, fall = _losses(outlook)
    if not signs:
        return Estimate(None, DateBand(), loss, storage, case.as_of, ("no-reading-yet",))
    doubted = outlook.cloud.doubted and not signs[-1].flooded
    gap = _gap(case, calendar, known, soil, doubted)
    last = date.fromordinal(int(signs[-1].time))
    read = sum(1 for s in signs if not s.flooded and not s.dry and s.level_cm < 0)
    sure = read >= known.look.known_readings and not doubted
    return Estimate(
        level_cm=outlook.level(),
        threshold_on=DateBand(),
        loss_mm_d=loss,
        storage_mm_cm=storage,
        next_reading_on=_next(case, known, outlook, threshold_cm, last, gap, read),
        notes=tuple(_notes(case, known, outlook.cloud, fall, last + timedelta(days=gap), doubted)),
        too_late_tomorrow=sure and too_late_tomorrow(outlook, threshold_cm, known.look),
        fall_cm_d=fall,
    )


def _losses(outlook: Outlook) -> tuple[Band, Band, Band]:
    """Loss in mm/d, storage in mm/cm and the fall just below the surface in cm/d."""
    cloud, habit = outlook.cloud, outlook.cloud.habit
    loss = (habit.use * outlook.demand_mm_d + habit.seepage).clip(min=0)
    bands = (band(each, cloud.weight) for each in (loss, habit.storage, loss / habit.pace))
    return next(bands), next(bands), next(bands)


def _dates(days: Band, now: float, as_of: date, known: ForecastPractice) -> DateBand:
    """The days on which a crossing falls; never narrower than is honest, never before today."""
    doubt = max(known.least_days, known.least_share * days.p50)
    early, late = min(days.p10, days.p50 - doubt), max(days.p90, days.p50 + doubt)
    start = now - MORNING - as_of.toordinal()
    numbers = floor(start + early), floor(start + days.p50 + 0.5), ceil(start + late)
    kept = (min(max(0, number), known.horizon_days) for number in numbers)
    return DateBand(*(as_of + timedelta(days=number) for number in kept))


def _next(
    case: Case,
    known: ForecastPractice,
    outlook: Outlook,
    threshold_cm: float,
    last: date,
    gap: int,
    read: int,
) -> date:
    soonest = 1 if last == case.as_of else 0
    latest = (last - case.as_of).days + gap
    if latest <= soonest:
        return case.as_of + timedelta(days=soonest)
    look = known.look if read >= known.look.known_readings else known.look.of_unknown()
    best = best_morning(outlook, threshold_cm, soonest, latest, gap, look)
    return case.as_of + timedelta(days=best)


def _gap(
    case: Case, calendar: Growth, known: ForecastPractice, soil: SoilPrior, doubted: bool
) -> int:
    """The most days from the last reading or flooding to the next reading."""
    most = known.gaps.light_soil if soil.light else known.gaps.most
    start, end = calendar.flowering_from, calendar.flowering_to
    if start and end and start <= case.as_of <= end:
        most = min(most, known.gaps.flowering)
    return min(most, known.gaps.after_doubt) if doubted else most


def _notes(
    case: Case, known: ForecastPractice, cloud: Cloud, fall: Band, due: date, doubted: bool
) -> Iterator[str]:
    if due < case.as_of:
        yield "reading-overdue"
    if doubted:
        yield "reading-doubted"
    if cloud.strays > 1:
        yield "readings-unexplained"
    if fall.p10 > known.look.fast_cm_d:
        yield "falls-too-fast"
