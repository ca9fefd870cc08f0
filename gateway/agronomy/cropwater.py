"""Water use of the crop: ETc = Kc x ET0, with the Kc curve of rice.

FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), table 12 (Kc) and table 11 (stage lengths,
scaled to the crop's own duration). Seepage and percolation are not part of it.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate
from math import ceil

import numpy as np


@dataclass(frozen=True, slots=True)
class KcCurve:
    """Kc at the start, the middle and the end, and the four stage lengths in days."""

    start: float
    middle: float
    end: float
    days: tuple[float, float, float, float]

    def over(self, first: int, count: int, duration: float | None = None) -> list[float]:
        """Kc on ``count`` days of the crop from day ``first`` on."""
        whole = _whole(self, duration)
        if first >= 0 and first + count <= len(whole):
            return whole[first : first + count]
        days = range(first, first + count)
        return [whole[min(max(day, 0), len(whole) - 1)] for day in days]

    def at(self, day: float, duration: float | None = None) -> float:
        """Kc on a day of the crop (1 is the first); ``duration`` scales the stages (eq. 66)."""
        whole = sum(self.days)
        day = day if duration is None else day * whole / duration
        first, growth, middle, late = self.days
        if day <= first:
            return self.start
        if day <= first + growth:
            return self.start + (self.middle - self.start) * (day - first) / growth
        if day <= first + growth + middle:
            return self.middle
        passed = min(1.0, (day - first - growth - middle) / late)
        return self.middle + (self.end - self.middle) * passed


@lru_cache(maxsize=512)
def _whole(curve: KcCurve, duration: float | None) -> list[float]:
    """Kc from the day before the crop's first to one on which its end is reached."""
    length = sum(curve.days)
    pace = 1.0 if duration is None else length / duration
    turns = (0.0, *accumulate(curve.days))
    corners = (curve.start, curve.start, curve.middle, curve.middle, curve.end)
    found = np.interp(np.arange(ceil(length / pace) + 1) * pace, turns, corners)
    return [*found.tolist()]


def kc_for_climate(kc: float, wind_ms: float, rhmin: float, height_m: float) -> float:
    """Kc of the middle or the end in another climate than the table's (eq. 62 and 65)."""
    if kc <= 0.45:
        return kc
    return float(kc + (0.04 * (wind_ms - 2) - 0.004 * (rhmin - 45)) * (height_m / 3) ** 0.3)
