"""Learning the habits of many plots at once: the same reckoning as for one, over an axis of plots.

A scheme's nightly replay, an import of old books. The beliefs are those that ``learned`` gives, to
about four digits: guesses are followed to seven, which is twice as fast, and summed up to sixteen.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from gateway.agronomy.beliefs import HABITS, ROWS, Belief, changes_of
from gateway.agronomy.clouds import ENOUGH, TEMPER, TEMPERINGS
from gateway.agronomy.correcting import (
    DOUBTFUL,
    DRY_BY_CM,
    DRY_DOUBTFUL,
    DRY_NOISE,
    State,
    correct,
    correct_dry,
    placed,
)
from gateway.agronomy.guesses import MM_PER_CM, Habit, Numbers, even_normals
from gateway.agronomy.model import Model
from gateway.agronomy.spells import Spell, Step

CHUNK = 128  # plots at a time: their guesses stay in the processor's own memory
HABIT = ("seepage", "storage", "use", "rate", "pace")
STATE = ("water", "variance", "log_weight", "kept")
NO_STEP = Step(0.0, 0.0, 0.0, 0.0)


@dataclass(slots=True)
class Crowd:
    """The beliefs of many plots: means (plots, 4) and covariances (plots, 4, 4)."""

    mean: Numbers
    covariance: Numbers


def learned_by_many(
    beliefs: Sequence[Belief], spells: Sequence[Sequence[Spell]], model: Model
) -> list[Belief]:
    """The belief of each plot after its spells, in their order."""
    found: list[Belief] = []
    for low in range(0, len(beliefs), CHUNK):
        part = spells[low : low + CHUNK]
        crowd = _gathered(beliefs[low : low + CHUNK])
        for number in range(max(map(len, part), default=0)):
            rows = [r for r, each in enumerate(part) if number < len(each) and each[number].told]
            if rows:
                _learn(crowd, np.array(rows), [part[row][number] for row in rows], model)
        found += _parted(crowd)
    return found


@dataclass(slots=True)
class Trails:
    """The guesses of many plots within their spells, as ``clouds.Trail`` has them of one."""

    theta: Numbers
    habit: Habit
    state: State
    lean: Numbers

    def weight(self) -> Numbers:
        """The weights of the guesses, shape (plots, guesses)."""
        return _shares(self.state.log_weight + self.lean)

    def put(self, rows: Any, part: "Trails") -> None:
        """Take the guesses of some plots from elsewhere."""
        self.theta[rows], self.lean[rows] = part.theta, part.lean
        for name in STATE:
            getattr(self.state, name)[rows] = getattr(part.state, name)
        for name in HABIT:
            getattr(self.habit, name)[rows] = getattr(part.habit, name)


def _learn(crowd: Crowd, rows: Any, spells: Sequence[Spell], model: Model) -> None:
    mean, root = crowd.mean[rows], np.linalg.cholesky(crowd.covariance[rows])
    even = even_normals(model.guesses, ROWS)[:HABITS]
    trails = _begun(_short(mean[:, :, None] + root @ even), spells, model)
    for number in range(max(len(spell.steps) for spell in spells)):
        _follow(trails, spells, number, model)
        read = np.array([_is_read(spell, number) for spell in spells])
        carried = _carried(trails.state.log_weight + trails.lean)
        thin = np.flatnonzero(read & (carried * ENOUGH < model.guesses))
        if thin.size:
            some = [spells[int(row)] for row in thin]
            trails.put(thin, _redrawn(trails, thin, mean, root, some, number, model))
    crowd.mean[rows], crowd.covariance[rows] = _moments(trails.theta, trails.weight())
    crowd.covariance[rows] += changes_of(model)


def _is_read(spell: Spell, number: int) -> bool:
    return number < len(spell.steps) and spell.steps[number].level_cm is not None


def _begun(
    theta: Numbers, spells: Sequence[Spell], model: Model, lean: Numbers | None = None
) -> Trails:
    habit = Habit.of(theta, model.loss_below)
    level, doubt = habit.seen_each(
        _column(spell.level_cm for spell in spells), _column(spell.doubt_cm for spell in spells)
    )
    state = State(level, doubt * doubt, np.zeros_like(level), np.zeros_like(level))
    return Trails(theta, habit, state, np.zeros_like(level) if lean is None else lean)


def _follow(trails: Trails, spells: Sequence[Spell], number: int, model: Model) -> None:
    """Step ``number`` of each spell that has one."""
    steps = [s.steps[number] if number < len(s.steps) else NO_STEP for s in spells]
    told = _told(steps)
    _pass(trails.state, trails.habit, told, model)
    _see(trails.state, trails.habit, told, model, trails.lean)


def _redrawn(
    trails: Trails,
    thin: Any,
    mean: Numbers,
    root: Numbers,
    spells: Sequence[Spell],
    number: int,
    model: Model,
) -> Trails:
    """New guesses of some plots, followed from their spells' starts through step ``number``."""
    even = even_normals(model.guesses, ROWS)[:HABITS]
    logs = trails.state.log_weight[thin] + trails.lean[thin]
    centre, narrow = _tempered(trails.theta[thin], logs, root[thin])
    theta = centre[:, :, None] + narrow @ even
    place = np.linalg.inv(root[thin]) @ (theta - mean[thin][:, :, None])
    lean = 0.5 * (np.sum(even * even, axis=0) - np.einsum("pij,pij->pj", place, place))
    found = _begun(_short(theta), spells, model, _short(lean))
    for each in range(number + 1):
        _follow(found, spells, each, model)
    return found


