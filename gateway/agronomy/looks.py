"""The day to read again: late enough to tell something, early enough not to find a dry plot."""

import numpy as np
from numpy.typing import NDArray

from gateway.agronomy.guesses import Numbers
from gateway.agronomy.model import LookPractice
from gateway.agronomy.outlook import Outlook

NO_RISK = 1e-3
Flags = NDArray[np.bool_]


def too_late_tomorrow(
    outlook: Outlook, level_cm: float, threshold_cm: float, look: LookPractice
) -> bool:
    """Whether tomorrow is likely past the threshold, and waiting for it costs more than water now.

    Water now may come too early; a reading tomorrow is one more, and may come too late. From a
    level (cm, now) that is more than ``ripe_cm`` above the threshold it is worth it only where
    tomorrow is likely, by ``late_chance``, too deep.
    """
    past = outlook.share_below(threshold_cm, 1)
    early = 1 - outlook.share_below(threshold_cm + look.early_cm, 0)
    late = outlook.share_below(threshold_cm - look.late_cm, 1)
    if level_cm > threshold_cm + look.ripe_cm and late < look.late_chance:
        return False
    return past >= look.past_chance and look.early_cost * early <= 1 + look.late_cost * late


def best_morning(
    outlook: Outlook, threshold_cm: float, soonest: int, latest: int, gap: int, look: LookPractice
) -> int:
    """The morning (0 is now's day) on which a reading costs least, the one after it included.

    ``gap`` is the most days between readings. Of mornings that cost the same the latest is taken.
    """
    weight = outlook.cloud.weight
    late = outlook.below(threshold_cm - look.late_cm)
    again = ~_ripe(outlook, late, threshold_cm, look)
    risk, wasted = late @ weight, again @ weight
    last = max(soonest, min(latest, outlook.days.size - 2))
    soonest = _first_of_use(soonest, last, risk, wasted)
    costs = (1 + look.late_cost * risk + wasted).tolist()
    after = (look.late_cost * late + look.again_cost * again) * weight
    best, least = last, np.inf
    for morning in range(soonest, last + 1):
        cost = costs[morning]
        if cost <= least:
            cost += _after(outlook, morning, again, after, gap, look.bins)
        if cost <= least:
            best, least = morning, cost
    return best


def _first_of_use(soonest: int, last: int, risk: Numbers, wasted: Numbers) -> int:
    """The first morning before which nothing can have come to pass."""
    idle = (risk[soonest : last + 1] < NO_RISK) & (wasted[soonest : last + 1] > 1 - NO_RISK)
    return min(last, soonest + max(0, int(idle.argmin()) - 1)) if not idle.all() else last


def _ripe(outlook: Outlook, late: Flags, threshold_cm: float, look: LookPractice) -> Flags:
    """Whether a reading on each morning would lead to water."""
    past = outlook.below(threshold_cm)
    ripe, near = past.copy(), outlook.below(threshold_cm + look.near_cm)[:-1]
    ripe[:-1] |= near & past[1:]
    ripe[:-1] |= outlook.below(threshold_cm + look.early_cm)[:-1] & late[1:]
    return ripe


def _after(
    outlook: Outlook, morning: int, again: Flags, cost: Numbers, gap: int, bins: int
) -> float:
    """The cost of the reading after one that leads to no water.

    ``cost`` is the weighted cost of that reading by morning and guess.
    """
    left = again[morning].nonzero()[0]
    if left.size == 0:
        return 0.0
    order, starts = _told_apart(outlook, left, morning, bins)
    after = np.add.reduceat(cost[morning + 1 : morning + 1 + gap, order], starts, axis=1)
    return float(np.add.reduce(np.minimum.reduce(after)))


def _told_apart(
    outlook: Outlook, left: NDArray[np.intp], morning: int, bins: int
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Guesses in the order of what would be read, and the starts of groups that look alike."""
    habit, water = outlook.cloud.habit, outlook.water[morning, left]
    seen = np.where(water >= 0, water / 10, water / habit.pace[left])
    seen += outlook.seen_cm[left]
    order = left[seen.argsort(kind="stable")]
    reached = outlook.cloud.weight[order].cumsum()
    found = reached.searchsorted(reached[-1] * np.arange(bins) / bins)
    starts = sorted({int(place) for place in found if place < order.size})
    return order, np.array(starts)
