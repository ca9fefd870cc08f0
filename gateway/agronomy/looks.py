"""The day to read again: late enough to tell something, early enough not to find a dry plot."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from gateway.agronomy.guesses import MM_PER_CM
from gateway.agronomy.model import LookPractice, Model
from gateway.agronomy.outlook import Outlook, Waters

NO_RISK = 1e-3
AS_NOISE = 6**0.5  # a triangle of this half width has a standard deviation of 1
FAR_TOO_FAST = 1.3  # times the pace from which daily looks come too late
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Prospect:
    """Where each guess lies on each morning (mornings, guesses), seen from a threshold in cm.

    ``late``: it lies too deep; ``past``: at or below the threshold; ``near``: so near that a look
    leads to water; ``early``: water would not come too early.
    """

    outlook: Outlook
    threshold_cm: float
    late: Flags
    past: Flags
    near: Flags
    early: Flags

    def too_late_tomorrow(self, level_cm: float, levels: int, look: LookPractice) -> bool:
        """Whether tomorrow is likely past the threshold, and waiting costs more than water now.

        Water now may come too early; a reading tomorrow is one more, and may come too late.
        ``levels`` is how many are on record: a plot of few, but more than one, is watered only
        where tomorrow is likely too deep. From a level (cm, now) of more than ``ripe_cm`` above
        the threshold the others are where it is by ``late_chance`` too deep, or, from ``near_cm``
        and by twice the levels, likely past the threshold.
        """
        weight, above = self.outlook.cloud.weight, level_cm - self.threshold_cm
        late, past = float(weight @ self.late[1]), float(weight @ self.past[1])
        if levels < look.known_levels:
            paced = levels > 1  # a level alone tells nothing of how fast it falls
            return paced and above <= look.ripe_cm and late >= look.likely_chance
        sure = levels >= 2 * look.known_levels and above <= look.near_cm
        likely = sure and past >= look.likely_chance
        if above > look.ripe_cm and late < look.late_chance and not likely:
            return False
        early = 1 - float(weight @ self.early[0])
        if look.early_cost * early > 1 + look.late_cost * late:
            return False
        return past >= look.past_chance

    def ripe(self) -> Flags:
        """Whether a reading on each morning would lead to water."""
        ripe = self.past.copy()
        ripe[:-1] |= self.near[:-1] & self.past[1:]
        ripe[:-1] |= self.early[:-1] & self.late[1:]
        return ripe


def prospect_of(outlook: Outlook, threshold_cm: float, look: LookPractice) -> Prospect:
    """The prospect of an outlook."""
    above = (-look.late_cm, 0.0, look.near_cm, look.early_cm)
    marks = outlook.cloud.habit.waters([threshold_cm + each for each in above])
    return Prospect(outlook, threshold_cm, *(outlook.water <= marks.astype(np.float32)[:, None]))


def best_morning(
    prospect: Prospect, soonest: int, latest: int, gap: int, look: LookPractice, model: Model
) -> int:
    """The morning (0 is now's day) on which a reading costs least, the one after it included.

    ``gap`` is the most days between readings. Of mornings that cost the same the latest is taken.
    """
    mornings = len(prospect.outlook.days)
    last = max(soonest, min(latest, mornings - 1))
    gap = min(gap, mornings - last)
    weight = _watchable(prospect.outlook, look.fast_cm_d)
    again = (~prospect.ripe()[: last + gap + 1]).astype(np.float32)
    late = prospect.late[: last + gap + 1].astype(np.float32)
    risk, wasted = late @ weight, again @ weight
    first = _first_of_use(soonest, last, risk, wasted)
    if first == last:
        return last
    late *= look.late_cost
    late += look.again_cost * again
    alike = _alike(prospect, first, last + 1, look.bins, model)
    alike *= (again[first : last + 1] * weight)[:, None]
    after = (alike.reshape(-1, weight.size) @ late.T).reshape(*alike.shape[:2], -1)
    after += _out_of_reach(first, last + 1, gap)[:, None]
    cost = look.late_cost * risk[first : last + 1] + wasted[first : last + 1]
    cost += np.add.reduce(np.minimum.reduce(after, axis=2), axis=1)
    return last - int(cost[::-1].argmin())


def _watchable(outlook: Outlook, fast_cm_d: float) -> Waters:
    """The weights for choosing a look: what falls too fast for daily looks gains little by one.

    Where all guesses fall alike this changes nothing; it keeps the fast ones among those of a plot
    that nobody knows yet from asking for looks of all.
    """
    cloud, habit = outlook.cloud, outlook.cloud.habit
    fall = habit.use * outlook.demand_mm_d
    fall += habit.seepage
    fall /= habit.pace
    fall /= FAR_TOO_FAST * fast_cm_d
    fall *= fall
    fall *= fall
    fall += 1
    weight = cloud.weight / fall
    weight /= np.add.reduce(weight)
    return weight.astype(np.float32)


@lru_cache(maxsize=256)
def _out_of_reach(first: int, until: int, gap: int) -> Waters:
    """Nothing where a look may follow one, else no end; shape (mornings, mornings of the next)."""
    apart = np.arange(until + gap) - np.arange(first, until)[:, None]
    return np.where((apart > 0) & (apart <= gap), 0, np.inf).astype(np.float32)


def _first_of_use(soonest: int, last: int, risk: Waters, wasted: Waters) -> int:
    """The first morning before which nothing can have come to pass."""
    idle = (risk[soonest : last + 1] < NO_RISK) & (wasted[soonest : last + 1] > 1 - NO_RISK)
    return min(last, soonest + max(0, int(idle.argmin()) - 1)) if not idle.all() else last


def _alike(prospect: Prospect, first: int, until: int, bins: int, model: Model) -> Waters:
    """How far each guess would look like each of some levels, shape (mornings, levels, guesses).

    They stand from the threshold to the bund. A guess counts for the two around its own, more for
    the nearer one; where they stand ``AS_NOISE`` apart that spreads it as a reading's noise would.
    """
    outlook, lowest = prospect.outlook, prospect.threshold_cm
    water = outlook.water[first:until]
    place = np.minimum(water, 0) / outlook.cloud.habit.pace.astype(np.float32)
    place += np.maximum(water, 0) / MM_PER_CM
    place -= lowest
    apart = (model.bund_cm - lowest) / bins
    place /= max(apart, AS_NOISE * model.reading_noise_cm)
    place = np.minimum(np.maximum(place, 0), bins - 1)
    levels = np.arange(bins, dtype=np.float32)[:, None]
    found: Waters = np.abs(place[:, None] - levels)
    np.subtract(1, found, out=found)
    return np.maximum(found, 0, out=found)
