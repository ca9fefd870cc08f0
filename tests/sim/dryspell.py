"""How many looks a dry-down takes, and how many refloods come too late or too early.

``python -m tests.sim.dryspell [--plots N] [--spells N] [--seed N] [--seeds N] [--truth NAME]`` lets
invented plots dry down under a dry and a rainy sky. They are read every day, every second, every
third day, and when ``gateway advise`` asks for it; the gateway learns of them by the command's pipe
alone. Every reading counts, first dry-downs included. Exits with 1 where an aim is missed.

One seed is too small to tell 6 % of its refloods from 7: its own interval is some 1.7 % wide either
way. The default pools ``--seeds`` of them, from ``--seed`` on, and says of each aim how sure it is.
"""

import argparse
import sys
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import sqrt
from typing import Any

from tests.sim import other
from tests.sim.pipe import Pipe
from tests.sim.truth import RAINY, START, Trial, trials

THRESHOLD = -15.0
LATE, EARLY = THRESHOLD - 3, THRESHOLD + 4
WATERING = {"reflood", "reflood-after-nitrogen", "top-up"}
MOST_LATE = MOST_EARLY = 0.06
MOST_READINGS = {"dry": 2.3, "rainy": 3.0}
TRUTHS = {"first": trials, "other": other.trials}
FALLS = ((0.0, 2.0), (2.0, 3.5), (3.5, 5.0), (5.0, 7.0))


@dataclass(frozen=True, slots=True)
class DryDown:
    """One dry-down: readings taken, the true level when it was reflooded, and its place."""

    readings: int
    level_cm: float
    soil: str
    fall_cm_d: float
    number: int
    plot: int = 0


Look = Callable[[Trial], tuple[bool, int]]


def by_habit(every: int) -> Look:
    """Reads every so many days and refloods at the threshold. Gives (reflood, next day)."""

    def look(plot: Trial) -> tuple[bool, int]:
        return plot.read() <= THRESHOLD, plot.day + every

    return look


def by_advice(pipe: Pipe) -> Look:
    """Reads when the gateway asks, and refloods when it says so."""

    def look(plot: Trial) -> tuple[bool, int]:
        plot.read()
        advice = pipe.advise(case_of(plot))
        return advice["action"] in WATERING, next_day(plot, advice)

    return look


def case_of(plot: Trial) -> dict[str, Any]:
    """What the office knows of a plot today, as a line for the pipe."""
    return {
        "as_of": plot.on(plot.day),
        "plot": {"code": "H07", "area_ha": 0.4, "soil": plot.soil, "bars": []},
        "season": {
            "method": "transplanted",
            "established_on": plot.on(-25),
            "sown_on": plot.on(-46),
            "duration_days": 300,
        },
        "events": [{"on": plot.on(-10), "kind": "weeds", "amount": "few"}, *plot.events],
        "weather": plot.weather(),
    }


