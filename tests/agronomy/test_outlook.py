"""The water model in the limit where nothing is in doubt, against arithmetic by hand."""

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from gateway.agronomy.beliefs import ROWS, Belief, prior_of
from gateway.agronomy.clouds import cloud_of
from gateway.agronomy.forecast_practice import SoilPrior
from gateway.agronomy.guesses import Habit, even_normals
from gateway.agronomy.learning import learned
from gateway.agronomy.model import Model
from gateway.agronomy.outlook import Ahead, _falls, band, outlook_of, rain_shares, showers_of
from gateway.agronomy.spells import Spell, Step
from tests.agronomy.books import forecast

SURE = 1e-5


def without_doubt(storage: float) -> Model:
    return replace(
        forecast().model,
        storage_median=storage,
        storage_spread=SURE,
        use_spread=SURE,
        rate_per_cm=0.0,
        loss_below=1.0,
        rate_spread=SURE,
        day_doubt=SURE,
    )


@pytest.mark.parametrize(
    ("ponded_mm", "loss", "storage", "days"),
    [
        (50, 9, 1.5, 8.056),
        (50, 9, 1.0, 7.222),
        (50, 12, 1.0, 5.417),
        (50, 5, 1.0, 13.0),
        (30, 6, 0.7, 6.75),
        (50, 20, 2.0, 4.0),
    ],
)
def test_without_doubt_the_threshold_is_crossed_after_two_straight_segments(
    ponded_mm: float, loss: float, storage: float, days: float
) -> None:
    """t = d0 / L + 15 cm x storage / L, computed by hand."""
    model = without_doubt(storage)
    belief = prior_of(SoilPrior(loss, SURE, False), model)
    cloud = cloud_of(belief, Spell(ponded_mm / 10, SURE, ()), model)
    mornings = [float(n) for n in range(1, 17)]
    outlook = outlook_of(cloud, Ahead.of(mornings, [0.0] * 16, [0.0] * 16), model)
    crossing = outlook.crossing(-15.0)
    assert crossing.p50 == pytest.approx(days, rel=2e-3)
    assert crossing.p90 - crossing.p10 < 0.01


def test_a_crossing_beyond_the_last_morning_follows_its_pace() -> None:
    model = without_doubt(1.0)
    belief = prior_of(SoilPrior(2.0, SURE, False), model)
    cloud = cloud_of(belief, Spell(5.0, SURE, ()), model)
    outlook = outlook_of(cloud, Ahead.of([1.0, 2.0, 3.0], [0.0] * 3, [0.0] * 3), model)
    assert outlook.crossing(-15.0).p50 == pytest.approx(65 / 2, rel=0.01)


def test_the_bund_holds_no_more_than_its_height() -> None:
    model = without_doubt(1.0)
    belief = prior_of(SoilPrior(5.0, SURE, False), model)
    cloud = cloud_of(belief, Spell(5.0, SURE, ()), model)
    flood = outlook_of(cloud, Ahead.of([1.0, 2.0], [0.0, 0.0], [500.0, 500.0]), model)
    assert flood.water.max() <= 10 * model.bund_cm + 1e-6


@pytest.mark.parametrize(
    ("level", "rain", "after"),
    [
        pytest.param(-10, 8, -5.0, id="fills-the-soil-by-its-own-storage"),
        pytest.param(-10, 16, 0.0, id="just-to-the-surface"),
        pytest.param(-10, 26, 1.0, id="stands-with-what-is-left"),
        pytest.param(2, 10, 3.0, id="adds-to-what-stands"),
        pytest.param(-10, 0, -10.0, id="no-rain-lifts-nothing"),
        pytest.param(2, 90, 8.0, id="spills-over-the-bund"),
        pytest.param(9, 90, 9.0, id="but-takes-nothing-from-what-stood-higher"),
    ],
)
@pytest.mark.parametrize("rate", [0.001, 0.05])
@pytest.mark.parametrize("loss_below", [0.6, 1.0])
def test_rain_fills_the_soil_before_it_stands(
    level: float, rain: float, after: float, rate: float, loss_below: float
) -> None:
    """1.6 mm per cm below the surface, 10 above it, by hand; how fast it falls does not matter."""
    habit = Habit.of(np.array([[1.0], [np.log(1.6)], [0.0], [rate]]), loss_below)
    risen = habit.rained(habit.water(level), rain, 80.0)
    assert habit.level(risen) == pytest.approx([after], abs=1e-6)


def test_rain_that_fell_and_rain_that_is_forecast_lift_a_level_alike() -> None:
    model = replace(without_doubt(1.6), rain_doubt=SURE, forecast_rain_missed=0.0)
    model = replace(model, forecast_rain_spread=0.0)
    belief = prior_of(SoilPrior(1e-3, SURE, False), model)
    fell = cloud_of(belief, Spell(-10.0, SURE, (Step(1.0, 0.0, 8.0, 64.0),)), model)
    still = cloud_of(belief, Spell(-10.0, SURE, ()), model)
    ahead = outlook_of(still, Ahead.of([1.0], [0.0], [8.0]), model)
    assert np.allclose(ahead.water[1], fell.water, atol=0.02)
    assert fell.habit.level(fell.water) == pytest.approx(-5.0, abs=0.02)


def test_unforeseen_rain_is_of_mean_one_and_comes_on_few_days() -> None:
    showers, turns = showers_of(forecast().model, 16)
    assert showers.mean() == pytest.approx(1)
    assert showers.min() == 0
    assert np.mean(showers == 0) == pytest.approx(0.8, abs=0.02)
    assert turns.mean(axis=1) == pytest.approx(np.full(16, 0.5))


