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
from gateway.agronomy.looks import Prospect
from gateway.agronomy.outlook import Outlook, band


@dataclass(frozen=True, slots=True)
class Estimate:
    """Level now in cm, crossing days, loss in mm/d, storage in mm per cm, and notes on them.

    ``level_cm`` is None where no reading or flooding is on record. ``too_late_tomorrow``: by the
    plot's own readings it is likely that tomorrow's level lies too deep, or past the threshold that
    is nearly reached today. ``fall_cm_d`` is the fall below the surface,
    ``days_to_threshold`` the crossing as reckoned, before its dates are made
    honestly wide. ``footing`` is what all this stands on, ``prospect`` what is to come.
    ``notes`` are reason codes: ``no-reading-yet``, ``reading-overdue``,
    ``reading-doubted``, ``falls-too-fast`` and ``readings-unexplained`` (more than one: a bund, a
    tube, a flooding nobody told of).
    """

    level_cm: Band | None
    threshold_on: DateBand
    loss_mm_d: Band
    storage_mm_cm: Band
    notes: tuple[str, ...] = ()
    too_late_tomorrow: bool = False
    fall_cm_d: Band | None = None
    days_to_threshold: Band | None = None
    footing: Footing | None = field(default=None, compare=False, repr=False)
    prospect: Prospect | None = field(default=None, compare=False, repr=False)

    @property
    def next_reading_on(self) -> date:
        """The day to read again; reckoned when asked for, as many an advice has no use for it."""
        assert self.footing is not None
        if self.prospect is None:
            return self.footing.on
        return self.footing.next_look(self.prospect, "reading-doubted" in self.notes)


def estimate(case: Case, calendar: Growth, practice: Practice, threshold_cm: float) -> Estimate:
    """The estimate as of the case's day; ``threshold_cm`` is the signed level to reflood at."""
    footing = footing_of(case, calendar, practice)
    ahead = footing.ahead()
    outlook = footing.outlook(footing.cloud(), ahead)
    loss, storage, fall, level = _now(outlook)
    if not footing.signs:
        return Estimate(None, DateBand(), loss, storage, ("no-reading-yet",), footing=footing)
    crossing = footing.expected(ahead).crossing(threshold_cm)
    doubted, look = _doubted(footing, outlook), footing.known.look
    prospect = footing.prospect(outlook, threshold_cm)
    levels, seen = footing.known_levels, footing.seen_now(level.p50)
    return Estimate(
        level_cm=level,
        threshold_on=_dates(crossing, footing.now, case.as_of, footing.known),
        loss_mm_d=loss,
        storage_mm_cm=storage,
        notes=tuple(_notes(footing, outlook.cloud, fall, doubted)),
        too_late_tomorrow=not doubted and prospect.too_late_tomorrow(seen, levels, look),
        fall_cm_d=fall,
        days_to_threshold=crossing,
        footing=footing,
        prospect=prospect,
    )


def look_for(footing: Footing, level_cm: float) -> date:
    """The day to read again where another level is looked for than the estimate's."""
    if not footing.signs:
        return footing.on
    outlook = footing.outlook(footing.cloud())
    prospect = footing.prospect(outlook, level_cm)
    return footing.next_look(prospect, _doubted(footing, outlook))


def _doubted(footing: Footing, outlook: Outlook) -> bool:
    """Whether the last thing told is a reading that nothing explains."""
    return outlook.cloud.doubted and not footing.signs[-1].flooded


def _now(outlook: Outlook) -> list[Band]:
    """Loss in mm/d, storage in mm/cm, the fall just below the surface in cm/d, the level in cm."""
    habit = outlook.cloud.habit
    loss = habit.use * outlook.demand_mm_d
    loss += habit.seepage
    level = habit.level(outlook.water[0])
    weight = outlook.cloud.weight
    return [band(each, weight) for each in (loss, habit.storage, loss / habit.pace, level)]


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
