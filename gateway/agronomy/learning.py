"""Learning a plot's habit from its dry spells, one after the other.

Between spells what is known of a plot is a normal belief over its habit: four means and their
covariance. Within a spell it is spread out over guesses; each guess follows the water as a Kalman
filter would and is weighed by how well it foresaw the readings. A reading pulls no harder than its
surprise allows, and one that nothing explains teaches no habit, so that one that is wrong cannot
steer; what exceeds the surprise widens the doubt for the next.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import log
from typing import Any

import numpy as np

from gateway.agronomy.forecast_practice import SoilPrior
from gateway.agronomy.guesses import MM_PER_CM, Habit, Numbers, even_normals
from gateway.agronomy.model import Model
from gateway.agronomy.spells import Spell, Step

HABITS = 4  # seepage, storage, use, rate
ROWS = 8  # the habit's, then level, rain, days to come, reading to come
RAIN, DAYS, LEVEL, SEEN = 4, 5, 6, 7
DRY_BY_CM = 0.5  # a tube looks dry from so far above its bottom,
DRY_NOISE = 0.3  # and is mistaken by this share of a reading's noise
DOUBTFUL = 2.5  # standard deviations within which a guess accounts for a reading,
DRY_DOUBTFUL = 4.0  # and for a dry tube, which is hard to misread
TEMPER = 0.6
TEMPERINGS = 8
ENOUGH = 6  # one in so many guesses must carry weight, or the guesses are drawn anew


@dataclass(frozen=True, slots=True)
class Belief:
    """What is known of a plot's habit between spells: means and covariance of theta, as a row."""

    mean: tuple[float, ...]
    covariance: tuple[float, ...]


@dataclass(slots=True)
class Cloud:
    """Guesses within a spell: theta, its habit, water in mm with variance, weights that sum to 1.

    ``doubted`` tells whether the last reading was beyond what the guesses could explain, ``strays``
    how many such readings the spell had.
    """

    theta: Numbers
    habit: Habit
    water: Numbers
    variance: Numbers
    weight: Numbers
    doubted: bool = False
    strays: int = 0


@dataclass(slots=True)
class State:
    """The water of each guess in mm, its variance, its log weight, and doubt kept for the next."""

    water: Numbers
    variance: Numbers
    log_weight: Numbers
    kept: Any = 0.0


@lru_cache(maxsize=256)
def prior_of(soil: SoilPrior, model: Model) -> Belief:
    """The belief about a plot of which nothing but its soil is known."""
    mean = (log(soil.seepage_mm_d), log(model.storage_median), 0.0, model.rate_per_cm)
    spreads = (soil.spread, model.storage_spread, model.use_spread, model.rate_spread)
    covariance = np.diag(np.square(spreads))
    shared = model.storage_with_seepage * soil.spread * model.storage_spread
    covariance[0, 1] = covariance[1, 0] = shared
    return _belief(np.array(mean), covariance)


@lru_cache(maxsize=50_000)
def learned(belief: Belief, spell: Spell, model: Model) -> Belief:
    """The belief after a spell, with room for what may change until the next."""
    if not spell.told:
        return belief
    cloud = cloud_of(belief, spell, model)
    mean = cloud.theta @ cloud.weight
    apart = cloud.theta - mean[:, None]
    return _belief(mean, (apart * cloud.weight) @ apart.T + changes_of(model))


@lru_cache(maxsize=64)
def changes_of(model: Model) -> Numbers:
    """How far a habit may change from one spell to the next, as a covariance."""
    each = (
        model.change_of_loss,
        model.change_of_storage,
        model.change_of_use,
        model.change_of_rate,
    )
    return np.diag(np.square(each))


def cloud_of(belief: Belief, spell: Spell, model: Model) -> Cloud:
    """The weighted guesses at the end of a spell."""
    mean, root = np.array(belief.mean), _root(belief)
    even = even_normals(model.guesses, ROWS)[:HABITS]
    theta = mean[:, None] + root @ even
    cloud, logs = _weighed(theta, spell, model)
    if not spell.told or _carried(cloud.weight) * ENOUGH >= model.guesses:
        return cloud
    centre, narrow = _tempered(theta, logs, root)
    theta = centre[:, None] + narrow @ even
    place = np.linalg.solve(root, theta - mean[:, None])
    lean = 0.5 * (np.sum(even * even, axis=0) - np.sum(place * place, axis=0))
    return _weighed(theta, spell, model, lean)[0]


def theta_of(belief: Belief, model: Model) -> Numbers:
    """Guesses of the habit, all of one weight, shape (4, guesses)."""
    even = even_normals(model.guesses, ROWS)[:HABITS]
    found: Numbers = np.array(belief.mean)[:, None] + _root(belief) @ even
    return found


def _root(belief: Belief) -> Numbers:
    return np.linalg.cholesky(np.reshape(belief.covariance, (HABITS, HABITS)))


def _weighed(
    theta: Numbers, spell: Spell, model: Model, lean: Numbers | float = 0.0
) -> tuple[Cloud, Numbers]:
    habit = Habit.of(theta, model.loss_below)
    state = start_of(habit, spell)
    strays, doubted = 0, False
    for step in spell.steps:
        pass_days(state, habit, step, model)
        if step.level_cm is None:
            continue
        doubted = not see(state, habit, step, model, lean)
        strays += doubted
    logs = state.log_weight + lean
    weight = np.exp(logs - logs.max())
    weight /= weight.sum()
    return Cloud(theta, habit, state.water, state.variance, weight, doubted, strays), logs


