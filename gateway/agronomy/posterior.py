"""The posterior of a plot as it is kept between texts.

It is a cache and nothing else: its sign tells all that it follows from, so one that no longer
follows from book, weather and model is reckoned anew, and a replay gives the very same.
"""

from collections.abc import Sequence
from functools import lru_cache, reduce
from hashlib import blake2b
from struct import pack
from typing import Final

import numpy as np

from gateway.agronomy.beliefs import HABITS, belief_of, changes_of
from gateway.agronomy.habit import Belief, Posterior
from gateway.agronomy.learning import learned
from gateway.agronomy.model import Model
from gateway.agronomy.spells import Spell, Step

SIGN_BYTES: Final = 16
NOT_READ: Final = 1e9


def taught(
    prior: Belief, past: Sequence[Spell], model: Model, kept: Posterior | None
) -> Posterior | None:
    """What the past spells taught, as kept where its sign holds; None where there was none."""
    if not past:
        return None
    sign = sign_of(prior, past, model)
    if kept is not None and kept.sign == sign:
        return kept
    return Posterior(sign, reduce(lambda b, spell: learned(b, spell, model), past, prior))


def next_season(belief: Belief, model: Model) -> Belief:
    """What is still known of a plot in its next season: the soil is puddled anew in between."""
    covariance = np.reshape(belief.covariance, (HABITS, HABITS))
    return belief_of(
        np.array(belief.mean), covariance + changes_of(model) * model.changes_between_seasons
    )


def sign_of(prior: Belief, past: Sequence[Spell], model: Model) -> str:
    """A digest of all numbers that a posterior follows from."""
    digest = blake2b(_sign_of_model(model), digest_size=SIGN_BYTES)
    digest.update(_packed(*prior.mean, *prior.covariance))
    for spell in past:
        digest.update(_packed(spell.level_cm, spell.doubt_cm, len(spell.steps)))
        for step in spell.steps:
            digest.update(_of_step(step))
    return digest.hexdigest()


def _of_step(step: Step) -> bytes:
    level = NOT_READ if step.level_cm is None else step.level_cm
    sums = (step.days, step.demand, step.rain, step.rain_squares)
    return _packed(*sums, level, step.dry, step.noise_cm)


def _packed(*numbers: float) -> bytes:
    return pack(f"<{len(numbers)}d", *numbers)


@lru_cache(maxsize=64)
def _sign_of_model(model: Model) -> bytes:
    return repr(model).encode()
