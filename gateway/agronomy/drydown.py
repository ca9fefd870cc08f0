"""The dry-down of a plot: its level now, the days on which it may cross its threshold, and the day
to read again, each with its doubt.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil, floor

from gateway.agronomy.advice import Band, DateBand
from gateway.agronomy.balance import MORNING
from gateway.agronomy.case import Case
from gateway.agronomy.clouds import Cloud
from gateway.agronomy.footing import Footing, Growth, Practice, footing_of
from gateway.agronomy.forecast_practice import ForecastPractice
from gateway.agronomy.looks import too_late_tomorrow
from gateway.agronomy.outlook import Outlook, band


@dataclass(frozen=True, slots=True)
class Estimate:
    """Level now in cm, crossing days, loss in mm/d, storage in mm per cm, the day to read again.

    ``level_cm`` is None where no reading or flooding is on record. ``too_late_tomorrow``: by the
    plot's own readings it is likely that tomorrow's level lies too deep, or past the threshold that
    is nearly reached today. ``fall_cm_d`` is the fall below the surface,
    ``days_to_threshold`` the crossing as reckoned, before its dates are made
    honestly wide. ``footing`` is what all this stands on.
    ``notes`` are reason codes: ``no-reading-yet``, ``reading-overdue``,
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
    footing: Footing | None = field(default=None, compare=False, repr=False)


def estimate(case: Case, calendar: Growth, practice: Practice, threshold_cm: float) -> Estimate:
    """The estimate as of the case's day; ``threshold_cm`` is the signed level to reflood at."""
    footing = footing_of(case, calendar, practice)
    outlook = footing.outlook(footing.cloud())
    loss, storage, fall = _losses(outlook)
    if not footing.signs:
        notes = ("no-reading-yet",)
        return Estimate(None, DateBand(), loss, storage, case.as_of, notes, footing=footing)
    crossing = footing.expected().crossing(threshold_cm)
    doubted, look, level = _doubted(footing, outlook), footing.known.look, outlook.level()
    sure = footing.known_levels >= look.known_levels and not doubted
    return Estimate(
        level_cm=level,
        threshold_on=_dates(crossing, footing.now, case.as_of, footing.known),
        loss_mm_d=loss,
        storage_mm_cm=storage,
        next_reading_on=footing.next_look(outlook, threshold_cm, doubted),
        notes=tuple(_notes(footing, outlook.cloud, fall, doubted)),
        too_late_tomorrow=sure
        and too_late_tomorrow(outlook, footing.seen_now(level.p50), threshold_cm, look),
        fall_cm_d=fall,
        days_to_threshold=crossing,
        footing=footing,
    )


def look_for(footing: Footing, level_cm: float) -> date:
    """The day to read again where another level is looked for than the estimate's."""
    if not footing.signs:
        return footing.on
    outlook = footing.outlook(footing.cloud())
    return footing.next_look(outlook, level_cm, _doubted(footing, outlook))


def _doubted(footing: Footing, outlook: Outlook) -> bool:
    """Whether the last thing told is a reading that nothing explains."""
    return outlook.cloud.doubted and not footing.signs[-1].flooded


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


def _notes(footing: Footing, cloud: Cloud, fall: Band, doubted: bool) -> Iterator[str]:
    if footing.last + timedelta(days=footing.gap(doubted)) < footing.on:
        yield "reading-overdue"
    if doubted:
        yield "reading-doubted"
    if cloud.strays > 1:
        yield "readings-unexplained"
    if fall.p10 > footing.known.look.fast_cm_d:
        yield "falls-too-fast"
