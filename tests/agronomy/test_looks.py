"""How the day to read again is chosen among the guesses."""

from dataclasses import replace

import numpy as np
import pytest

from gateway.agronomy.beliefs import prior_of
from gateway.agronomy.clouds import cloud_of
from gateway.agronomy.forecast_practice import SoilPrior
from gateway.agronomy.looks import Prospect, _alike, _watchable, best_morning, prospect_of
from gateway.agronomy.outlook import Ahead, outlook_of
from gateway.agronomy.spells import Spell
from tests.agronomy.books import forecast

KNOWN = forecast()
DAYS = [float(n) for n in range(1, 17)]
DRY = Ahead.of(DAYS, [5.5 * day for day in DAYS], [0.0] * 16)


def prospect(storage: float, spread: float, level_cm: float = 5.0) -> Prospect:
    """A plot whose pace is more or less known, ponded or dried to a level."""
    model = replace(KNOWN.model, storage_median=storage, storage_spread=spread)
    if spread < 0.1:
        model = replace(model, use_spread=0.01, rate_spread=0.001)
    belief = prior_of(SoilPrior(5.0, min(0.5, spread), False), model)
    cloud = cloud_of(belief, Spell(level_cm, 1.0, ()), model)
    return prospect_of(outlook_of(cloud, DRY, model), -15.0, KNOWN.look)


def look_on(seen: Prospect) -> int:
    return best_morning(seen, 1, 7, 7, KNOWN.look, KNOWN.model)


def test_each_guess_counts_once_among_the_levels_that_a_look_tells_apart() -> None:
    shares = _alike(prospect(1.6, 0.8), 1, 8, KNOWN.look.bins, KNOWN.model)
    assert shares.shape == (7, KNOWN.look.bins, KNOWN.model.guesses)
    assert np.allclose(shares.sum(axis=1), 1, atol=1e-5)
    assert (shares > 0).sum(axis=1).max() == 2


@pytest.mark.parametrize("storage", [0.6, 1.6, 4.0])
def test_where_all_guesses_fall_alike_none_is_put_aside_however_fast(storage: float) -> None:
    outlook = prospect(storage, 0.01).outlook
    assert np.allclose(
        _watchable(outlook, KNOWN.look.fast_cm_d), outlook.cloud.weight, rtol=0.2, atol=1e-6
    )


def test_guesses_too_fast_for_daily_looks_count_less_while_a_plot_is_unknown() -> None:
    outlook = prospect(1.6, 0.86).outlook
    habit, weight = outlook.cloud.habit, _watchable(outlook, KNOWN.look.fast_cm_d)
    fall = (habit.use * outlook.demand_mm_d + habit.seepage) / habit.pace
    fast = fall > 2 * KNOWN.look.fast_cm_d
    assert weight.sum() == pytest.approx(1, abs=1e-5)
    assert 0 < weight[fast].sum() < 0.3 * outlook.cloud.weight[fast].sum()


def test_the_faster_a_plot_falls_the_sooner_it_is_looked_at() -> None:
    days = [look_on(prospect(storage, 0.05)) for storage in (0.8, 1.2, 2.0, 4.0)]
    assert days == sorted(days)
    assert days[0] < days[-1]


def test_the_nearer_its_threshold_the_sooner_a_plot_is_looked_at() -> None:
    days = [look_on(prospect(2.0, 0.3, level)) for level in (-12.0, -6.0, 0.0, 5.0)]
    assert days == sorted(days)
    assert days[0] < days[-1]


def with_chances(late: float, past: float, early: float) -> Prospect:
    """A plot that lies too deep or past its threshold tomorrow, or so high now, by such chances."""
    seen = prospect(1.6, 0.8)
    rank = (np.arange(KNOWN.model.guesses) + 0.5) / KNOWN.model.guesses
    chances = {"late": late, "past": past, "early": 1 - early}
    return replace(seen, **{name: np.tile(rank < share, (2, 1)) for name, share in chances.items()})


@pytest.mark.parametrize(
    ("level_cm", "levels", "late", "past", "early", "watered"),
    [
        pytest.param(-14, 2, 0.5, 0.9, 0.0, True, id="unknown-and-likely-too-deep"),
        pytest.param(-14, 2, 0.3, 0.9, 0.0, False, id="unknown-and-perhaps-too-deep"),
        pytest.param(-12, 2, 0.5, 0.9, 0.1, False, id="unknown-and-further-up"),
        pytest.param(-14, 3, 0.0, 0.3, 0.0, True, id="known-and-perhaps-past"),
        pytest.param(-14, 3, 0.0, 0.0, 0.0, False, id="known-and-not-past"),
        pytest.param(-12, 6, 0.0, 0.5, 0.1, True, id="well-known-three-up-and-likely-past"),
        pytest.param(-12, 5, 0.0, 0.5, 0.1, False, id="three-up-but-not-so-well-known"),
        pytest.param(-12, 6, 0.0, 0.3, 0.1, False, id="three-up-and-perhaps-past"),
        pytest.param(-12, 6, 0.0, 0.5, 0.4, False, id="three-up-but-it-may-be-five"),
        pytest.param(-11, 6, 0.0, 0.5, 0.1, False, id="four-up"),
        pytest.param(-11, 3, 0.1, 0.5, 0.1, True, id="four-up-but-perhaps-too-deep"),
    ],
)
def test_water_comes_a_day_early_only_where_waiting_costs_more(
    level_cm: float, levels: int, late: float, past: float, early: float, watered: bool
) -> None:
    seen = with_chances(late, past, early)
    assert seen.too_late_tomorrow(level_cm, levels, KNOWN.look) is watered