def start_of(habit: Habit, spell: Spell) -> State:
    """The guesses at the start of a spell."""
    level, doubt = habit.seen(spell.level_cm, spell.doubt_cm)
    nothing = np.zeros_like(habit.use)
    return State(level + nothing, doubt * doubt + nothing, nothing)


def pass_days(state: State, habit: Habit, step: Step, model: Model) -> None:
    """Let the days of a step pass: the crop uses, the soil loses, rain falls, the bund spills."""
    if step.days <= 0:
        return
    loss = habit.use * step.demand + habit.seepage * step.days
    state.water = state.water - loss + step.rain
    strayed = np.square(model.day_doubt * loss) / step.days
    state.variance = state.variance + strayed + model.rain_doubt**2 * step.rain_squares
    if step.rain > model.heavy_rain_mm:
        state.water = np.minimum(state.water, MM_PER_CM * model.bund_cm)


def see(state: State, habit: Habit, step: Step, model: Model, lean: Any = 0.0) -> bool:
    """Correct the guesses by what was read at the end of a step; tells whether they explain it."""
    assert step.level_cm is not None
    state.variance = state.variance + state.kept
    if step.dry:
        edge, noise = habit.seen(step.level_cm + DRY_BY_CM, step.noise_cm * DRY_NOISE)
        place, spread = placed(state, edge, noise)
        explained = bool(place.max() > -DRY_DOUBTFUL)
        correct_dry(state, edge, place, spread, explained)
        return explained
    seen, noise = habit.seen(step.level_cm, step.noise_cm)
    off, spread = placed(state, seen, noise)
    explained = _explained(np.abs(off), state.log_weight + lean, model.doubtful_share)
    correct(state, off, spread, noise, noise / step.noise_cm, explained, model)
    return explained


def placed(state: State, seen: Any, noise: Any) -> tuple[Numbers, Numbers]:
    """How far what was seen lies above each guess, in standard deviations, and these in mm."""
    spread = np.sqrt(state.variance + noise * noise)
    return (seen - state.water) / spread, spread


def correct(
    state: State,
    off: Numbers,
    spread: Numbers,
    noise: Any,
    per_cm: Any,
    explained: Any,
    model: Model,
) -> None:
    """Pull the guesses towards a reading; one that is not ``explained`` weighs none of them.

    ``noise`` and ``per_cm`` are the reading's noise and a cm at its level, in mm.
    """
    far = np.abs(off)
    pull = np.minimum(far, model.surprise)
    fit = np.log(noise / spread) - pull * (far - pull / 2)
    state.log_weight = state.log_weight + explained * fit
    gain = state.variance / (spread * spread)
    pulled = np.minimum(np.maximum(off, -model.surprise), model.surprise)
    state.water = state.water + gain * spread * pulled
    state.variance = state.variance * (1 - gain)
    unsaid = np.minimum((far - pull) * spread, per_cm * model.jump_cm)
    state.kept = unsaid * unsaid


def correct_dry(state: State, edge: Any, place: Numbers, spread: Numbers, explained: Any) -> None:
    """Push the guesses below a dry tube's bottom; it says nothing more."""
    below = np.maximum(1e-6, _share_below(place))
    density = np.exp(-place * place / 2) / np.sqrt(2 * np.pi)
    push = np.minimum(density / below, 3.0)
    gain = state.variance / (spread * spread)
    state.log_weight = state.log_weight + np.log(0.97 * below + 0.03)
    water = state.water - gain * spread * push
    state.water = np.where(explained, np.minimum(water, edge), water)
    state.variance = state.variance * np.maximum(0.2, 1 - gain * push * (push + place))
    state.kept = 0.0


def _explained(far: Numbers, logs: Numbers, share: float) -> bool:
    """Whether enough of the guesses, as weighed so far, can account for what was read."""
    fits = far < DOUBTFUL
    if 2 * np.count_nonzero(fits) > far.size:
        return True
    weight = np.exp(logs - logs.max())
    return bool(weight[fits].sum() >= share * weight.sum())


def _share_below(place: Numbers) -> Numbers:
    """The normal distribution function, to about 3e-4."""
    found: Numbers = 0.5 * (1 + np.tanh(0.7978845608 * (place + 0.044715 * place**3)))
    return found


def _tempered(theta: Numbers, logs: Numbers, root: Numbers) -> tuple[Numbers, Numbers]:
    """Centre and root of a covariance around the guesses that foresaw the readings best."""
    share = 1.0
    for _ in range(TEMPERINGS):
        share *= TEMPER
        weight = np.exp(share * (logs - logs.max()))
        weight /= weight.sum()
        if _carried(weight) * ENOUGH >= weight.size:
            break
    centre = theta @ weight
    apart = theta - centre[:, None]
    covariance = 1.2 * (apart * weight) @ apart.T + 1e-4 * root @ root.T
    return centre, np.linalg.cholesky(covariance)


def _carried(weight: Numbers) -> float:
    """How many guesses carry the weight, as if they carried it evenly."""
    return float(1 / np.sum(weight * weight))


def _belief(mean: Numbers, covariance: Numbers) -> Belief:
    return Belief(tuple(map(float, mean)), tuple(map(float, covariance.ravel())))
