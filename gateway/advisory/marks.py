"""The days of a season from which duties are counted."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from gateway.advisory.duties import Anchor, DutyCalendar
from gateway.advisory.glance import Glance
from gateway.advisory.records import DutyRow
from gateway.agronomy.judge import WATERING
from gateway.agronomy.season import Split

ANSWERING: Final = frozenset({"reading", "flooded", "no-water", "nitrogen"})
"""What tells that water came, or that it did not."""


@dataclass(frozen=True, slots=True)
class Mark:
    """An anchor's day. ``number`` tells those of one anchor apart, such as the splits of a plan.

    ``last``: the last day on which what is owed from it is worth sending, where it has its own.
    ``stands``: once owed it is never moved, for its number already tells what it is about.
    """

    on: date
    number: int = 0
    last: date | None = None
    stands: bool = False
    split: Split | None = None


def marks_of(anchor: Anchor, glance: Glance, calendar: DutyCalendar) -> list[Mark]:
    """The days of one anchor; empty where the season has none."""
    if anchor in DATED:
        day = DATED[anchor](glance)
        return [Mark(day)] if day else []
    return LISTED[anchor](glance, calendar)


def _drying_opens(glance: Glance) -> date:
    """When few weeds would let the water fall; a seeded stand opens by its height or its age."""
    if glance.season.method != "transplanted":
        return glance.calendar.awd_opens_on
    return glance.season.established_on + timedelta(days=glance.practice.start.few_weeds_days)


def _many_weeds(glance: Glance) -> date | None:
    last = glance.last_weeds
    return last[0] if last and last[1] == "many" else None


DATED: Final[Mapping[Anchor, Callable[[Glance], date | None]]] = {
    "planting": lambda g: g.season.established_on,
    "drying-opens": _drying_opens,
    "many-weeds": _many_weeds,
    "flowering-peak": lambda g: g.calendar.peak_on,
    "flowering-opens": lambda g: g.calendar.flowering_from,
    "flowering-closes": lambda g: g.calendar.flowering_to,
    "last-irrigation": lambda g: g.calendar.last_irrigation_on,
    "harvest-expected": lambda g: g.calendar.harvest_on,
    "harvest-told": lambda g: g.calendar.harvested_on,
}


# -- the plan's splits ----------------------------------------------------------------------------


def _split_opens(glance: Glance, _calendar: DutyCalendar) -> list[Mark]:
    splits = enumerate(glance.season.nitrogen)
    return [Mark(split.from_, number, split.to, split=split) for number, split in splits]


def _split_closes(glance: Glance, _calendar: DutyCalendar) -> list[Mark]:
    splits = enumerate(glance.season.nitrogen)
    return [Mark(split.to, number, split.to, split=split) for number, split in splits]


# -- readings -------------------------------------------------------------------------------------


def _look(glance: Glance, calendar: DutyCalendar) -> list[Mark]:
    """Today, where the forecast wants a reading; the number is the day of the last word on it."""
    if glance.today in (glance.last_sign, glance.advised_on) or _is_named_later(glance):
        return []
    if _looks_unasked(glance, calendar):
        return []
    return [Mark(glance.today, _number(glance), stands=True)] if _is_due(glance) else []


def _is_named_later(glance: Glance) -> bool:
    """Whether the reader was told to look on a day that has not come: nobody is asked before it.
    A later forecast may put it off, when the day has come."""
    named, last = glance.named, glance.last_sign
    if named is None or named.look_on is None or named.look_on <= glance.today:
        return False
    return last is None or glance.advised_on is None or last <= glance.advised_on


def _is_due(glance: Glance) -> bool:
    """Whether a reading is due by today. While water is called for the advice reckons with its
    coming, whenever it is asked: then the day counts that was named to the reader."""
    named = glance.named.look_on if glance.named else None
    if named and glance.advised_on and not glance.rain_since(glance.advised_on):
        return named <= glance.today  # nothing that was not known then puts it off
    due = glance.advice.next_reading_on
    if glance.advice.action in WATERING and named:
        due = named
    return due is not None and due <= glance.today


def _looks_unasked(glance: Glance, calendar: DutyCalendar) -> bool:
    """Whether the day is not over by which this reader, who always tells, was told to look."""
    named = glance.named.look_on if glance.named else None
    return glance.kept >= calendar.faithful_looks and named is not None and glance.today <= named


def _look_asked(glance: Glance, calendar: DutyCalendar) -> list[Mark]:
    """The day on which a reading was asked for; none once the water was told of since."""
    row = asked_row(glance, calendar)
    return [Mark(row.anchor_on, _number(glance), stands=True)] if row else []


def _crossing(glance: Glance, calendar: DutyCalendar) -> list[Mark]:
    """Today, where the middle of the band is reached and the reading asked for is missing."""
    asked = asked_row(glance, calendar)
    if asked is None or asked.anchor_on >= glance.today or glance.last_sign == glance.today:
        return []
    return [Mark(glance.today, _number(glance), stands=True)] if glance.is_dry_by_now else []


def _water_awaited(glance: Glance, _calendar: DutyCalendar) -> list[Mark]:
    """The day on which water was called for; none once anything was told of it since."""
    on = glance.advised_on
    if on is None or glance.named is None or glance.named.action not in WATERING:
        return []
    later = (e for e in glance.case.events if e.kind in ANSWERING and e.on >= on)
    told = any(e.on > on or e.kind != "reading" for e in later)
    return [] if told else [Mark(on, on.toordinal(), stands=True)]


def asked_row(glance: Glance, calendar: DutyCalendar) -> DutyRow | None:
    """What was owed on account of the look that is still missing."""
    number = _number(glance) + 1
    return next((row for name in calendar.looks if (row := glance.owed.get((name, number)))), None)


def _number(glance: Glance) -> int:
    return glance.last_sign.toordinal() if glance.last_sign else 0


SPLITS: Final[tuple[Anchor, ...]] = ("split-opens", "split-closes")
LISTED: Final[Mapping[Anchor, Callable[[Glance, DutyCalendar], list[Mark]]]] = {
    "split-opens": _split_opens,
    "split-closes": _split_closes,
    "look": _look,
    "look-asked": _look_asked,
    "crossing": _crossing,
    "water-awaited": _water_awaited,
}