@dataclass(slots=True)
class Told:
    """One step of each plot, as columns of shape (plots, 1)."""

    days: Numbers
    demand: Numbers
    rain: Numbers
    squares: Numbers
    level: Numbers
    noise: Numbers
    wet: Any
    dry: Any


def _told(steps: Sequence[Step]) -> Told:
    table = np.array(
        [
            (
                step.days,
                step.demand,
                step.rain,
                step.rain_squares,
                step.level_cm or 0.0,
                step.noise_cm,
                step.level_cm is not None and not step.dry,
                step.level_cm is not None and step.dry,
            )
            for step in steps
        ]
    )
    columns = [_short(table[:, [place]]) for place in range(8)]
    days, demand, rain, squares, level, noise, wet, dry = columns
    return Told(days, demand, rain, squares, level, noise, wet > 0, dry > 0)


def _pass(state: State, habit: Habit, told: Told, model: Model) -> None:
    loss = habit.use * told.demand
    loss += habit.seepage * told.days
    state.water = state.water - loss
    loss *= loss
    loss *= model.day_doubt**2 / np.maximum(told.days, 1e-9)
    loss += state.variance
    state.variance = loss
    wet = np.flatnonzero(told.rain)
    if wet.size:
        rain, before = told.rain[wet], state.water[wet]
        risen = habit.rows(wet).rained(before, rain, MM_PER_CM * model.bund_cm)
        rise = (risen - before) / rain
        state.variance[wet] += model.rain_doubt**2 * told.squares[wet] * rise * rise
        state.water[wet] = risen


def _see(state: State, habit: Habit, told: Told, model: Model, lean: Numbers) -> None:
    wet, dry = told.wet, told.dry
    state.variance = state.variance + np.where(wet | dry, state.kept, 0.0)
    if wet.any():
        seen, noise = habit.seen_each(told.level, told.noise)
        after = _copy(state)
        off, spread = placed(after, seen, noise)
        explained = _explained(np.abs(off), after.log_weight + lean, model.doubtful_share)
        correct(after, off, spread, noise, noise / told.noise, explained, model)
        _take(state, after, wet)
    if dry.any():
        edge, noise = habit.seen_each(told.level + DRY_BY_CM, told.noise * DRY_NOISE)
        after = _copy(state)
        place, spread = placed(after, edge, noise)
        correct_dry(after, edge, place, spread, place.max(axis=1, keepdims=True) > -DRY_DOUBTFUL)
        after.kept = np.zeros_like(state.water)
        _take(state, after, dry)


def _explained(far: Numbers, logs: Numbers, share: float) -> Any:
    fits = far < DOUBTFUL
    most = 2 * fits.sum(axis=1) > far.shape[1]
    if most.all():
        return most[:, None]
    weight = np.exp(logs - logs.max(axis=1, keepdims=True))
    enough = (weight * fits).sum(axis=1) >= share * weight.sum(axis=1)
    return (enough | most)[:, None]


def _tempered(theta: Numbers, logs: Numbers, root: Numbers) -> tuple[Numbers, Numbers]:
    share = np.ones((len(logs), 1))
    top = logs.max(axis=1, keepdims=True)
    open_ = np.ones((len(logs), 1), dtype=bool)
    weight = np.empty_like(logs)
    for _ in range(TEMPERINGS):
        share = np.where(open_, share * TEMPER, share)
        tempered = share * (logs - top)
        weight = _shares(tempered)
        open_ = (_carried(tempered) * ENOUGH < logs.shape[1])[:, None]
        if not open_.any():
            break
    centre, spread = _moments(theta, weight)
    covariance = 1.2 * spread + 1e-4 * root @ root.transpose(0, 2, 1)
    return centre, np.asarray(np.linalg.cholesky(covariance), dtype=np.float64)


def _moments(theta: Numbers, weight: Numbers) -> tuple[Numbers, Numbers]:
    mean: Numbers = (theta @ weight[:, :, None])[:, :, 0]
    apart = theta - mean[:, :, None]
    spread: Numbers = (apart * weight[:, None, :]) @ apart.transpose(0, 2, 1)
    return mean.astype(np.float64), spread.astype(np.float64)


def _shares(logs: Numbers) -> Numbers:
    weight: Numbers = np.exp(logs - logs.max(axis=1, keepdims=True))
    weight /= weight.sum(axis=1, keepdims=True)
    return weight


def _carried(logs: Numbers) -> Numbers:
    weight = np.exp(logs - logs.max(axis=1, keepdims=True))
    whole = weight.sum(axis=1)
    found: Numbers = whole * whole / np.einsum("ij,ij->i", weight, weight)
    return found


def _copy(state: State) -> State:
    return State(state.water, state.variance, state.log_weight, state.kept)


def _take(state: State, after: State, where: Any) -> None:
    """The corrected guesses for the plots that were read, the others as they were."""
    everywhere = where.all()
    for name in STATE:
        new = getattr(after, name)
        setattr(state, name, new if everywhere else np.where(where, new, getattr(state, name)))


def _column(values: Any) -> Numbers:
    found: Numbers = _short(np.array([[float(value)] for value in values]))
    return found


def _short(values: Numbers) -> Any:
    """Numbers of seven digits."""
    return values.astype(np.float32)


def _gathered(beliefs: Sequence[Belief]) -> Crowd:
    mean = np.array([belief.mean for belief in beliefs])
    covariance = np.array([belief.covariance for belief in beliefs])
    return Crowd(mean, covariance.reshape(len(beliefs), HABITS, HABITS))


def _parted(crowd: Crowd) -> list[Belief]:
    pairs = zip(crowd.mean, crowd.covariance, strict=True)
    return [Belief(tuple(mean.tolist()), tuple(c.ravel().tolist())) for mean, c in pairs]
