"""Some hundred weighted guesses of how a plot loses water: the posterior of its dry-down.

A guess holds the logarithms of seepage with percolation (mm/d), of storage below the surface (mm
per cm) and of the crop's use against its demand, and the rate (1/cm) at which a fall costs more
water with depth: soil drains less and roots meet less of the demand as the water sinks. Water is
reckoned in mm of ponded loss; a level of -z cm is -P (exp(k z) - 1) / k of them, P its pace, so
that a guess moves in straight lines and is corrected by a reading as a Kalman filter would be.
Arrays end in the axis of guesses; any axes before it are plots.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
MM_PER_CM = 10.0  # of standing water
LEAST_RATE, MOST_RATE = 1e-4, 0.12


@lru_cache(maxsize=8)
def even_normals(count: int, rows: int) -> Numbers:
    """Standard normal points spread evenly (additive recurrence), shape (rows, count)."""
    root = 2.0
    for _ in range(64):
        root = (1 + root) ** (1 / (rows + 1))
    steps = np.power(1 / root, np.arange(1, rows + 1))
    even = (0.5 + np.outer(steps, np.arange(1, count + 1))) % 1.0
    quantile = np.vectorize(NormalDist().inv_cdf)
    points: Numbers = quantile(np.clip(even, 1e-6, 1 - 1e-6))
    points -= points.mean(axis=1, keepdims=True)
    lower = np.linalg.cholesky(np.cov(points, bias=True))
    found: Numbers = np.linalg.solve(lower, points)
    found.setflags(write=False)
    return found


@dataclass(slots=True)
class Habit:
    """How a plot loses water, by guess: seepage mm/d, storage mm/cm, use (no unit), rate 1/cm.

    ``pace`` is how many mm the plot would have lost ponded while it falls the first cm below the
    surface: its storage, drawn out because drained soil loses more slowly.
    """

    seepage: Numbers
    storage: Numbers
    use: Numbers
    rate: Numbers
    pace: Numbers

    @classmethod
    def of(cls, theta: Numbers, loss_below: float) -> "Habit":
        """From theta of shape (..., 4, guesses) and the share of loss left below the surface."""
        logs = np.exp(theta[..., :3, :])
        rate = np.minimum(np.maximum(theta[..., 3, :], LEAST_RATE), MOST_RATE)
        storage = logs[..., 1, :]
        return cls(logs[..., 0, :], storage, logs[..., 2, :], rate, storage / loss_below)

    def water(self, level: float) -> Numbers:
        """Water in mm at a level in cm."""
        if level >= 0:
            return np.full(self.pace.shape, MM_PER_CM * level)
        return self._below(level)

    def waters(self, levels: Sequence[float]) -> Numbers:
        """Water in mm at some levels in cm, shape (levels, guesses); for one plot alone."""
        found: Numbers = np.empty((len(levels), self.pace.size))
        for place, level in enumerate(levels):
            found[place] = MM_PER_CM * level if level >= 0 else self._below(level)
        return found

    def water_of(self, levels: Numbers) -> Numbers:
        """Water in mm at each guess's own level in cm."""
        water: Numbers = 1 - np.exp(-self.rate * np.minimum(levels, 0.0))
        water *= self.pace / self.rate
        water += MM_PER_CM * np.maximum(levels, 0.0)
        return water

    def seen(self, level: float, noise: float) -> tuple[Any, Any]:
        """A level with its noise in cm as water with its noise in mm."""
        if level >= noise:
            return MM_PER_CM * level, MM_PER_CM * noise
        if level <= -noise:
            steep = np.exp(self.rate * -level)
            return self.pace * (1 - steep) / self.rate, self.pace * steep * noise
        high, low = self.water(level + noise), self.water(level - noise)
        return (high + low) / 2, (high - low) / 2

    def seen_each(self, level: Numbers, noise: Numbers) -> tuple[Numbers, Numbers]:
        """As ``seen``, for levels and noises of many plots, shape (plots, 1)."""
        seen, spread = np.empty_like(self.pace), np.empty_like(self.pace)
        seen[:], spread[:] = MM_PER_CM * level, MM_PER_CM * noise
        under = np.flatnonzero(level <= -noise)
        if under.size:
            rate, pace = self.rate[under], self.pace[under]
            steep = np.exp(rate * -level[under])
            seen[under] = pace * (1 - steep) / rate
            spread[under] = pace * steep * noise[under]
        between = np.flatnonzero(np.abs(level) < noise)
        if between.size:
            part = self.rows(between)
            high = part.water_of(level[between] + noise[between])
            low = part.water_of(level[between] - noise[between])
            seen[between], spread[between] = (high + low) / 2, (high - low) / 2
        return seen, spread

    def rained(self, water: Numbers, rain: Any, brim: float) -> Numbers:
        """Water after so many mm of rain, which fills the soil's own storage and then the bund.

        What it lifts past ``brim`` (mm) spills; water that stood higher before stays.
        """
        most = np.maximum(water, brim)
        if np.minimum.reduce(water, axis=None) >= 0:
            stood: Numbers = np.minimum(water + rain, most)
            return stood
        rate, pace = self.rate, self.pace
        steep = 1 - rate * np.minimum(water, 0.0) / pace
        deep = rate / self.storage
        above = rain - np.log(steep) / deep + np.maximum(water, 0.0)
        steep *= np.exp(-rain * deep)
        found: Numbers = np.where(steep > 1, (1 - steep) * pace / rate, above)
        return np.minimum(found, most, out=found)

    def rows(self, rows: Any) -> "Habit":
        """The habits of some of many plots."""
        parts = (self.seepage, self.storage, self.use, self.rate, self.pace)
        return Habit(*(each[rows] for each in parts))

    def _below(self, level: float) -> Numbers:
        found: Numbers = 1 - np.exp(-level * self.rate)
        found *= self.pace
        found /= self.rate
        return found

    def level(self, water: Numbers) -> Numbers:
        """Level in cm of a water in mm."""
        pace, rate = self.pace, self.rate
        if water.ndim > pace.ndim:
            pace, rate = pace[..., None], rate[..., None]
        inner = np.maximum(1e-3, 1 - rate * np.minimum(water, 0.0) / pace)
        found: Numbers = np.log(inner) / -rate
        found += np.maximum(water, 0.0) / MM_PER_CM
        return found
