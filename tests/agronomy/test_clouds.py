"""What is remembered of a spell is what a replay from its start would give, to the bit."""

from random import Random

import numpy as np
import pytest

from gateway.agronomy.beliefs import prior_of
from gateway.agronomy.clouds import MEMORY, Trail, cloud_of, trail_of
from gateway.agronomy.forecast_practice import SoilPrior
from gateway.agronomy.learning import learned
from gateway.agronomy.posterior import LATEST
from gateway.agronomy.recent import Recent
from gateway.agronomy.spells import Spell
from tests.agronomy.books import day, estimated, falling, forecast, reading
from tests.agronomy.test_crowd import spell as any_spell

SOIL = SoilPrior(5.0, 0.55, False)


def parts_of(whole: Spell) -> list[Spell]:
    """A spell as it grew, step by step."""
    count = len(whole.steps)
    return [Spell(whole.level_cm, whole.doubt_cm, whole.steps[:n]) for n in range(count + 1)]


@pytest.mark.parametrize("seed", range(12))
def test_guesses_grown_reading_by_reading_are_those_of_a_replay(seed: int) -> None:
    model, whole = forecast().model, any_spell(Random(seed), 9)
    belief = prior_of(SOIL, model)
    MEMORY.clear()
    grown = [cloud_of(belief, part, model) for part in parts_of(whole)]
    for part, known in zip(parts_of(whole), grown, strict=True):
        MEMORY.clear()
        again = cloud_of(belief, part, model)
        assert np.array_equal(again.theta, known.theta)
        assert np.array_equal(again.water, known.water)
        assert np.array_equal(again.variance, known.variance)
        assert np.array_equal(again.weight, known.weight)
        assert (again.doubted, again.strays) == (known.doubted, known.strays)


def test_guesses_are_drawn_anew_where_few_of_them_carry_the_weight() -> None:
    """Otherwise the test above would prove nothing for redrawn guesses."""
    model, rng = forecast().model, Random(3)
    spells = [any_spell(rng, 9).read for _ in range(30)]
    trails = [trail_of(prior_of(SOIL, model), each, model) for each in spells]
    assert any(np.ndim(trail.lean) for trail in trails)


def test_an_estimate_with_everything_remembered_is_the_estimate_from_nothing() -> None:
    book = [*falling(0, 4, 2, 0, -4, -9, -15), *falling(12, 4, 2, -1, -5, -10)]
    for count in range(1, len(book)):
        estimated(30, book[:count])
    known = estimated(30, book)
    MEMORY.clear()
    LATEST.clear()
    learned.cache_clear()
    assert estimated(30, book) == known
    assert estimated(30, [*book, reading(23, -12)]) != known
    assert known.next_reading_on <= day(37)


def test_what_was_not_asked_for_longest_is_forgotten_first() -> None:
    model = forecast().model
    belief = prior_of(SOIL, model)
    trail: Trail = trail_of(belief, Spell(5.0, 1.0, ()), model)
    memory = Recent(2)
    memory.put("a", trail)
    memory.put("b", trail)
    assert memory.get("a") is trail
    memory.put("c", trail)
    assert memory.get("b") is None
    assert memory.get("a") is memory.get("c") is trail
