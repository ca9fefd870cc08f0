"""The posterior of a plot as it is kept between texts.

It is a cache and nothing else: its sign tells all that it follows from, so one that no longer
follows from book, weather and model is reckoned anew, and a replay gives the very same.
"""

from collections.abc import Sequence
from functools import lru_cache
from hashlib import blake2b
from struct import pack
from typing import Final

import numpy as np

from gateway.agronomy.balance import Balance
from gateway.agronomy.beliefs import HABITS, belief_of, changes_of
from gateway.agronomy.habit import Belief, Posterior
from gateway.agronomy.learning import learned
from gateway.agronomy.model import Model
from gateway.agronomy.recent import Recent
from gateway.agronomy.spells import Sign, spell_until

SIGN_BYTES: Final = 16
REMEMBERED: Final = 4096  # posteriors of some 500 bytes each

Groups = Sequence[Sequence[Sign]]

# The latest posteriors by their sign.
LATEST: Recent[str, Posterior] = Recent(REMEMBERED)


def taught(
    prior: Belief, past: Groups, balance: Balance, model: Model, kept: Posterior | None
) -> Posterior | None:
    """What the past spells taught, as kept where its sign holds; None where there was none.

    What is kept of all of them but the last spares reckoning too.
    """
    if not past:
        return None
    sign = sign_of(prior, past, balance, model)
    if kept is not None and kept.sign == sign:
        return kept
    before = sign_of(prior, past[:-1], balance, model)
    if kept is not None and kept.sign == before:
        return Posterior(sign, _after(kept.belief, past[-1], balance, model))
    found = LATEST.get(sign)
    if found is None:
        known = LATEST.get(before) if past[1:] else None
        belief = prior if known is None else known.belief
        for group in past if known is None else past[-1:]:
            belief = _after(belief, group, balance, model)
        found = Posterior(sign, belief)
        LATEST.put(sign, found)  # nothing that rests on what was kept elsewhere
    return found


def _after(belief: Belief, group: Sequence[Sign], balance: Balance, model: Model) -> Belief:
    return learned(belief, spell_until(group, group[-1].time, balance), model)


def next_season(belief: Belief, model: Model) -> Belief:
    """What is still known of a plot in its next season: the soil is puddled anew in between."""
    covariance = np.reshape(belief.covariance, (HABITS, HABITS))
    return belief_of(
        np.array(belief.mean), covariance + changes_of(model) * model.changes_between_seasons
    )


def sign_of(prior: Belief, past: Groups, balance: Balance, model: Model) -> str:
    """A digest of all numbers that a posterior follows from."""
    digest = blake2b(_sign_of_model(model), digest_size=SIGN_BYTES)
    digest.update(_packed((*prior.mean, *prior.covariance)))
    numbers: list[float] = [balance.first]
    for group in past:
        for s in group:
            numbers += (s.time, s.level_cm, s.doubt_cm, s.flooded, s.dry)
    digest.update(_packed(numbers))
    until = int(past[-1][-1].time) - balance.first + 2 if past else 0
    for sums in (balance.demand, balance.rain, balance.squares):
        digest.update(_packed(sums[:until]))
    return digest.hexdigest()


def _packed(numbers: Sequence[float]) -> bytes:
    return pack(f"<{len(numbers)}d", *numbers)


@lru_cache(maxsize=64)
def _sign_of_model(model: Model) -> bytes:
    return repr(model).encode()