def next_day(plot: Trial, advice: dict[str, Any]) -> int:
    """The day of the next look, tomorrow at the soonest."""
    asked = date.fromisoformat(advice["next_reading_on"])
    return max(plot.day + 1, (asked - START) // timedelta(days=1))


def dry_downs(
    plot: Trial, look: Look, first: Callable[[Trial], int], count: int, number: int = 0
) -> list[DryDown]:
    """So many dry-downs of plot ``number``; ``first`` tells the first look after a flooding."""
    found: list[DryDown] = []
    readings, due = 0, first(plot)
    while len(found) < count and plot.day < len(plot.seen) - 1:
        plot.pass_day()
        if plot.day < due:
            continue
        readings += 1
        reflood, due = look(plot)
        if reflood:
            level = plot.field.level_cm
            place = (plot.soil, plot.fall_cm_d, len(found), number)
            found.append(DryDown(readings, level, *place))
            readings = 0
            plot.flood()
            due = first(plot)
    return found


def after_habit(every: int) -> Callable[[Trial], int]:
    return lambda plot: plot.day + every


def after_advice(pipe: Pipe) -> Callable[[Trial], int]:
    return lambda plot: next_day(plot, pipe.advise(case_of(plot)))


def interval(values: Iterable[tuple[int, float]]) -> tuple[float, float]:
    """Mean and half of its 95 % interval, of values by plot: those of one plot hang together."""
    seen = list(values)
    mean = sum(value for _, value in seen) / len(seen)
    off: dict[int, float] = defaultdict(float)
    for plot, value in seen:
        off[plot] += value - mean
    spread = sum(each * each for each in off.values()) * len(off) / max(1, len(off) - 1)
    return mean, 1.96 * sqrt(spread) / len(seen)


def row(name: str, found: list[DryDown]) -> str:
    """One line of the table: readings, late and early refloods with their 95 % intervals."""
    if not found:
        return f"{name:<28} no dry-down"
    readings, late, early = figures(found)
    shares = "".join(f" {100 * mean:7.1f} +-{100 * half:4.1f}" for mean, half in (late, early))
    return f"{name:<28}{len(found):>6} {readings[0]:6.2f} +-{readings[1]:4.2f}{shares}"


def figures(found: list[DryDown]) -> tuple[tuple[float, float], ...]:
    """Readings a dry-down, share too late, share too early, each with its interval."""
    return (
        interval((each.plot, each.readings) for each in found),
        interval((each.plot, float(each.level_cm < LATE)) for each in found),
        interval((each.plot, float(each.level_cm > EARLY)) for each in found),
    )


@dataclass(frozen=True, slots=True)
class Plan:
    """Plots a seed, dry-downs a plot, the seeds to pool, and how plots and skies are drawn."""

    plots: int
    spells: int
    seeds: Sequence[int]
    truth: Callable[[int, float, int], Iterator[Trial]] = trials

    def of(self, seed: int, rainy: float) -> Iterator[tuple[int, Trial]]:
        """The plots of a seed, numbered through all seeds."""
        yield from enumerate(self.truth(self.plots, rainy, seed), start=seed * self.plots)


def run(sky: str, plan: Plan, pipe: Pipe) -> list[DryDown]:
    """Print the table of one sky; gives the dry-downs under advice."""
    print(f"\n{sky} sky{'':<20} spells  readings      > 3 cm late     > 4 cm early")
    for every in (1, 2, 3):
        by = (by_habit(every), after_habit(every))
        print(
            row(
                f"every {every} d",
                [each for seed in plan.seeds for each in one(sky, plan, seed, by)],
            )
        )
    ours: list[DryDown] = []
    for seed in plan.seeds:
        found = one(sky, plan, seed, (by_advice(pipe), after_advice(pipe)))
        print(row(f"  seed {seed} alone", found), flush=True)
        ours += found
    print(row("gateway advise", ours))
    parts(ours)
    return ours


def one(sky: str, plan: Plan, seed: int, by: tuple[Look, Callable[[Trial], int]]) -> list[DryDown]:
    """The dry-downs of one seed's plots."""
    rainy = RAINY if sky == "rainy" else 0.0
    return [
        each
        for number, plot in plan.of(seed, rainy)
        for each in dry_downs(plot, *by, plan.spells, number)
    ]


def parts(ours: list[DryDown]) -> None:
    """Print the rows by soil, by rate of fall, and for first and later dry-downs."""
    for soil in dict.fromkeys(each.soil for each in ours):
        print(row(f"  {soil}", [each for each in ours if each.soil == soil]))
    for low, high in FALLS:
        some = [each for each in ours if low <= each.fall_cm_d < high]
        print(row(f"  falls {low:g} to {high:g} cm/d", some))
    print(row("  first dry-down", [each for each in ours if each.number == 0]))
    print(row("  third and later", [each for each in ours if each.number > 1]))


@dataclass(frozen=True, slots=True)
class Aim:
    """An aim, what came of it, and half of its 95 % interval, all as shares or counts."""

    name: str
    most: float
    mean: float
    half: float
    shape: str

    @property
    def missed(self) -> bool:
        """Whether the mean lies past the aim."""
        return self.mean > self.most

    @property
    def sure(self) -> bool:
        """Whether the interval leaves the aim out."""
        return abs(self.mean - self.most) > self.half

    def __str__(self) -> str:
        mean, half, most = (f"{each:{self.shape}}" for each in (self.mean, self.half, self.most))
        words = "missed" if self.missed else "met"
        doubt = (
            "" if self.sure else ", but so few dry-downs cannot tell: the interval holds the aim"
        )
        return f"{words}: {self.name} {mean} +-{half}, aim {most}{doubt}"


def aims(sky: str, ours: list[DryDown]) -> list[Aim]:
    """What came of the aims under a sky."""
    readings, late, early = figures(ours)
    return [
        Aim(f"{sky}, readings", MOST_READINGS[sky], *readings, ".2f"),
        Aim(f"{sky}, too late", MOST_LATE, *late, ".1%"),
        Aim(f"{sky}, too early", MOST_EARLY, *early, ".1%"),
    ]


def main(words: list[str] | None = None) -> int:
    """Run the simulation; whether an aim was missed decides the exit."""
    known = argparse.ArgumentParser(description=__doc__)
    known.add_argument("--plots", type=int, default=120)
    known.add_argument("--spells", type=int, default=8)
    known.add_argument("--seed", type=int, default=1, help="the first of them")
    known.add_argument("--seeds", type=int, default=5, help="how many are pooled")
    known.add_argument("--truth", choices=sorted(TRUTHS), default="first")
    chosen = known.parse_args(words)
    seeds = range(chosen.seed, chosen.seed + chosen.seeds)
    plan = Plan(chosen.plots, chosen.spells, seeds, TRUTHS[chosen.truth])
    print(f"{plan.plots} plots a seed, {plan.spells} dry-downs each, {chosen.truth} truth")
    print(f"seeds {seeds[0]} to {seeds[-1]} pooled; intervals of 95 %, by plot")
    with Pipe() as pipe:
        found = {sky: run(sky, plan, pipe) for sky in MOST_READINGS}
    told = [aim for sky, ours in found.items() for aim in aims(sky, ours)]
    print("\n" + "\n".join(map(str, told)))
    return int(any(aim.missed for aim in told))


if __name__ == "__main__":
    sys.exit(main())
