"""Supply: whether water is sure to come, and whether it comes before the plot needs it."""

from datetime import date, timedelta
from typing import Literal

from gateway.agronomy.case import Case, WaterWindow
from gateway.agronomy.practice import SupplyPractice

Supply = Literal["sure", "unsure", "none", "unknown"]
NextTurn = Literal["in-time", "last-now", "too-late", "unknown"]


def supply_of(case: Case, practice: SupplyPractice) -> Supply:
    """``sure`` is a sure window that touches the next days; ``none``: no water is known to come."""
    if case.next_water is None:
        return "none" if water_failed(case, practice) else "unknown"
    end = case.as_of + timedelta(days=practice.sure_within_days)
    if any(w.sure and w.from_ <= end and w.to >= case.as_of for w in case.next_water):
        return "sure"
    return "unsure" if _coming(case) else "none"


def water_failed(case: Case, practice: SupplyPractice) -> bool:
    """Whether somebody reported lately that no water came, and nobody a flooding since."""
    since = case.as_of - timedelta(days=practice.no_water_counts_days)
    lately = [e for e in case.events if since < e.on <= case.as_of]
    failed = max((e.on for e in lately if e.kind == "no-water"), default=None)
    flooded = max((e.on for e in lately if e.kind == "flooded"), default=None)
    return failed is not None and (flooded is None or flooded < failed)


def next_turn(case: Case, needed_on: date | None, practice: SupplyPractice) -> NextTurn:
    """Whether the water comes before the day on which the plot will need it (p50 of its band)."""
    if case.next_water is None or needed_on is None:
        return "unknown"
    near = needed_on <= case.as_of + timedelta(days=practice.look_ahead_days)
    running, later = _running_until(case, practice), _coming(case)
    if running is None:
        late = all(w.from_ > needed_on for w in later)
        return "too-late" if late and near else "in-time"
    after = [w.from_ for w in later if w.from_ > running]
    if running >= needed_on or any(day <= needed_on for day in after):
        return "in-time"
    return "last-now" if after or near else "in-time"


def _coming(case: Case) -> list[WaterWindow]:
    return [w for w in case.next_water or () if w.to >= case.as_of]


def _running_until(case: Case, practice: SupplyPractice) -> date | None:
    """The last day of the water that runs now or tomorrow, windows that meet taken as one."""
    last: date | None = None
    end = case.as_of + timedelta(days=practice.sure_within_days)
    for window in sorted(_coming(case), key=lambda w: w.from_):
        if window.from_ <= end:
            last = window.to if last is None else max(last, window.to)
            end = max(end, last + timedelta(days=1))
    return last
