"""The day to read again: late enough to tell something, early enough not to find a dry plot."""

import numpy as np
from numpy.typing import NDArray

from gateway.agronomy.guesses import Numbers
from gateway.agronomy.model import LookPractice
from gateway.agronomy.outlook import Outlook

NO_RISK = 1e-3
Flags = NDArray[np.bool_]


def too_late_tomorrow(outlook: Outlook, threshold_cm: float, look: LookPractice) -> bool:
    """Whether a reading tomorrow would likely find the plot too deep, or past its threshold."""
    weight, level = outlook.cloud.weight, outlook.level().p50
    late = outlook.below(threshold_cm - look.late_cm)[:, 1] @ weight
    past = outlook.below(threshold_cm)[:, 1] @ weight
    ripe = level <= threshold_cm + look.ripe_cm and late > look.late_chance
    near = level <= threshold_cm + look.near_cm and past >= look.past_chance
    return bool(ripe or near)


def best_morning(
    outlook: Outlook, threshold_cm: float, soonest: int, latest: int, gap: int, look: LookPractice
) -> int:
    """The morning (0 is now's day) on which a reading costs least, the one after it included.

    ``gap`` is the most days between readings. Of mornings that cost the same the latest is taken.
    """
    weight = outlook.cloud.weight[:, None]
    late = outlook.below(threshold_cm - look.late_cm) * weight
    again = ~_ripe(outlook, threshold_cm, look) * weight
    last = max(soonest, min(latest, outlook.days.size - 2))
    soonest = _first_of_use(soonest, last, late, again)
    costs = [
        _cost(outlook, morning, late, again, gap, look) for morning in range(soonest, last + 1)
    ]
    return last - int(np.argmin(costs[::-1]))


def _first_of_use(soonest: int, last: int, late: Numbers, again: Numbers) -> int:
    """The first morning before which nothing can have come to pass."""
    risk, wasted = late.sum(axis=0), again.sum(axis=0)
    idle = (risk[soonest : last + 1] < NO_RISK) & (wasted[soonest : last + 1] > 1 - NO_RISK)
    return min(last, soonest + max(0, int(np.argmin(idle)) - 1)) if not idle.all() else last


def _ripe(outlook: Outlook, threshold_cm: float, look: LookPractice) -> Flags:
    """Whether a reading on each morning would lead to water."""
    past = outlook.below(threshold_cm)
    late = outlook.below(threshold_cm - look.late_cm)
    ripe, near = past.copy(), outlook.below(threshold_cm + look.near_cm)[:, :-1]
    ripe[:, :-1] |= near & past[:, 1:]
    ripe[:, :-1] |= outlook.below(threshold_cm + look.ripe_cm)[:, :-1] & late[:, 1:]
    return ripe


def _cost(
    outlook: Outlook, morning: int, late: Numbers, again: Numbers, gap: int, look: LookPractice
) -> float:
    cost = 1 + look.late_cost * float(late[:, morning].sum())
    left = np.flatnonzero(again[:, morning] > 0)
    if left.size == 0:
        return cost
    order, starts = _told_apart(outlook, left, morning, look.bins)
    end = morning + 1 + gap
    after = look.late_cost * late[order, morning + 1 : end]
    after += look.again_cost * again[order, morning + 1 : end]
    best = np.add.reduceat(after, starts, axis=0).min(axis=1)
    return cost + float(best.sum() + again[order, morning].sum())


def _told_apart(
    outlook: Outlook, left: NDArray[np.intp], morning: int, bins: int
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Guesses in the order of what would be read, and the starts of groups that look alike."""
    habit, water = outlook.cloud.habit, outlook.water[left, morning]
    level = np.where(water >= 0, water / 10, water / habit.pace[left])
    order = left[np.argsort(level + outlook.seen_cm[left], kind="stable")]
    reached = np.cumsum(outlook.cloud.weight[order])
    shares = reached[-1] * np.arange(bins) / bins
    starts = np.unique(np.searchsorted(reached, shares))
    return order, starts[starts < order.size]
