"""The days to come of a plot, by guess: its level each morning and when it reaches a threshold."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from random import Random
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gateway.agronomy.advice import Band
from gateway.agronomy.beliefs import DAYS, LEVEL, RAIN, ROWS, SEEN
from gateway.agronomy.clouds import Cloud
from gateway.agronomy.guesses import MM_PER_CM, Habit, Numbers, even_normals
from gateway.agronomy.model import Model

WET_SHARE = 0.2  # of the days
SEASONS_SPREAD = 0.7  # how far rain to come may differ from rain of late, of the logarithm
TENTHS = (0.1, 0.5, 0.9)


@dataclass(slots=True)
class Outlook:
    """Water in mm by morning and guess (mornings, guesses), now in the first row.

    ``days`` counts from now to each row's morning, ``demand_mm_d`` is the first one's demand.
    ``seen_cm`` is the noise of a reading to come by guess.
    """

    cloud: Cloud
    days: Numbers
    water: Numbers
    seen_cm: Numbers
    demand_mm_d: float

    def level(self) -> Band:
        """The level now in cm."""
        return band(self.cloud.habit.level(self.water[0]), self.cloud.weight)

    def below(self, level_cm: float) -> NDArray[np.bool_]:
        """Whether each guess lies at or below a level on each morning."""
        found: NDArray[np.bool_] = self.water <= self.cloud.habit.water(float(level_cm))
        return found

    def share_below(self, level_cm: float, morning: int) -> float:
        """The chance of lying at or below a level on a morning."""
        below = self.water[morning] <= self.cloud.habit.water(float(level_cm))
        return float(self.cloud.weight @ below)

    def crossing(self, level_cm: float) -> Band:
        """Days from now until a level is reached; past the last morning at its day's pace."""
        mark = self.cloud.habit.water(float(level_cm))
        under = self.water <= mark
        place, ever = under.argmax(axis=0), np.logical_or.reduce(under)
        place[~ever] = self.days.size - 1
        after = np.maximum(place, 1)
        guesses = np.arange(mark.size)
        upper, lower = self.water[after - 1, guesses], self.water[after, guesses]
        share = np.maximum(0.0, (upper - mark) / np.maximum(upper - lower, 0.3))
        share[ever] = np.minimum(share[ever], 1.0)
        since = self.days[after - 1] + share * (self.days[after] - self.days[after - 1])
        since[under[0]] = 0.0
        return band(since, self.cloud.weight)


def outlook_of(
    cloud: Cloud,
    days: list[float],
    demand: list[float],
    rain: list[float],
    model: Model,
    unforeseen: Sequence[float] = (),
) -> Outlook:
    """The outlook from now; demand and rain (mm) are sums from now to each coming morning.

    ``unforeseen`` is what rain is to be expected beside them on the day before each morning.
    """
    even, habit = even_normals(model.guesses, ROWS), cloud.habit
    ahead = np.array([[0.0], *zip(days)])
    uses = np.array([[0.0], *zip(demand)])
    pace = habit.use * (demand[-1] / days[-1]) + habit.seepage
    water = np.sqrt(ahead) * (model.day_doubt * pace * even[DAYS])
    water += cloud.water + np.sqrt(cloud.variance) * even[LEVEL]
    water -= uses * habit.use
    water -= ahead * habit.seepage
    if rain[-1] > 0 or unforeseen:
        _rain(water, _falls(rain, unforeseen, model), habit, model)
    seen = model.reading_noise_cm * even[SEEN]
    return Outlook(cloud, ahead[:, 0], water, seen, demand[0] / days[0])


def _rain(water: Numbers, falls: list[Any], habit: Habit, model: Model) -> None:
    """Let the rain of each day fall; what it adds on a morning stays for those after it."""
    for morning, fallen in enumerate(falls, start=1):
        if fallen is not None:
            risen = habit.rained(water[morning], fallen, MM_PER_CM * model.bund_cm)
            water[morning:] += risen - water[morning]


def _falls(rain: list[float], unforeseen: Sequence[float], model: Model) -> list[Any]:
    """The rain on the day before each morning by guess, in mm; None where none can fall."""
    told = [max(0.0, high - low) for low, high in pairwise([0.0, *rain])]
    falls: list[Any] = [each * rain_shares(model) if each else None for each in told]
    showers: Iterable[Any] = showers_of(model, len(rain)) if unforeseen else ()
    for day, (each, shower) in enumerate(zip(unforeseen, showers, strict=True)):
        falls[day] = each * shower + (0.0 if falls[day] is None else falls[day])
    return falls


def band(values: Numbers, weight: Numbers) -> Band:
    """The weighted 10, 50 and 90 % points."""
    order = values.argsort(kind="stable")
    places = weight[order].cumsum().searchsorted(TENTHS).tolist()
    last = values.size - 1
    low, middle, high = (float(values[order[min(place, last)]]) for place in places)
    return Band(low, middle, high)


@lru_cache(maxsize=64)
def rain_shares(model: Model) -> Numbers:
    """How much of the rain forecast comes, by guess: nothing for some, more or less for others."""
    even = even_normals(model.guesses, ROWS)[RAIN]
    rank = np.argsort(np.argsort(even)) / even.size
    found: Numbers = np.where(
        rank < model.forecast_rain_missed, 0.0, np.exp(model.forecast_rain_spread * even)
    )
    return found


@lru_cache(maxsize=64)
def showers_of(model: Model, mornings: int) -> Numbers:
    """Rain that nobody foresaw, day by day and by guess, of mean 1: much on a few of the days."""
    rng, even = Random("showers"), [(n + 0.5) / model.guesses for n in range(model.guesses)]
    rank = np.array([rng.sample(even, model.guesses) for _ in range(mornings)])
    wet = np.minimum(rank / WET_SHARE, 1 - 0.5 / model.guesses)
    found: Numbers = np.where(rank < WET_SHARE, -np.log1p(-wet), 0.0)
    found *= np.exp(SEASONS_SPREAD * even_normals(model.guesses, ROWS)[RAIN])
    found /= found.mean()
    return found
