"""Guesses followed through a dry spell: days that pass and readings that correct them.

Each guess follows the water as a Kalman filter would and is weighed by how well it foresaw what was
read. A reading pulls no harder than its surprise allows, and one that nothing explains teaches no
habit, so that one that is wrong cannot steer; what exceeds the surprise widens the doubt for the
next.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from gateway.agronomy.guesses import MM_PER_CM, Habit, Numbers
from gateway.agronomy.model import Model
from gateway.agronomy.spells import Spell, Step

DRY_BY_CM = 0.5  # a tube looks dry from so far above its bottom,
DRY_NOISE = 0.3  # and is mistaken by this share of a reading's noise
DOUBTFUL = 2.5  # standard deviations within which a guess accounts for a reading,
DRY_DOUBTFUL = 4.0  # and for a dry tube, which is hard to misread


@dataclass(slots=True)
class State:
    """The water of each guess in mm, its variance, its log weight, and doubt kept for the next."""

    water: Numbers
    variance: Numbers
    log_weight: Numbers
    kept: Any = None


def start_of(habit: Habit, spell: Spell) -> State:
    """The guesses at the start of a spell."""
    level, doubt = habit.seen(spell.level_cm, spell.doubt_cm)
    nothing = np.zeros_like(habit.use)
    return State(level + nothing, doubt * doubt + nothing, nothing)


def pass_days(state: State, habit: Habit, step: Step, model: Model) -> None:
    """Let the days of a step pass: the crop uses, the soil loses, rain falls, the bund spills."""
    if step.days <= 0:
        return
    loss = habit.use * step.demand
    loss += habit.seepage * step.days
    state.water = state.water - loss
    strayed = loss * loss
    strayed *= model.day_doubt * model.day_doubt / step.days
    strayed += state.variance
    state.variance = strayed
    if step.rain > 0:
        risen = habit.rained(state.water, step.rain, MM_PER_CM * model.bund_cm)
        rise = (risen - state.water) / step.rain
        state.variance += model.rain_doubt**2 * step.rain_squares * rise * rise
        state.water = risen


def see(state: State, habit: Habit, step: Step, model: Model, lean: Any = 0.0) -> bool:
    """Correct the guesses by what was read at the end of a step; tells whether they explain it."""
    assert step.level_cm is not None
    if state.kept is not None:
        state.variance = state.variance + state.kept
    if step.dry:
        edge, noise = habit.seen(step.level_cm + DRY_BY_CM, step.noise_cm * DRY_NOISE)
        place, spread = placed(state, edge, noise)
        explained = bool(place.max() > -DRY_DOUBTFUL)
        correct_dry(state, edge, place, spread, explained)
        return explained
    seen, noise = habit.seen(step.level_cm, step.noise_cm)
    off, spread = placed(state, seen, noise)
    explained = _explained(np.abs(off), state.log_weight, lean, model.doubtful_share)
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
    pull = np.minimum(np.maximum(off, -model.surprise), model.surprise)
    half = off - pull / 2
    half *= pull
    fit = noise / spread
    np.log(fit, out=fit)
    fit -= half
    if explained is not True:
        fit *= explained
    state.log_weight = state.log_weight + fit
    part = state.variance / spread
    state.water = state.water + part * pull
    part *= part
    state.variance = state.variance - part
    unsaid = np.abs(np.subtract(off, pull, out=pull), out=pull)
    unsaid *= spread
    np.minimum(unsaid, per_cm * model.jump_cm, out=unsaid)
    unsaid *= unsaid
    state.kept = unsaid


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
    state.kept = None


def _explained(far: Numbers, logs: Numbers, lean: Any, share: float) -> bool:
    """Whether enough of the guesses, as weighed so far, can account for what was read."""
    fits = far < DOUBTFUL
    if 2 * int(np.count_nonzero(fits)) > far.size:
        return True
    logs = logs + lean
    weight = np.exp(logs - logs.max())
    return bool(weight @ fits >= share * weight.sum())


def _share_below(place: Numbers) -> Numbers:
    """The normal distribution function, to about 3e-4."""
    found: Numbers = 0.5 * (1 + np.tanh(0.7978845608 * (place + 0.044715 * place**3)))
    return found
