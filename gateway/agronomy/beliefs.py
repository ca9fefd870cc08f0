"""What is known of a plot between its dry spells: a normal belief over how it loses water."""

from functools import lru_cache
from math import log

import numpy as np

from gateway.agronomy.forecast_practice import SoilPrior
from gateway.agronomy.guesses import Numbers, even_normals
from gateway.agronomy.habit import Belief as Belief
from gateway.agronomy.model import Model

HABITS = 4  # seepage, storage, use, rate
ROWS = 8  # the habit's, then rain, days to come, level, reading to come
RAIN, DAYS, LEVEL, SEEN = 4, 5, 6, 7


@lru_cache(maxsize=256)
def prior_of(soil: SoilPrior, model: Model) -> Belief:
    """The belief about a plot of which nothing but its soil is known."""
    mean = (log(soil.seepage_mm_d), log(model.storage_median), 0.0, model.rate_per_cm)
    spreads = (soil.spread, model.storage_spread, model.use_spread, model.rate_spread)
    covariance = np.diag(np.square(spreads))
    shared = model.storage_with_seepage * soil.spread * model.storage_spread
    covariance[0, 1] = covariance[1, 0] = shared
    return belief_of(np.array(mean), covariance)


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


def theta_of(belief: Belief, model: Model) -> Numbers:
    """Guesses of the habit, all of one weight, shape (4, guesses)."""
    even = even_normals(model.guesses, ROWS)[:HABITS]
    found: Numbers = np.array(belief.mean)[:, None] + root_of(belief) @ even
    return found


def root_of(belief: Belief) -> Numbers:
    """The lower root of a belief's covariance."""
    found: Numbers = np.linalg.cholesky(np.reshape(belief.covariance, (HABITS, HABITS)))
    return found


def is_proper(belief: Belief) -> bool:
    """Whether guesses can be drawn from it: a symmetric, positive definite covariance."""
    covariance = np.reshape(belief.covariance, (HABITS, HABITS))
    if not np.allclose(covariance, covariance.T):
        return False
    return bool(np.linalg.eigvalsh(covariance).min() > 0)


def belief_of(mean: Numbers, covariance: Numbers) -> Belief:
    """A belief from arrays of shape (4,) and (4, 4)."""
    return Belief(tuple(mean.tolist()), tuple(covariance.ravel().tolist()))
