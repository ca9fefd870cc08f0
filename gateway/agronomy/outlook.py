"""The days to come of a plot, by guess: its level each morning and when it reaches a threshold."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from random import Random
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gateway.agronomy.advice import Band
from gateway.agronomy.beliefs import DAYS, LEVEL, RAIN, ROWS
from gateway.agronomy.clouds import Cloud
from gateway.agronomy.guesses import MM_PER_CM, Habit, Numbers, even_normals
from gateway.agronomy.model import Model

WET_SHARE = 0.2  # of the days,
WET_LASTS = 0.4  # and of the rest by so much more on a day after a wet one
SEASONS_SPREAD = 0.7  # how far rain to come may differ from rain of late, of the logarithm
Waters = NDArray[np.float32]
TENTHS = np.array((0.1, 0.5, 0.9))


@dataclass(frozen=True, slots=True)
class Ahead:
    """The mornings to come: days from now, and the demand and rain (mm) summed up to each.

    ``parts`` is what a guess's level, seepage, use and stray count for on each, now first.
    """

    days: list[float]
    demand: list[float]
    rain: list[float]
    parts: Waters

    @classmethod
    def of(cls, days: list[float], demand: list[float], rain: list[float]) -> "Ahead":
        """From the mornings alone."""
        ahead = np.array([0.0, *days])
        used = [0.0, *(-each for each in demand)]
        parts = np.array((np.ones_like(ahead), -ahead, used, np.sqrt(ahead)), dtype=np.float32)
        return cls(days, demand, rain, parts.T)


@dataclass(slots=True)
class Outlook:
    """Water in mm by morning and guess (mornings, guesses), now in the first row.

    ``days`` counts from now to each morning after it, ``demand_mm_d`` is the first one's demand.
    Water is kept to seven digits: half the bytes are reckoned twice as fast.
    """

    cloud: Cloud
    days: list[float]
    water: Waters
    demand_mm_d: float

    def crossing(self, level_cm: float) -> Band:
        """Days from now until a level is reached; past the last morning at its day's pace."""
        mark, days = self.cloud.habit.water(float(level_cm)), np.array([0.0, *self.days])
        rows = days.size
        under = self.water <= mark.astype(np.float32)
        left = np.arange(rows, 0, -1, dtype=np.uint8)[:, None]  # the first of them has most left
        most = np.maximum.reduce(under.view(np.uint8) * left)
        ever = most > 0
        after = np.minimum(np.maximum(rows - most.astype(np.intp), 1), rows - 1)
        guesses = np.arange(mark.size)
        upper, lower = self.water[after - 1, guesses], self.water[after, guesses]
        share = np.maximum(0.0, (upper - mark) / np.maximum(upper - lower, 0.3))
        share[ever] = np.minimum(share[ever], 1.0)
        since = days[after - 1]
        since += share * (days[after] - since)
        since[under[0]] = 0.0
        return band(since, self.cloud.weight)


def outlook_of(
    cloud: Cloud, ahead: Ahead, model: Model, unforeseen: Sequence[float] = ()
) -> Outlook:
    """The outlook from now.

    ``unforeseen`` is what rain to expect beside the forecast on the day before each morning, in mm.
    """
    even, habit = even_normals(model.guesses, ROWS), cloud.habit
    pace = habit.use * (ahead.demand[-1] / ahead.days[-1])
    pace += habit.seepage
    start = np.sqrt(cloud.variance) * even[LEVEL]
    start += cloud.water
    pace *= even[DAYS]
    pace *= model.day_doubt
    water = ahead.parts @ np.array((start, habit.seepage, habit.use, pace), dtype=np.float32)
    if ahead.rain[-1] > 0 or unforeseen:
        _rain(water, _falls(ahead.rain, unforeseen, model), habit, model)
    return Outlook(cloud, ahead.days, water, ahead.demand[0] / ahead.days[0])


def _rain(water: Waters, falls: list[Any], habit: Habit, model: Model) -> None:
    """Let the rain of each day fall; what it adds on a morning stays for those after it."""
    lifted, brim = np.zeros_like(habit.pace), MM_PER_CM * model.bund_cm
    for morning, fallen in enumerate(falls, start=1):
        water[morning] += lifted
        if fallen is not None:
            risen = habit.rained(water[morning], fallen, brim)
            lifted += risen
            lifted -= water[morning]
            water[morning] = risen


def _falls(rain: list[float], unforeseen: Sequence[float], model: Model) -> list[Any]:
    """The rain on the day before each morning by guess, in mm; None where none can fall.

    Rain that a forecast misses is as heavy as any: of a day that expects less it falls less often.
    """
    told = [max(0.0, high - low) for low, high in pairwise([0.0, *rain])]
    shares = rain_shares(model, len(told))
    falls = [each * share if each else None for each, share in zip(told, shares, strict=True)]
    most = max(unforeseen, default=0.0)
    if not most:
        return falls
    showers, turns = showers_of(model, len(told))
    chances = np.array(unforeseen)[:, None] / most
    more = np.where(turns < chances, most * showers, 0.0)
    return [each if fall is None else fall + each for fall, each in zip(falls, more, strict=True)]


def band(values: Numbers, weight: Numbers) -> Band:
    """The weighted 10, 50 and 90 % points."""
    order = values.argsort()
    places = weight[order].cumsum().searchsorted(TENTHS).tolist()
    last = values.size - 1
    low, middle, high = (float(values[order[min(place, last)]]) for place in places)
    return Band(low, middle, high)


@lru_cache(maxsize=64)
def rain_shares(model: Model, mornings: int) -> Numbers:
    """How much of each day's forecast rain comes, by guess: none on some, more or less on others.

    Each day's fails or strays on its own; a half of how far it strays, as variance, all share.
    """
    rng = Random("shares")
    missed, own = (_drawn(rng, model, mornings) for _ in range(2))
    strays = np.vectorize(NormalDist().inv_cdf)(own) + even_normals(model.guesses, ROWS)[RAIN]
    strays *= model.forecast_rain_spread / 2**0.5
    found: Numbers = np.where(missed < model.forecast_rain_missed, 0.0, np.exp(strays))
    return found


@lru_cache(maxsize=64)
def showers_of(model: Model, mornings: int) -> tuple[Numbers, Numbers]:
    """Rain that nobody foresaw by day and guess, of mean 1, and what decides if it comes (0 to 1).

    Much falls on a few of the days, and these come in spells, so that some weeks get far more.
    """
    rng = Random("showers")
    turns, much = (_drawn(rng, model, mornings) for _ in range(2))
    wet = np.empty(turns.shape, dtype=np.bool_)
    chance: Any = WET_SHARE
    for morning, turn in enumerate(turns):
        wet[morning] = turn < chance
        chance = WET_SHARE * (1 - WET_LASTS) + WET_LASTS * wet[morning]
    found: Numbers = np.where(wet, -np.log(much), 0.0)
    found *= np.exp(SEASONS_SPREAD * even_normals(model.guesses, ROWS)[RAIN])
    found /= found.mean()
    return found, _drawn(rng, model, mornings)


def _drawn(rng: Random, model: Model, mornings: int) -> Numbers:
    """Numbers between 0 and 1, each morning's spread evenly over the guesses in another order."""
    even = [(n + 0.5) / model.guesses for n in range(model.guesses)]
    return np.array([rng.sample(even, model.guesses) for _ in range(mornings)])
