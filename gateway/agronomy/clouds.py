"""The guesses of a dry spell, followed from its flooding to now.

What the readings so far made of the guesses is remembered by its own values, so that one more
reading costs one more step; a replay from the start gives the same to the bit.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from gateway.agronomy.beliefs import HABITS, ROWS, Belief, root_of
from gateway.agronomy.correcting import State, pass_days, see, start_of
from gateway.agronomy.guesses import Habit, Numbers, even_normals
from gateway.agronomy.model import Model
from gateway.agronomy.recent import Recent
from gateway.agronomy.spells import Spell

TEMPER = 0.6
TEMPERINGS = 8
ENOUGH = 6  # one in so many guesses must carry weight, or the guesses are drawn anew
REMEMBERED = 192  # spells of some 25 kB each


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


@dataclass(frozen=True, slots=True)
class Trail:
    """Guesses right after a reading; ``lean`` is the log weight that redrawn guesses start with."""

    theta: Numbers
    habit: Habit
    state: State
    lean: Any = 0.0
    doubted: bool = False
    strays: int = 0

    def state_now(self) -> State:
        """The state, to be moved on; its arrays are never changed in place."""
        state = self.state
        return State(state.water, state.variance, state.log_weight, state.kept)

    @property
    def logs(self) -> Numbers:
        """The log weights."""
        found: Numbers = self.state.log_weight + self.lean
        return found

    @property
    def weight(self) -> Numbers:
        """The weights, which sum to 1."""
        return shares(self.logs)


# The latest trails by the values that they follow from.
MEMORY: Recent[Any, Trail] = Recent(REMEMBERED)


def cloud_of(belief: Belief, spell: Spell, model: Model) -> Cloud:
    """The weighted guesses at the end of a spell."""
    read = spell.read
    trail = trail_of(belief, read, model, remember=True)
    return passed(trail, spell.steps[len(read.steps) :], model)


def passed(trail: Trail, steps: Any, model: Model) -> Cloud:
    """The guesses after steps in which nothing was read."""
    state = trail.state_now()
    for step in steps:
        pass_days(state, trail.habit, step, model)
    return Cloud(
        trail.theta,
        trail.habit,
        state.water,
        state.variance,
        trail.weight,
        trail.doubted,
        trail.strays,
    )


def trail_of(belief: Belief, spell: Spell, model: Model, remember: bool = False) -> Trail:
    """The guesses after a spell that ends with a reading, or with its flooding alone."""
    found = MEMORY.get((belief, spell, model))
    if found is not None:
        return found
    if not remember or not spell.steps:
        found = _replayed(belief, spell, model)
    else:
        before, count = spell.before, len(spell.steps)
        start = trail_of(belief, before, model)
        MEMORY.put((belief, before, model), start)
        found = _onward(start, belief, spell, len(before.steps), count, model)
    if remember:
        MEMORY.put((belief, spell, model), found)
    return found


def _replayed(belief: Belief, spell: Spell, model: Model) -> Trail:
    trail, done = _begun(belief, spell, model), 0
    for number, step in enumerate(spell.steps, start=1):
        if step.level_cm is not None:
            trail, done = _onward(trail, belief, spell, done, number, model), number
    return trail


def _begun(belief: Belief, spell: Spell, model: Model) -> Trail:
    even = even_normals(model.guesses, ROWS)[:HABITS]
    theta = np.array(belief.mean)[:, None] + root_of(belief) @ even
    habit = Habit.of(theta, model.loss_below)
    return Trail(theta, habit, start_of(habit, spell))


def _onward(
    trail: Trail, belief: Belief, spell: Spell, done: int, until: int, model: Model
) -> Trail:
    """The trail after the steps from number ``done`` on; drawn anew where few guesses carry it."""
    found = _followed(trail, spell.steps[done:until], model)
    if carried(found.logs) * ENOUGH >= model.guesses:
        return found
    return _followed(_redrawn(found, belief, spell, model), spell.steps[:until], model)


def _followed(trail: Trail, steps: Any, model: Model) -> Trail:
    state = trail.state_now()
    doubted, strays = trail.doubted, trail.strays
    for step in steps:
        pass_days(state, trail.habit, step, model)
        if step.level_cm is not None:
            doubted = not see(state, trail.habit, step, model, trail.lean)
            strays += doubted
    return Trail(trail.theta, trail.habit, state, trail.lean, doubted, strays)


def _redrawn(trail: Trail, belief: Belief, spell: Spell, model: Model) -> Trail:
    """New guesses at the spell's start, around those that foresaw its readings best."""
    even = even_normals(model.guesses, ROWS)[:HABITS]
    root = root_of(belief)
    centre, narrow = _tempered(trail.theta, trail.logs, root)
    theta = centre[:, None] + narrow @ even
    place = np.linalg.inv(root) @ (theta - np.array(belief.mean)[:, None])
    lean = 0.5 * np.add.reduce(even * even - place * place)
    habit = Habit.of(theta, model.loss_below)
    return Trail(theta, habit, start_of(habit, spell), lean)


def _tempered(theta: Numbers, logs: Numbers, root: Numbers) -> tuple[Numbers, Numbers]:
    """Centre and root of a covariance around the guesses that foresaw the readings best."""
    share = 1.0
    for _ in range(TEMPERINGS):
        share *= TEMPER
        if carried(share * logs) * ENOUGH >= logs.size:
            break
    weight = shares(share * logs)
    centre = theta @ weight
    apart = theta - centre[:, None]
    covariance = 1.2 * (apart * weight) @ apart.T + 1e-4 * root @ root.T
    return centre, np.asarray(np.linalg.cholesky(covariance), dtype=np.float64)


def shares(logs: Numbers) -> Numbers:
    """Log weights as weights that sum to 1."""
    weight: Numbers = np.exp(logs - np.maximum.reduce(logs))
    weight /= np.add.reduce(weight)
    return weight


def carried(logs: Numbers) -> float:
    """How many guesses carry the weight, as if they carried it evenly."""
    weight = np.exp(logs - np.maximum.reduce(logs))
    whole = float(np.add.reduce(weight))
    return whole * whole / float(weight @ weight)