def test_wet_days_come_in_spells() -> None:
    wet = showers_of(forecast().model, 16)[0] > 0
    after_wet, after_dry = wet[1:][wet[:-1]].mean(), wet[1:][~wet[:-1]].mean()
    assert after_wet - after_dry == pytest.approx(0.4, abs=0.08)


def test_one_day_of_forecast_rain_fails_without_the_next() -> None:
    shares = rain_shares(forecast().model, 16)
    missed = forecast().model.forecast_rain_missed
    assert np.mean(shares == 0) == pytest.approx(missed, abs=0.01)
    assert np.mean((shares[0] == 0) & (shares[1] == 0)) < 2 * missed**2
    lognormal = np.exp(forecast().model.forecast_rain_spread ** 2 / 2)
    assert shares[shares > 0].mean() == pytest.approx(lognormal, rel=0.05)


def test_rain_that_a_forecast_misses_is_rarer_and_no_lighter() -> None:
    none = [0.0, 0.0]
    few, many = _falls(none, [1.0, 4.0], forecast().model)
    assert np.mean(few > 0) == pytest.approx(np.mean(many > 0) / 4, abs=0.04)
    assert np.median(few[few > 0]) > np.median(many[many > 0]) / 2
    assert _falls(none, [], forecast().model) == [None, None]


def test_level_and_water_are_each_others_inverse_above_and_below_the_surface() -> None:
    habit = Habit.of(np.array([[1.0, 1.5], [0.5, -0.2], [0.0, 0.1], [0.03, 0.0]]), 1.0)
    for level in (8.0, 0.5, 0.0, -0.5, -7.0, -20.0):
        assert habit.level(habit.water(level)) == pytest.approx([level, level], abs=1e-3)
    assert habit.water(-10.0)[1] == pytest.approx(-10 * np.exp(-0.2), rel=1e-3)


def test_the_guesses_are_spread_like_a_normal() -> None:
    even = even_normals(256, ROWS)
    assert np.allclose(even.mean(axis=1), 0, atol=1e-12)
    assert np.allclose(np.cov(even, bias=True), np.eye(ROWS), atol=1e-9)
    assert np.mean(even[0] < 1.2816) == pytest.approx(0.9, abs=0.02)  # normal table


def test_a_band_is_the_weighted_tenths() -> None:
    found = band(np.arange(101.0), np.full(101, 1 / 101))
    assert (found.p10, found.p50, found.p90) == (10, 50, 90)
    weight = np.zeros(101)
    weight[[20, 80]] = 0.6, 0.4
    assert (band(np.arange(101.0), weight).p50, band(np.arange(101.0), weight).p90) == (20, 80)


def spell_of(seepage: float, storage: float, rng: Random, noise: float = 1.0) -> Spell:
    """A spell without demand in which the model itself is true, read every second day."""
    water, steps = 50.0, []
    while water > -15 * storage:
        water -= 2 * seepage
        level = water / 10 if water >= 0 else water / storage
        steps.append(Step(2.0, 0.0, 0.0, 0.0, level + rng.gauss(0, noise), noise_cm=noise))
    return Spell(5.0, 0.7, tuple(steps))


@pytest.mark.parametrize(("seepage", "storage"), [(3, 0.8), (5, 1.5), (8, 2.5), (12, 3.5)])
def test_seepage_and_storage_are_found_again_from_noisy_readings(
    seepage: float, storage: float
) -> None:
    model = replace(
        forecast().model, loss_below=1.0, rate_per_cm=0.001, rate_spread=0.001, use_spread=0.01
    )
    belief = prior_of(SoilPrior(5.0, 0.8, False), model)
    rng = Random(11)
    for _ in range(6):
        belief = learned(belief, spell_of(seepage, storage, rng), model)
    found, kept = np.exp(belief.mean[0]), np.exp(belief.mean[1])
    assert found == pytest.approx(seepage, rel=0.15)
    assert kept == pytest.approx(storage, rel=0.25)


def test_the_belief_is_honest_about_how_far_it_may_be_off() -> None:
    """Of 60 plots drawn from the prior about 80 % must lie within their own p10 to p90."""
    model = replace(
        forecast().model, loss_below=1.0, rate_per_cm=0.001, rate_spread=0.001, use_spread=0.01
    )
    rng, within = Random(5), 0
    for _ in range(60):
        seepage, storage = 5 * np.exp(rng.gauss(0, 0.5)), 1.6 * np.exp(rng.gauss(0, 0.5))
        belief = prior_of(SoilPrior(5.0, 0.5, False), replace(model, storage_spread=0.5))
        for _ in range(2):
            belief = learned(belief, spell_of(seepage, storage, rng), model)
        doubt = np.sqrt(belief.covariance[5])
        within += abs(np.log(storage) - belief.mean[1]) < 1.2816 * doubt
    assert 40 <= within <= 58


def test_a_spell_without_a_reading_teaches_nothing() -> None:
    model = forecast().model
    belief = prior_of(SoilPrior(5.0, 0.5, False), model)
    assert learned(belief, Spell(5.0, 1.0, (Step(9.0, 45.0, 0.0, 0.0),)), model) == belief


def test_learning_again_from_the_start_gives_the_stored_belief() -> None:
    model, rng = forecast().model, Random(3)
    spells = [spell_of(4, 1.2, rng) for _ in range(4)]

    def replayed() -> Belief:
        belief = prior_of(SoilPrior(5.0, 0.5, False), model)
        for spell in spells:
            belief = learned(belief, spell, model)
        return belief

    stored = replayed()
    learned.cache_clear()
    assert replayed() == stored
