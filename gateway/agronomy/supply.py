"""Supply: whether water is sure to come, and whether it comes before the plot needs it."""

from datetime import date, time, timedelta
from typing import Literal

from gateway.agronomy.case import Case, WaterWindow
from gateway.agronomy.practice import SupplyPractice

Supply = Literal["sure", "unsure", "none", "unknown"]
NextTurn = Literal["in-time", "last-now", "too-late", "unknown"]


def supply_of(case: Case, practice: SupplyPractice) -> Supply:
    """``sure`` is a sure window that touches the next days; ``none``: no water is known to come.

    A pump of one's own is water at hand, until its power hours are told or no water came.
    """
    failed = _failed_on(case, practice)
    if case.next_water is None:
        untold: Supply = "sure" if case.plot.water_source == "own-pump" else "unknown"
        return untold if failed is None else "none"
    end = case.as_of + timedelta(days=practice.sure_within_days)
    near = [w for w in case.next_water if w.sure and w.from_ <= end and w.to >= case.as_of]
    if any(failed is None or failed < w.from_ for w in near):  # else its water did not come
        return "sure"
    return "unsure" if _coming(case) else "none"


def _failed_on(case: Case, practice: SupplyPractice) -> date | None:
    """The day of a late report that no water came, where nobody told of a flooding since."""
    since = case.as_of - timedelta(days=practice.no_water_counts_days)
    lately = [e for e in case.events if since < e.on <= case.as_of]
    failed = max((e.on for e in lately if e.kind == "no-water"), default=None)
    flooded = max((e.on for e in lately if e.kind == "flooded"), default=None)
    return None if failed and flooded and flooded >= failed else failed


def next_turn(case: Case, needed_on: date | None, practice: SupplyPractice) -> NextTurn:
    """Whether the water comes before the day on which the plot will need it (p50 of its band).

    ``last-now`` only when the water that runs is about to end: until then there is time to look
    again, and a plot that is drier is never told to wait where a wetter one is told to take it.
    """
    if case.next_water is None or needed_on is None:
        return "unknown"
    near = needed_on <= case.as_of + timedelta(days=practice.look_ahead_days)
    if running_until(case, practice) is None:
        late = all(w.from_ > needed_on for w in _coming(case))
        return "too-late" if late and near else "in-time"
    ends = last_chance(case, needed_on, practice)
    if ends is None or ends > case.as_of + timedelta(days=practice.sure_within_days):
        return "in-time"
    return "last-now" if near or next_water(case, practice) else "in-time"


def last_chance(case: Case, needed_on: date, practice: SupplyPractice) -> date | None:
    """The last day of the water that runs, where none that is as sure returns by the day of need.

    None where none runs, or where it returns in time.
    """
    running = running_until(case, practice)
    if running is None:
        return None
    sure = any(w.sure and w.from_ <= running for w in _coming(case))
    after = [w.from_ for w in _coming(case) if w.from_ > running and (w.sure or not sure)]
    return None if any(day <= needed_on for day in after) else running


def next_water(case: Case, practice: SupplyPractice) -> date | None:
    """The first day of the water after the one that runs; None where none is known to come."""
    running = running_until(case, practice)
    days = [w.from_ for w in _coming(case) if running is None or w.from_ > running]
    return min(days, default=None)


def _coming(case: Case) -> list[WaterWindow]:
    return [w for w in case.next_water or () if w.to >= case.as_of]


def running_until(case: Case, practice: SupplyPractice) -> date | None:
    """The last day of the water that runs now or tomorrow, windows that meet taken as one.

    None where none runs, or the supply is not known.
    """
    last: date | None = None
    end = case.as_of + timedelta(days=practice.sure_within_days)
    for window in sorted(_coming(case), key=lambda w: w.from_):
        if window.from_ <= end:
            last = window.to if last is None else max(last, window.to)
            end = max(end, last + timedelta(days=1))
    return last


def hours_at_hand(case: Case, practice: SupplyPractice) -> float | None:
    """For how many hours water runs today and on the next days that count as at hand.

    None where none runs then, or where nobody told its hours.
    """
    days = [case.as_of + timedelta(days=n) for n in range(practice.sure_within_days + 1)]
    near = [(day, w) for day in days for w in _coming(case) if w.from_ <= day <= w.to]
    if not near or any(window.starts is None for _day, window in near):
        return None
    return sum(window.hours_a_day for _day, window in near)


def next_hours(case: Case, practice: SupplyPractice) -> WaterWindow | None:
    """The window whose hours are told to the grower: the first that runs now or tomorrow."""
    end = case.as_of + timedelta(days=practice.sure_within_days)
    near = [w for w in _coming(case) if w.from_ <= end and w.starts is not None]
    return min(near, key=lambda w: (max(w.from_, case.as_of), w.starts or time.min), default=None)
