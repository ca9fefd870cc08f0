"""Many plots learned at once hold the beliefs that each would have alone."""

from functools import reduce
from random import Random

import pytest

from gateway.agronomy.beliefs import Belief, prior_of
from gateway.agronomy.crowd import CHUNK, learned_by_many
from gateway.agronomy.forecast_practice import SoilPrior
from gateway.agronomy.learning import learned
from gateway.agronomy.spells import Spell, Step
from tests.agronomy.books import forecast


def spell(rng: Random, steps: int) -> Spell:
    """A spell that falls, with rain, heavy rain, dry tubes, gross errors and unread days in it."""
    level, told = rng.uniform(3, 6), []
    for _ in range(steps):
        level -= rng.uniform(0.5, 6)
        rain = rng.choice((0.0, 0.0, 3.0, 40.0))
        seen = None if rng.random() < 0.2 else level + rng.gauss(0, 1) + rng.choice((0, 0, 0, 12))
        dry = seen is not None and seen < -18
        told.append(
            Step(rng.uniform(0, 4), 9.0, rain, rain * rain, -20.0 if dry else seen, dry, 1.1)
        )
    return Spell(rng.choice((5.0, 0.4, -3.0)), 1.0, tuple(told))


def test_many_at_once_learn_what_each_learns_alone() -> None:
    model, rng = forecast().model, Random(8)
    priors = [prior_of(SoilPrior(s, 0.55, False), model) for s in (2.0, 5.0, 12.0)]
    beliefs = [rng.choice(priors) for _ in range(CHUNK + 9)]
    books = [[spell(rng, rng.randint(0, 4)) for _ in range(rng.randint(0, 5))] for _ in beliefs]
    together = learned_by_many(beliefs, books, model)
    for start, book, found in zip(beliefs, books, together, strict=True):

        def after(belief: Belief, each: Spell) -> Belief:
            return learned(belief, each, model)

        alone = reduce(after, book, start)
        assert found.mean == pytest.approx(alone.mean, rel=1e-3, abs=1e-4)
        assert found.covariance == pytest.approx(alone.covariance, rel=1e-2, abs=1e-5)


def test_no_plots_have_no_beliefs() -> None:
    assert learned_by_many([], [], forecast().model) == []
