"""The days to come of a plot, by guess: its level each morning and when it reaches a threshold."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from gateway.agronomy.advice import Band
from gateway.agronomy.beliefs import DAYS, LEVEL, RAIN, ROWS, SEEN
from gateway.agronomy.clouds import Cloud
from gateway.agronomy.guesses import MM_PER_CM, Numbers, even_normals
from gateway.agronomy.model import Model

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
    cloud: Cloud, days: list[float], demand: list[float], rain: list[float], model: Model
) -> Outlook:
    """The outlook from now; demand and rain (mm) are sums from now to each coming morning."""
    even, habit = even_normals(model.guesses, ROWS), cloud.habit
    ahead, falls = np.array([[0.0], *zip(days)]), np.array([[0.0], *zip(rain)])
    uses = np.array([[0.0], *zip(demand)])
    pace = habit.use * (demand[-1] / days[-1]) + habit.seepage
    water = np.sqrt(ahead) * (model.day_doubt * pace * even[DAYS])
    water += cloud.water + np.sqrt(cloud.variance) * even[LEVEL]
    water -= uses * habit.use
    water -= ahead * habit.seepage
    if rain[-1] > 0:
        water += falls * rain_shares(model)
        brim = np.minimum.accumulate(MM_PER_CM * model.bund_cm - water, axis=0)
        water += np.minimum(0.0, brim)
    seen = model.reading_noise_cm * even[SEEN]
    return Outlook(cloud, ahead[:, 0], water, seen, demand[0] / days[0])


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
