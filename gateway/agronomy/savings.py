"""The water account of a plot: what was put on against a flooded twin under the same sky.

The twin has the plot's own soil, crop and rain, is topped up whenever its water stands low and
spills over its bund. It stands for continuous flooding, which may not be how the place is farmed:
the account is never shown without that sentence.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import reduce
from itertools import pairwise

import numpy as np

from gateway.agronomy.advice import Band
from gateway.agronomy.balance import Balance, CropDays, balance_of
from gateway.agronomy.beliefs import ROWS, SEEN, prior_of, theta_of
from gateway.agronomy.case import Case
from gateway.agronomy.correcting import pass_days as pass_step
from gateway.agronomy.correcting import see, start_of
from gateway.agronomy.footing import Growth, Practice
from gateway.agronomy.guesses import MM_PER_CM, Habit, Numbers, even_normals
from gateway.agronomy.learning import learned
from gateway.agronomy.model import Model
from gateway.agronomy.outlook import band
from gateway.agronomy.spells import Sign, Spell, signs_of, spell_until

CAUTION = "Compared with a field kept flooded all season, which may not be the local practice."
LEAST_DRAINED_DAYS = 0.5
DAY_PARTS = 4


@dataclass(frozen=True, slots=True)
class Account:
    """Water in mm from the first flooding on record to the last, each with its doubt.

    ``less_mm`` is the twin's water less the plot's; below zero the plot took more. ``drained`` are
    the days below the surface of each dry spell that fell below it; the spell that runs on after
    the last flooding is not among them. ``caution`` must be shown beside the figures.
    """

    since: date
    until: date
    floodings: int
    rain_mm: float
    put_on_mm: Band
    twin_mm: Band
    less_mm: Band
    drained: tuple[float, ...]
    caution: str = CAUTION


def account(case: Case, calendar: Growth, practice: Practice) -> Account | None:
    """The account of the season's floodings on record; None before the second one."""
    known, model = practice.forecast, practice.forecast.model
    bottom = case.plot.tube_bottom_cm
    bottom = known.tube_bottom_cm if bottom is None else bottom
    began = case.season.established_on if case.season else date.min
    season = [event for event in case.events if event.on >= began]
    signs = signs_of(season, case.as_of.toordinal(), bottom, model)
    floods = [sign for sign in signs if sign.flooded]
    if len(floods) < 2:
        return None
    first, last = int(floods[0].time), int(floods[-1].time)
    crop = CropDays.of(case, calendar.harvest_on, known)
    balance = balance_of(case, first - 1, last + 1, crop, known)
    spells = _closed(signs, floods, balance)
    prior = prior_of(known.soil(case.plot.soil), model)
    theta = theta_of(reduce(lambda b, s: learned(b, s, model), spells, prior), model)
    habit = Habit.of(theta, model.loss_below)
    runs = [_run(habit, spell, model) for spell in spells]
    held = habit.storage * np.exp(model.loss_below_spread * even_normals(model.guesses, ROWS)[SEEN])
    put_on = _put_on(floods[1:], [habit.level(water) for water, _ in runs], held)
    twin = _twin(habit, balance, floods[0].time, floods[-1].time, practice)
    even = np.full(model.guesses, 1 / model.guesses)
    days = [float(np.median(drained)) for _, drained in runs]
    return Account(
        since=date.fromordinal(first),
        until=date.fromordinal(last),
        floodings=len(floods) - 1,
        rain_mm=balance.between(floods[0].time, floods[-1].time)[1],
        put_on_mm=band(put_on, even),
        twin_mm=band(twin, even),
        less_mm=band(twin - put_on, even),
        drained=tuple(each for each in days if each >= LEAST_DRAINED_DAYS),
    )


def _closed(signs: Sequence[Sign], floods: Sequence[Sign], balance: Balance) -> list[Spell]:
    """The spells that ended with a flooding, each up to it."""
    return [
        spell_until([s for s in signs if start.time <= s.time < end.time], end.time, balance)
        for start, end in pairwise(floods)
    ]


def _run(habit: Habit, spell: Spell, model: Model) -> tuple[Numbers, Numbers]:
    """Water in mm at a spell's end, and its days below the surface, by guess."""
    state = start_of(habit, spell)
    drained = np.zeros_like(state.water)
    for step in spell.steps:
        before = state.water
        pass_step(state, habit, step, model)
        fall = np.maximum(before - state.water, 1e-9)
        share = np.where(before <= 0, state.water <= 0, np.clip(-state.water / fall, 0, 1))
        drained += share * step.days
        if step.level_cm is not None:
            see(state, habit, step, model)
    return state.water, drained


def _put_on(floods: Sequence[Sign], before: Sequence[Numbers], held: Numbers) -> Numbers:
    """Water put on in mm by guess: from the level before each flooding to where it came to.

    ``held`` is the water in mm that fills a cm below the surface.
    """
    total = np.zeros_like(held)
    for flood, level in zip(floods, before, strict=True):
        ponded = MM_PER_CM * (flood.level_cm - np.maximum(level, 0.0))
        total += np.maximum(0.0, ponded - held * np.minimum(level, 0.0))
    return total


def _twin(habit: Habit, balance: Balance, start: float, end: float, practice: Practice) -> Numbers:
    """Water in mm by guess that the twin takes between two times, a quarter day at a time."""
    twin, bund = practice.forecast.twin, MM_PER_CM * practice.forecast.model.bund_cm
    water = np.full_like(habit.use, MM_PER_CM * twin.top_up_to_cm)
    taken = np.zeros_like(water)
    parts = max(1, round((end - start) * DAY_PARTS))
    times = np.linspace(start, end, parts + 1)
    for one, other in pairwise(map(float, times)):
        demand, rain, _ = balance.between(one, other)
        water = np.minimum(bund, water + rain)
        water = water - habit.use * demand - habit.seepage * (other - one)
        low = water <= MM_PER_CM * twin.top_up_at_cm
        taken += np.where(low, MM_PER_CM * twin.top_up_to_cm - water, 0.0)
        water = np.where(low, MM_PER_CM * twin.top_up_to_cm, water)
    return taken
