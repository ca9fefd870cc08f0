"""What today's reading says beside the one before it: a rise nobody explains, a second look.

Water rises in a tube by rain or by irrigation alone. The forecast doubts a rise that it did not
foresee; here the two readings are held together, so that a low one which the forecast had doubted
is not forgotten as soon as a high one follows, and one seen twice alike is believed.
"""

from datetime import date
from itertools import islice

from gateway.agronomy.balance import rain_told
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.irrigation import depth_mm
from gateway.agronomy.order import in_order
from gateway.agronomy.practice import Practice
from gateway.agronomy.sight import trusted, tube_bottom


def rose_unexplained(case: Case, practice: Practice, storage_mm_cm: float) -> bool:
    """Whether today's last reading stands too far above that of an earlier day for the rain told.

    A second look on the same day settles the first. ``storage_mm_cm``: the least that the soil may
    hold, so that rain is given all the rise that it may have made.
    """
    looks = _last_two(case, practice)
    if looks is None or looks[0].on == looks[1].on:
        return False
    before, today = looks
    low = _level(before, case, practice) + practice.quality.rise_cm
    needed = depth_mm(low, _level(today, case, practice), storage_mm_cm)
    return needed > _rain_mm(case, before.on, today.on)


def seen_twice(case: Case, practice: Practice) -> bool:
    """Whether the look before shows what today's shows: the tube is not misread twice alike."""
    looks = _last_two(case, practice)
    if looks is None:
        return False
    before, today = (_level(look, case, practice) for look in looks)
    return abs(today - before) <= practice.quality.agree_cm


def _last_two(case: Case, practice: Practice) -> tuple[Event, Event] | None:
    """The last two things told where both are readings that can be true, the later one today's."""
    known = reversed(in_order(e for e in case.events if e.on <= case.as_of))
    told = (e for e in known if e.kind != "reading" or trusted(e, case, practice))
    last = [*islice(told, 2)]
    if len(last) == 2 and last[0].kind == last[1].kind == "reading" and last[0].on == case.as_of:
        return last[1], last[0]
    return None


def _level(look: Event, case: Case, practice: Practice) -> float:
    bottom = tube_bottom(case, practice)
    return bottom if look.dry or look.level_cm is None else look.level_cm


def _rain_mm(case: Case, first: date, last: date) -> float:
    """The most rain of these days: what was reported from the plot goes before the weather's."""
    days = {day.on: day.rain_mm or 0.0 for day in case.weather} | dict(rain_told(case))
    return sum(mm for on, mm in days.items() if first <= on <= last)
