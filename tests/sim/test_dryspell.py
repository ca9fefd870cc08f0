"""A small run of the dry-spell simulation, through the command's own pipe."""

import pytest

from tests.sim.dryspell import (
    DryDown,
    after_advice,
    after_habit,
    by_advice,
    by_habit,
    dry_downs,
    figures,
    missed,
    row,
)
from tests.sim.pipe import Pipe
from tests.sim.truth import trials

PLOTS, SPELLS = 12, 5


def test_advice_takes_a_third_of_the_looks_of_a_daily_habit_at_no_less_safety() -> None:
    daily = [
        each
        for plot in trials(PLOTS, 0.0, seed=3)
        for each in dry_downs(plot, by_habit(1), after_habit(1), SPELLS)
    ]
    with Pipe() as pipe:
        ours = [
            each
            for plot in trials(PLOTS, 0.0, seed=3)
            for each in dry_downs(plot, by_advice(pipe), after_advice(pipe), SPELLS)
        ]
    assert len(ours) == len(daily) == PLOTS * SPELLS
    (few, _), (late, _), (early, _) = figures(ours)
    (many, _), (daily_late, _), _ = figures(daily)
    assert few < many / 3
    assert late <= daily_late + 0.05
    assert early <= 0.1


def test_a_missed_aim_is_named() -> None:
    late = [DryDown(4, -22.0, "clay", 3.0, 0)] * 10
    assert len(missed("dry", late)) == 2
    assert "4.00 readings" in missed("dry", late)[0]
    fine = [DryDown(2, -15.0, "clay", 3.0, 0)] * 10
    assert missed("dry", fine) == []
    assert "2.00" in row("ours", fine)


@pytest.mark.parametrize("every", [1, 2, 3])
def test_a_habit_reads_exactly_as_often_as_it_says(every: int) -> None:
    plot = next(trials(1, 0.0, seed=3))
    [found] = dry_downs(plot, by_habit(every), after_habit(every), 1)
    assert plot.day == found.readings * every
