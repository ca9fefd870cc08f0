"""Guesses that stand on the last level seen or set: the ground of the dates that are told.

What the last reading taught about the plot's habit is left out here. A reading just below the
surface also tells that the plot is not one that falls fast, which would make its date later than
that of a shallower reading; told dates must never get later by a deeper reading.
"""

import numpy as np

from gateway.agronomy.beliefs import LEVEL, ROWS, SEEN, Belief
from gateway.agronomy.clouds import Cloud, passed, trail_of
from gateway.agronomy.correcting import State, pass_days
from gateway.agronomy.guesses import even_normals
from gateway.agronomy.model import Model
from gateway.agronomy.outlook import band
from gateway.agronomy.spells import Spell, Step


def anchored(belief: Belief, spell: Spell, model: Model) -> Cloud:
    """The guesses at the end of a spell, each started from the last level with its noise."""
    read = spell.read
    after = spell.steps[len(read.steps) :]
    if not read.steps:
        start = Step(0.0, 0.0, 0.0, 0.0, spell.level_cm, noise_cm=spell.doubt_cm)
        return _from(passed(trail_of(belief, read, model), (), model), start, after, model)
    before, last = read.before, read.steps[-1]
    between = (*read.steps[len(before.steps) : -1], last._replace(level_cm=None, dry=False))
    cloud = passed(trail_of(belief, before, model), between, model)
    return _from(cloud, _within_reach(cloud, last, model), after, model)


def _from(cloud: Cloud, seen: Step, after: tuple[Step, ...], model: Model) -> Cloud:
    assert seen.level_cm is not None
    even = even_normals(model.guesses, ROWS)[SEEN]
    strayed = seen.noise_cm * (np.minimum(even, 0.0) if seen.dry else even)
    water = cloud.habit.water_of(seen.level_cm + strayed)
    state = State(water, np.zeros_like(water), water)
    for step in after:
        pass_days(state, cloud.habit, step, model)
    return Cloud(cloud.theta, cloud.habit, state.water, state.variance, cloud.weight)


def _within_reach(cloud: Cloud, seen: Step, model: Model) -> Step:
    """A reading as far from what was foreseen as it may be and still be right."""
    assert seen.level_cm is not None
    even = even_normals(model.guesses, ROWS)[LEVEL]
    foreseen = band(cloud.habit.level(cloud.water + np.sqrt(cloud.variance) * even), cloud.weight)
    low, high = foreseen.p10 - model.reach_cm, foreseen.p90 + model.reach_cm
    return seen._replace(level_cm=min(max(seen.level_cm, low), high))
