"""Whether the bands of the forecast hold what they promise, on fields it does not know.

``python -m tests.sim.calibration [--seasons N] [--seed N]`` prints, under a dry and a rainy sky and
on both truths, the share of crossings within the band p10 to p90, before and after it, and within
the dates told. The truths differ from the model: percolation grows with ponding and fades below,
storage changes with depth, use strays for days on end, the gauge stands elsewhere, a reading in a
hundred is gross.
"""

import argparse
import json
from collections.abc import Callable, Iterable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from datetime import date, timedelta
from math import sqrt

from gateway.agronomy.drydown import Estimate, estimate
from gateway.agronomy.rules import RuleBook
from gateway.agronomy.stages import calendar_of
from gateway.lines.cases import case_from_json
from tests.agronomy.plots import book
from tests.sim import other
from tests.sim.dryspell import THRESHOLD, case_of
from tests.sim.truth import KC, RAINY, START, Trial, trials

EVERY = 3  # days from look to look
SPELLS = 4
LAST_DAYS = 40  # of the weather drawn, left for crossings to come
Truth = Callable[[int, float, int], Iterator[Trial]]
TRUTHS: dict[str, Truth] = {"first truth": trials, "other truth": other.trials}


@dataclass(frozen=True, slots=True)
class Crossing:
    """A forecast, its day, and the days that the field really took."""

    guess: Estimate
    on: date
    days: float

    def within(self) -> bool:
        """Whether it fell within the band as reckoned."""
        band = self.guess.days_to_threshold
        return band is not None and band.p10 <= self.days <= band.p90

    def after(self) -> bool:
        """Whether it came after the band."""
        band = self.guess.days_to_threshold
        return band is not None and self.days > band.p90

    def told(self) -> bool:
        """Whether it fell within the dates that are told."""
        first, last = self.guess.threshold_on.p10, self.guess.threshold_on.p90
        assert first is not None
        assert last is not None
        return (first - self.on).days <= self.days <= (last - self.on).days + 1


def forecast(plot: Trial, rules: RuleBook) -> Estimate:
    """What the gateway would forecast today."""
    case = case_from_json(json.dumps(case_of(plot)), rules)
    practice = rules.practice_of(None)
    assert case.season is not None
    calendar = calendar_of(case.season, practice, case.events, case.as_of, case.plot.soil)
    return estimate(case, calendar, practice, THRESHOLD)


def days_left(plot: Trial) -> float | None:
    """Days until the field itself reaches the threshold if nobody waters it."""
    field, day = deepcopy(plot.field), plot.day
    while day < len(plot.seen):
        before = field.level_cm
        field.pass_day(KC * plot.seen[day][0], plot.fallen[day])
        day += 1
        if field.level_cm <= THRESHOLD:
            share = (before - THRESHOLD) / max(before - field.level_cm, 1e-6)
            return day - 1 - plot.day + min(1.0, max(0.0, share))
    return None


def crossings(plots: Iterable[Trial]) -> Iterator[Crossing]:
    """Each forecast after a look, and when the field crossed."""
    rules = book()
    for plot in plots:
        for _ in range(SPELLS):
            due = plot.day + EVERY
            while plot.field.level_cm > THRESHOLD and plot.day < len(plot.seen) - LAST_DAYS:
                plot.pass_day()
                if plot.day < due:
                    continue
                plot.read()
                due = plot.day + EVERY
                truly = days_left(plot)
                if plot.field.level_cm > THRESHOLD and truly is not None:
                    on = START + timedelta(days=plot.day)
                    yield Crossing(forecast(plot, rules), on, truly)
            plot.flood()


def row(name: str, found: list[Crossing]) -> str:
    """One line of the table: shares of the crossings, the first with its 95 % interval.

    Crossings of one season hang together, so that the interval is somewhat too narrow.
    """
    count = len(found)
    held = sum(each.within() for each in found) / count
    after = sum(each.after() for each in found) / count
    told = sum(each.told() for each in found) / count
    half = 1.96 * sqrt(held * (1 - held) / count)
    shares = f"{held:7.1%} +-{half:5.1%} {1 - held - after:7.1%} {after:7.1%} {told:7.1%}"
    return f"{name:<24}{count:>7} {shares}"


def main(words: list[str] | None = None) -> None:
    """Print the table."""
    known = argparse.ArgumentParser(description=__doc__)
    known.add_argument("--seasons", type=int, default=500)
    known.add_argument("--seed", type=int, default=5)
    chosen = known.parse_args(words)
    print(f"{chosen.seasons} seasons a row, seed {chosen.seed}; of the band p10 to p90")
    print(f"{'':<24}{'seen':>7} {'within':>16} {'before':>7} {'after':>7} {'told':>7}")
    for name, truth in TRUTHS.items():
        for sky, rainy in (("dry", 0.0), ("rainy", RAINY)):
            plots = truth(chosen.seasons, rainy, chosen.seed)
            print(row(f"{name}, {sky} sky", list(crossings(plots))), flush=True)


if __name__ == "__main__":
    main()
