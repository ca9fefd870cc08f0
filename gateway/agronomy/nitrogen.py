"""Nitrogen: which split of the approved plan is due, and what it weighs on the whole plot."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import floor
from typing import Literal

from gateway.agronomy.case import Case
from gateway.agronomy.practice import NitrogenPractice
from gateway.agronomy.season import Split

Due = Literal["none", "due", "last-days", "rain-coming", "spread"]


@dataclass(frozen=True, slots=True)
class Nitrogen:
    """What the plan asks for today. ``missed``: a split's window passed without a report."""

    due: Due = "none"
    split: Split | None = None
    missed: bool = False


def nitrogen_of(case: Case, practice: NitrogenPractice) -> Nitrogen:
    """The state of the approved plan on the case's day."""
    if case.season is None:
        return Nitrogen()
    spread = [event.on for event in case.events if event.kind == "nitrogen"]
    spread = [day for day in spread if case.season.established_on <= day <= case.as_of]
    open_splits = [s for s in case.season.nitrogen if not _settled(s, spread)]
    missed = any(_missed(s, case.as_of, practice) for s in open_splits)
    if any((case.as_of - day).days <= practice.flood_within_days for day in spread):
        return Nitrogen("spread", missed=missed)
    due = [s for s in open_splits if s.from_ <= case.as_of <= s.to]
    if not due:
        return Nitrogen(missed=missed)
    split = min(due, key=lambda s: s.to)
    return Nitrogen(_urgency(split, case, practice), split, missed)


def product_kg(split: Split | None, area_ha: float | None, step_kg: float) -> float | None:
    """The weight of the product for the whole plot in kg, rounded to ``step_kg``.

    None where the plan names no weight, the area is not known, or less than half a step is due: a
    dose is never made up.
    """
    if split is None or split.kg_ha is None or area_ha is None:
        return None
    return (floor(split.kg_ha * area_ha / step_kg + 0.5) * step_kg) or None


def dose_doubts(case: Case, split: Split | None, practice: NitrogenPractice) -> tuple[str, ...]:
    """Reason codes for why no weight may be told: the area is not confirmed, or area x dose exceeds
    what the plan sets aside for the plot. Empty where it may."""
    if split is None or split.kg_ha is None or case.plot.area_ha is None:
        return ()
    doubts = ("area-not-confirmed",) if case.plot.area_confirmed is False else ()
    most = None if split.plan_kg is None else split.plan_kg * practice.plan_excess
    if most is not None and split.kg_ha * case.plot.area_ha > most:
        doubts = (*doubts, "dose-above-plan")
    return doubts


def _settled(split: Split, spread: list[date]) -> bool:
    return any(split.from_ <= day <= split.to for day in spread)


def _missed(split: Split, as_of: date, practice: NitrogenPractice) -> bool:
    return split.to < as_of <= split.to + timedelta(days=practice.missed_days)


def _urgency(split: Split, case: Case, practice: NitrogenPractice) -> Due:
    if (split.to - case.as_of).days < practice.last_days:
        return "last-days"
    return "rain-coming" if rain_ahead_mm(case, practice.rain_days) >= practice.rain_mm else "due"


def rain_ahead_mm(case: Case, days: int) -> float:
    """The rain forecast for so many days from the case's day on, in mm."""
    end = case.as_of + timedelta(days=days)
    fallen = {event.on for event in case.events if event.kind == "rain"}
    ahead = (w for w in case.weather if case.as_of <= w.on < end and w.on not in fallen)
    return sum(w.rain_mm or 0.0 for w in ahead)
