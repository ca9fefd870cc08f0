"""The days to come of a plot, by guess: its level each morning and when it reaches a threshold."""

from dataclasses import dataclass

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
    """Water in mm by guess and morning (guesses, mornings), now in the first column.

    ``days`` counts from now to each column's morning, ``demand_mm_d`` is the first one's demand.
    ``seen_cm`` is the noise of a reading to come by guess.
    """

    cloud: Cloud
    days: Numbers
    water: Numbers
    seen_cm: Numbers
    demand_mm_d: float

    def level(self) -> Band:
        """The level now in cm."""
        return band(self.cloud.habit.level(self.water[:, 0]), self.cloud.weight)

    def below(self, level_cm: float) -> NDArray[np.bool_]:
        """Whether each guess lies at or below a level on each morning."""
        found: NDArray[np.bool_] = self.water <= self.cloud.habit.water(float(level_cm))[:, None]
        return found

    def crossing(self, level_cm: float) -> Band:
        """Days from now until a level is reached; past the last morning at its day's pace."""
        mark = self.cloud.habit.water(float(level_cm))
        under = self.below(level_cm)
        place = np.where(under.any(axis=1), under.argmax(axis=1), self.days.size - 1)
        after = np.maximum(place, 1)
        rows = np.arange(mark.size)
        upper, lower = self.water[rows, after - 1], self.water[rows, after]
        pace = np.maximum(upper - lower, 0.3)
        share = np.maximum(0.0, (upper - mark) / pace)
        share = np.where(under.any(axis=1), np.minimum(share, 1.0), share)
        since = self.days[after - 1] + share * (self.days[after] - self.days[after - 1])
        return band(np.where(under[:, 0], 0.0, since), self.cloud.weight)


def outlook_of(
    cloud: Cloud, days: list[float], demand: list[float], rain: list[float], model: Model
) -> Outlook:
    """The outlook from now; demand and rain (mm) are sums from now to each coming morning."""
    even, habit = even_normals(model.guesses, ROWS), cloud.habit
    ahead, falls = np.array([0.0, *days]), np.array([0.0, *rain])
    uses = np.array([0.0, *demand])
    now = cloud.water + np.sqrt(cloud.variance) * even[LEVEL]
    loss = np.outer(habit.use, uses) + np.outer(habit.seepage, ahead)
    pace = habit.use * (uses[-1] / ahead[-1]) + habit.seepage
    strays = np.outer(model.day_doubt * pace * even[DAYS], np.sqrt(ahead))
    water = now[:, None] - loss + strays
    if falls[-1] > 0:
        water += np.outer(_rain_share(even[RAIN], model), falls)
        brim = np.minimum.accumulate(MM_PER_CM * model.bund_cm - water, axis=1)
        water += np.minimum(0.0, brim)
    seen = model.reading_noise_cm * even[SEEN]
    return Outlook(cloud, ahead, water, seen, demand[0] / days[0])


def band(values: Numbers, weight: Numbers) -> Band:
    """The weighted 10, 50 and 90 % points."""
    order = np.argsort(values, kind="stable")
    reached = np.cumsum(weight[order])
    places = np.minimum(np.searchsorted(reached, TENTHS), values.size - 1)
    low, middle, high = (float(values[order[place]]) for place in places)
    return Band(low, middle, high)


def _rain_share(even: Numbers, model: Model) -> Numbers:
    """How much of the rain forecast comes, by guess: nothing for some, more or less for others."""
    rank = np.argsort(np.argsort(even)) / even.size
    found: Numbers = np.where(
        rank < model.forecast_rain_missed, 0.0, np.exp(model.forecast_rain_spread * even)
    )
    return found
