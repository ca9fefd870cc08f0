"""IPCC 2019 Refinement, volume 4, chapter 5: products of its tables, season totals in kg/ha."""

import pytest

from gateway.agronomy.methane import (
    NOT_CLAIMED,
    WATER,
    methane,
    regime_of,
    straw_factor,
)


@pytest.mark.parametrize(
    ("region", "days", "flooded", "once", "often"),
    [
        ("world", 113, 134.47, 95.47, 73.96),
        ("southeast-asia", 102, 124.44, 88.35, 68.44),
        ("south-asia", 112, 95.20, 67.59, 52.36),
        ("east-asia", 112, 147.84, 104.97, 81.31),
    ],
)
def test_season_totals_by_region_and_regime(
    region: str, days: int, flooded: float, once: float, often: float
) -> None:
    for spells, expected in ((0, flooded), (1, once), (2, often), (7, often)):
        for found in (methane(spells, region), methane(spells, region, days)):
            assert found.emitted.middle == pytest.approx(expected, abs=0.006)
            assert found.flooded.middle == pytest.approx(flooded, abs=0.006)


def test_continuous_flooding_of_the_world_in_carbon_dioxide() -> None:
    """3.63069 t CO2e/ha with a warming potential of 27, a published parameter."""
    assert methane(0, "world").emitted.middle * 27 / 1000 == pytest.approx(3.63069, abs=1e-5)


def test_one_drainage_is_29_per_cent_and_never_45() -> None:
    found = methane(1, "world")
    assert 1 - found.emitted.middle / found.flooded.middle == pytest.approx(0.29, abs=0.001)
    assert 1 - WATER["multiple-drainage"].middle == pytest.approx(0.45)


@pytest.mark.parametrize(
    ("kind", "rate", "factor"),
    [("straw-shortly-before", 5, 2.878), ("straw-long-before", 5, 1.483), ("compost", 0, 1.0)],
)
def test_the_whole_sum_of_straw_is_raised_to_the_power(
    kind: str, rate: float, factor: float
) -> None:
    assert straw_factor({kind: rate}) == pytest.approx(factor, abs=0.0006)


def test_amendments_add_up_before_the_power() -> None:
    both = straw_factor({"straw-shortly-before": 2, "farmyard-manure": 3})
    assert both == pytest.approx((1 + 2 * 1.00 + 3 * 0.21) ** 0.59)


def test_the_range_is_as_wide_as_both_factors_allow() -> None:
    found = methane(3, "world").emitted
    assert found.low == pytest.approx(0.80 * 113 * 0.41)
    assert found.high == pytest.approx(1.76 * 113 * 0.72)


def test_a_season_that_never_dried_has_no_reduction() -> None:
    assert regime_of(0) == "continuous"
    found = methane(0, "south-asia")
    assert found.emitted == found.flooded


def test_what_must_not_be_claimed_stands_beside_every_figure() -> None:
    assert methane(4, "world").not_claimed == NOT_CLAIMED
    assert any("measurement" in words for words in NOT_CLAIMED)
    assert any("credits" in words for words in NOT_CLAIMED)


def test_a_region_without_a_factor_is_an_error() -> None:
    with pytest.raises(KeyError, match="atlantis"):
        methane(2, "atlantis")
