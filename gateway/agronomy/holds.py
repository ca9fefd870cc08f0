"""Holds: times in which water may not leave a plot, or may not fall in it."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import ceil
from typing import Final, Literal

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.order import in_order
from gateway.agronomy.practice import Practice, SprayHold

Submerged = Literal["no", "under", "recovering"]
LATEST = time(23, 59)  # a spray without a time is reckoned from the end of its day
DAWN = 6  # tubes are read in the morning


@dataclass(frozen=True, slots=True)
class Holds:
    """``sprayed_on`` and ``free_on`` (first day on which water may leave again) while a spray hold
    runs; ``entry_on`` the first morning on which somebody may walk in, where that lies ahead;
    ``weeds_until`` the last day of a weed hold that runs. ``keep_cm``: a spray that runs needs so
    much standing water. ``long_under``: the crop has lain under water for so long that the office
    must decide about planting again."""

    sprayed_on: date | None = None
    free_on: date | None = None
    entry_on: date | None = None
    weeds_until: date | None = None
    submerged: Submerged = "no"
    keep_cm: float | None = None
    long_under: bool = False


NONE: Final = Holds()
HOLDING: Final = frozenset({"spray", "weeds", "submerged"})


def holds_of(case: Case, practice: Practice, weeds: bool = True) -> Holds:
    """The holds that run on the case's day; ``weeds`` False: they no longer matter to the crop."""
    if HOLDING.isdisjoint(event.kind for event in case.events):
        return NONE
    sprays = [(e, *_spray(e, practice)) for e in _until(case, "spray")]
    submerged, long_under = _submerged(case, practice)
    running = [(event, free) for event, free, _ in sprays if free > case.as_of]
    entry = max((day for _, _, day in sprays), default=case.as_of)
    return Holds(
        sprayed_on=max((event.on for event, _ in running), default=None),
        free_on=max((free for _, free in running), default=None),
        entry_on=entry if entry > case.as_of else None,
        weeds_until=_weeds_until(case, practice) if weeds else None,
        submerged=submerged,
        keep_cm=max(
            (d for event, _ in running if (d := _usual(event, practice).keep_cm)), default=None
        ),
        long_under=long_under,
    )


def _until(case: Case, kind: str) -> list[Event]:
    return [event for event in case.events if event.kind == kind and event.on <= case.as_of]


def _spray(event: Event, practice: Practice) -> tuple[date, date]:
    """The first day on which water may leave, and the first morning for walking in."""
    usual = _usual(event, practice)
    days = usual.hold_days if event.hold_days is None else event.hold_days
    hours = usual.reentry_hours if event.reentry_hours is None else event.reentry_hours
    opens = datetime.combine(event.on, event.at or LATEST) + timedelta(hours=hours)
    mornings = ceil((opens - datetime.combine(event.on, time(DAWN))) / timedelta(days=1))
    return event.on + timedelta(days=days), event.on + timedelta(days=max(0, mornings))


def _usual(event: Event, practice: Practice) -> SprayHold:
    product = (event.product or "").casefold().strip()
    return practice.spray.products.get(product, practice.spray.unknown)


def _weeds_until(case: Case, practice: Practice) -> date | None:
    """Many weeds, or weeds without an amount, keep the water in; a later answer replaces it."""
    planted = case.season.established_on if case.season else case.as_of
    answers = [event for event in _until(case, "weeds") if event.on >= planted]
    last = max(answers, key=lambda e: (e.on, e.at or time.min), default=None)
    if last is None or last.amount == "few":
        return None
    until = last.on + timedelta(days=practice.weeds.hold_days - 1)
    return until if until >= case.as_of else None


def _submerged(case: Case, practice: Practice) -> tuple[Submerged, bool]:
    """Under water until a low reading, then nursed; and whether it lay under water for long."""
    known = practice.submergence
    since = case.as_of - timedelta(days=known.longest_days + known.pause_days)
    planted = case.season.established_on if case.season else since
    told = [e.on for e in _until(case, "submerged") if e.on > since and e.on >= planted]
    if not told:
        return "no", False
    low = _first_low(case, practice, max(told))
    if low is not None:
        nursed = case.as_of < low + timedelta(days=known.pause_days)
        return ("recovering" if nursed else "no"), False
    if case.as_of >= max(told) + timedelta(days=known.longest_days):
        return "no", False
    lows = (_first_low(case, practice, day) for day in told)
    spell = [day for day, end in zip(told, lows, strict=True) if end is None]
    return "under", case.as_of >= min(spell) + timedelta(days=known.replant_days)


def _first_low(case: Case, practice: Practice, since: date) -> date | None:
    """The day from which on readings show the water down again; None while it stands high."""
    readings = [e for e in _until(case, "reading") if e.on >= since]
    first: date | None = None
    for reading in in_order(readings):
        low = reading.dry or (reading.level_cm or 0.0) <= practice.water.too_deep_cm
        first = (first or reading.on) if low else None
    return first
