"""How many looks a dry-down takes, and how many refloods come too late or too early.

``python -m tests.sim.dryspell [--plots N] [--spells N] [--seed N]`` lets invented plots dry down
under a dry and a rainy sky. They are read every day, every second, every third day, and when
``gateway advise`` asks for it; the gateway learns of them by the command's pipe alone. Every
reading counts, first dry-downs included. Exits with 1 where an aim is missed.
"""

import argparse
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import sqrt
from typing import Any

from tests.sim.pipe import Pipe
from tests.sim.truth import RAINY, START, Trial, trials

THRESHOLD = -15.0
LATE, EARLY = THRESHOLD - 3, THRESHOLD + 4
WATERING = {"reflood", "reflood-after-nitrogen", "top-up"}
MOST_LATE = MOST_EARLY = 0.06
MOST_READINGS = {"dry": 2.3, "rainy": 3.0}
FALLS = ((0.0, 2.0), (2.0, 3.5), (3.5, 5.0), (5.0, 7.0))


@dataclass(frozen=True, slots=True)
class DryDown:
    """One dry-down: readings taken, the true level when it was reflooded, and its place."""

    readings: int
    level_cm: float
    soil: str
    fall_cm_d: float
    number: int


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


def dry_downs(plot: Trial, look: Look, first: Callable[[Trial], int], count: int) -> list[DryDown]:
    """So many dry-downs of a plot; ``first`` tells the first look after a flooding."""
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
            found.append(DryDown(readings, level, plot.soil, plot.fall_cm_d, len(found)))
            readings = 0
            plot.flood()
            due = first(plot)
    return found


def after_habit(every: int) -> Callable[[Trial], int]:
    return lambda plot: plot.day + every


def after_advice(pipe: Pipe) -> Callable[[Trial], int]:
    return lambda plot: next_day(plot, pipe.advise(case_of(plot)))


def interval(values: Iterable[float]) -> tuple[float, float]:
    """Mean and half of its 95 % interval."""
    seen = list(values)
    mean = sum(seen) / len(seen)
    variance = sum((value - mean) ** 2 for value in seen) / max(1, len(seen) - 1)
    return mean, 1.96 * sqrt(variance / len(seen))


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
        interval(each.readings for each in found),
        interval(float(each.level_cm < LATE) for each in found),
        interval(float(each.level_cm > EARLY) for each in found),
    )


def run(sky: str, plots: int, spells: int, seed: int, pipe: Pipe) -> list[DryDown]:
    """Print the table of one sky; gives the dry-downs under advice."""
    rainy = RAINY if sky == "rainy" else 0.0
    print(f"\n{sky} sky{'':<20} spells  readings      > 3 cm late     > 4 cm early")
    for every in (1, 2, 3):
        read = [
            each
            for plot in trials(plots, rainy, seed)
            for each in dry_downs(plot, by_habit(every), after_habit(every), spells)
        ]
        print(row(f"every {every} d", read))
    ours = [
        each
        for plot in trials(plots, rainy, seed)
        for each in dry_downs(plot, by_advice(pipe), after_advice(pipe), spells)
    ]
    print(row("gateway advise", ours))
    parts(ours)
    return ours


def parts(ours: list[DryDown]) -> None:
    """Print the rows by soil, by rate of fall, and for first and later dry-downs."""
    for soil in dict.fromkeys(each.soil for each in ours):
        print(row(f"  {soil}", [each for each in ours if each.soil == soil]))
    for low, high in FALLS:
        some = [each for each in ours if low <= each.fall_cm_d < high]
        print(row(f"  falls {low:g} to {high:g} cm/d", some))
    print(row("  first dry-down", [each for each in ours if each.number == 0]))
    print(row("  third and later", [each for each in ours if each.number > 1]))


def missed(sky: str, ours: list[DryDown]) -> list[str]:
    """The aims that were missed under a sky."""
    readings, late, early = (mean for mean, _ in figures(ours))
    aims = {
        f"{sky}: {readings:.2f} readings, aim {MOST_READINGS[sky]}": readings > MOST_READINGS[sky],
        f"{sky}: {late:.1%} too late, aim {MOST_LATE:.0%}": late > MOST_LATE,
        f"{sky}: {early:.1%} too early, aim {MOST_EARLY:.0%}": early > MOST_EARLY,
    }
    return [words for words, fails in aims.items() if fails]


def main(words: list[str] | None = None) -> int:
    """Run the simulation; the number of missed aims decides the exit."""
    known = argparse.ArgumentParser(description=__doc__)
    known.add_argument("--plots", type=int, default=120)
    known.add_argument("--spells", type=int, default=8)
    known.add_argument("--seed", type=int, default=1)
    chosen = known.parse_args(words)
    print(f"{chosen.plots} plots, {chosen.spells} dry-downs each, seed {chosen.seed}")
    with Pipe() as pipe:
        found = {
            sky: run(sky, chosen.plots, chosen.spells, chosen.seed, pipe) for sky in MOST_READINGS
        }
    short = [words for sky, ours in found.items() for words in missed(sky, ours)]
    print("\n" + ("\n".join(f"missed: {words}" for words in short) or "all aims met"))
    return 1 if short else 0


if __name__ == "__main__":
    sys.exit(main())
