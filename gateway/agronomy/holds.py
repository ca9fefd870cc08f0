"""Holds: times in which water may not leave a plot, or may not fall in it."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import ceil
from typing import Literal

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.practice import Practice

Submerged = Literal["no", "under", "recovering"]
LATEST = time(23, 59)  # a spray without a time is reckoned from the end of its day
DAWN = 6  # tubes are read in the morning


@dataclass(frozen=True, slots=True)
class Holds:
    """``sprayed_on`` and ``free_on`` (first day on which water may leave again) while a spray hold
    runs; ``entry_on`` the first morning on which somebody may walk in, where that lies ahead;
    ``weeds_until`` the last day of a weed hold that runs."""

    sprayed_on: date | None = None
    free_on: date | None = None
    entry_on: date | None = None
    weeds_until: date | None = None
    submerged: Submerged = "no"


def holds_of(case: Case, practice: Practice, weeds: bool = True) -> Holds:
    """The holds that run on the case's day; ``weeds`` False: they no longer matter to the crop."""
    sprays = [(e, *_spray(e, practice)) for e in _until(case, "spray")]
    running = [(event, free) for event, free, _ in sprays if free > case.as_of]
    entry = max((day for _, _, day in sprays), default=case.as_of)
    return Holds(
        sprayed_on=max((event.on for event, _ in running), default=None),
        free_on=max((free for _, free in running), default=None),
        entry_on=entry if entry > case.as_of else None,
        weeds_until=_weeds_until(case, practice) if weeds else None,
        submerged=_submerged(case, practice),
    )


def _until(case: Case, kind: str) -> list[Event]:
    return [event for event in case.events if event.kind == kind and event.on <= case.as_of]


def _spray(event: Event, practice: Practice) -> tuple[date, date]:
    """The first day on which water may leave, and the first morning for walking in."""
    product = (event.product or "").casefold().strip()
    usual = practice.spray.products.get(product, practice.spray.unknown)
    days = usual.hold_days if event.hold_days is None else event.hold_days
    hours = usual.reentry_hours if event.reentry_hours is None else event.reentry_hours
    opens = datetime.combine(event.on, event.at or LATEST) + timedelta(hours=hours)
    mornings = ceil((opens - datetime.combine(event.on, time(DAWN))) / timedelta(days=1))
    return event.on + timedelta(days=days), event.on + timedelta(days=max(0, mornings))


def _weeds_until(case: Case, practice: Practice) -> date | None:
    """Many weeds, or weeds without an amount, keep the water in; a later answer replaces it."""
    planted = case.season.established_on if case.season else case.as_of
    answers = [event for event in _until(case, "weeds") if event.on >= planted]
    last = max(answers, key=lambda e: (e.on, e.at or time.min), default=None)
    if last is None or last.amount == "few":
        return None
    until = last.on + timedelta(days=practice.weeds.hold_days - 1)
    return until if until >= case.as_of else None


def _submerged(case: Case, practice: Practice) -> Submerged:
    last = max((event.on for event in _until(case, "submerged")), default=None)
    if last is None or case.as_of >= last + timedelta(days=practice.submergence.pause_days):
        return "no"
    readings = [e for e in _until(case, "reading") if e.on >= last]
    newest = max(readings, key=lambda e: (e.on, e.at or time.min), default=None)
    if newest is None:
        return "under"
    low = newest.dry or (newest.level_cm or 0.0) <= practice.water.too_deep_cm
    return "recovering" if low else "under"
