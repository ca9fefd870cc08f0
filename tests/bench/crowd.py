"""Many plots learned at once, beside one after the other.

``python -m tests.bench.crowd PLOTS`` prints plots a second of both as a JSON line.
"""

import json
import sys
import time
from collections.abc import Iterator
from functools import reduce
from math import exp
from random import Random

from gateway.agronomy.beliefs import Belief, prior_of
from gateway.agronomy.crowd import learned_by_many
from gateway.agronomy.forecast_practice import ForecastPractice
from gateway.agronomy.learning import learned
from gateway.agronomy.spells import Spell, Step
from gateway.flowfiles.rules import load_rulebook
from gateway.settings import shipped

READINGS = (4, 3, 3)  # ten in three dry-downs
TOGETHER = 5_000  # books held in memory at a time
ALONE = 300  # plots learned one after the other, for the ratio


def book(rng: Random) -> list[Spell]:
    """Three dry-downs of a plot with its own rate of fall, read with noise of a cm."""
    fall, spells = 3 * exp(rng.gauss(0, 0.4)), []
    for count in READINGS:
        steps = []
        for number in range(1, count + 1):
            days = 9.0 / count
            level = 5 - fall * days * number * 0.6 + rng.gauss(0, 1)
            steps.append(Step(days, 5.5 * days, 0.0, 0.0, float(round(level)), noise_cm=1.05))
        spells.append(Spell(5.0, 1.0, tuple(steps)))
    return spells


def priors(known: ForecastPractice) -> list[Belief]:
    """The beliefs that the soils begin with."""
    return [prior_of(soil, known.model) for soil in known.soils.values()]


def together(plots: int, known: ForecastPractice, rng: Random) -> float:
    """Plots a second, the making of the books left out."""
    starts, took = priors(known), 0.0
    for count in parts(plots):
        books = [book(rng) for _ in range(count)]
        beliefs = [starts[n % len(starts)] for n in range(count)]
        began = time.process_time()
        found = learned_by_many(beliefs, books, known.model)
        took += time.process_time() - began
        assert len(found) == count
    return plots / took


def parts(plots: int) -> Iterator[int]:
    """The plots in parts that fit into memory."""
    yield from [TOGETHER] * (plots // TOGETHER)
    if plots % TOGETHER:
        yield plots % TOGETHER


def alone(known: ForecastPractice, rng: Random) -> float:
    """Plots a second, one after the other."""
    starts = priors(known)
    books = [book(rng) for _ in range(ALONE)]
    began = time.process_time()
    for number, spells in enumerate(books):
        reduce(
            lambda belief, spell: learned(belief, spell, known.model),
            spells,
            starts[number % len(starts)],
        )
    return ALONE / (time.process_time() - began)


def main() -> None:
    """Measure and print."""
    known = load_rulebook(shipped("flows")).practice.forecast
    found = {
        "many": together(int(sys.argv[1]), known, Random(1)),
        "alone": alone(known, Random(2)),
    }
    print(json.dumps(found), flush=True)


if __name__ == "__main__":
    main()
