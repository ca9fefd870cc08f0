"""A small run of the dry-spell simulation, through the command's own pipe."""

from dataclasses import replace

import pytest

from tests.sim.dryspell import (
    DryDown,
    after_advice,
    after_habit,
    aims,
    by_advice,
    by_habit,
    dry_downs,
    figures,
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
    late = [DryDown(4, -22.0, "clay", 3.0, 0, plot) for plot in range(40)]
    readings, tardy, early = aims("dry", late)
    assert (readings.missed, tardy.missed, early.missed) == (True, True, False)
    assert str(readings) == "missed: dry, readings 4.00 +-0.00, aim 2.30"
    fine = [DryDown(2, -15.0, "clay", 3.0, 0, plot) for plot in range(40)]
    assert not any(aim.missed for aim in aims("dry", fine))
    assert "2.00" in row("ours", fine)


def test_too_few_dry_downs_are_said_to_tell_nothing() -> None:
    few = [DryDown(2, -22.0 if plot == 0 else -15.0, "clay", 3.0, 0, plot) for plot in range(30)]
    assert "met: dry, too late 3.3%" in str(aims("dry", few)[1])
    assert "cannot tell" in str(aims("dry", few)[1])
    assert "cannot tell" not in str(aims("dry", few * 40)[0])


def test_dry_downs_of_one_plot_count_for_less_than_those_of_many() -> None:
    late = [DryDown(2, -22.0, "clay", 3.0, 0, plot // 8) for plot in range(80)]
    fine = [DryDown(2, -15.0, "clay", 3.0, 0, 10 + plot // 8) for plot in range(720)]
    _, (_, alike), _ = figures(late + fine)
    _, (share, alone), _ = figures([replace(each, plot=n) for n, each in enumerate(late + fine)])
    assert share == pytest.approx(0.1)
    assert alone == pytest.approx(1.96 * (0.1 * 0.9 / 800) ** 0.5, rel=0.01)
    assert alike == pytest.approx(alone * 8**0.5, rel=0.01)


@pytest.mark.parametrize("every", [1, 2, 3])
def test_a_habit_reads_exactly_as_often_as_it_says(every: int) -> None:
    plot = next(trials(1, 0.0, seed=3))
    [found] = dry_downs(plot, by_habit(every), after_habit(every), 1)
    assert plot.day == found.readings * every
