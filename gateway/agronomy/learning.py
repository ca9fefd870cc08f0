"""Learning a plot's habit from its dry spells, one after the other.

Between spells what is known of a plot is a normal belief over its habit: four means and their
covariance. Within a spell it is spread out over guesses that the readings weigh.
"""

from functools import lru_cache

from gateway.agronomy.beliefs import Belief, belief_of, changes_of
from gateway.agronomy.clouds import trail_of
from gateway.agronomy.model import Model
from gateway.agronomy.spells import Spell


@lru_cache(maxsize=2_000)
def learned(belief: Belief, spell: Spell, model: Model) -> Belief:
    """The belief after a spell, with room for what may change until the next."""
    if not spell.told:
        return belief
    trail = trail_of(belief, spell.read, model)
    weight = trail.weight
    mean = trail.theta @ weight
    apart = trail.theta - mean[:, None]
    return belief_of(mean, (apart * weight) @ apart.T + changes_of(model))
