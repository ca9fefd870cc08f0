"""What is told of a whole block counts for its plots, but less than what was seen on the plot."""

from dataclasses import replace
from itertools import permutations

import pytest

from gateway.agronomy.balance import balance_of
from gateway.agronomy.book import Event
from gateway.agronomy.footing import CropDays
from tests.agronomy.books import (
    case_on,
    day,
    estimated,
    falling,
    flooded,
    forecast,
    reading,
    weather,
)


def rain(number: int, mm: float, by_block: bool = False) -> Event:
    return Event("rain", day(number), mm=mm, by_block=by_block)


@pytest.mark.parametrize(
    ("reports", "gauge", "counts"),
    [
        ([], 8, 8),
        ([rain(3, 20, by_block=True)], 8, 20),
        ([rain(3, 20)], 8, 20),
        ([rain(3, 4), rain(3, 20, by_block=True)], 8, 4),
        ([rain(3, 0), rain(3, 20, by_block=True)], 8, 0),
        ([rain(3, 12, by_block=True), rain(3, 20, by_block=True)], 8, 20),
    ],
    ids=["gauge", "block", "own", "own and block", "own says none", "two of the block"],
)
def test_the_plots_own_rain_goes_before_its_blocks_and_that_before_the_gauge(
    reports: list[Event], gauge: float, counts: float
) -> None:
    """Whatever the order in which they became known."""
    for order in permutations(reports):
        case = case_on(6, order, weather(6, rain={3: gauge}))
        crop = CropDays.of(case, None, forecast())
        balance = balance_of(case, day(0).toordinal(), day(6).toordinal(), crop, forecast())
        assert balance.rain[-1] == pytest.approx(counts)


def width(*more: Event, until: int = 10) -> float:
    """The width of the level's band on a day after a dry-down that taught the plot's pace."""
    past = [*falling(-30, 2, -2, -6, -10), *falling(-20, 2, -2, -6, -10), *falling(-10, 2, -2, -6)]
    level = estimated(until, [*past, *more]).level_cm
    assert level is not None
    return level.p90 - level.p10


def test_rain_of_the_block_leaves_more_doubt_than_the_plots_own() -> None:
    own = width(flooded(4), rain(5, 14), until=7)
    block = width(flooded(4), rain(5, 14, by_block=True), until=7)
    assert own * 1.05 < block


def test_a_flooding_of_the_block_leaves_more_doubt_than_the_plots_own() -> None:
    own, block = flooded(4), replace(flooded(4), by_block=True)
    assert width(own, until=5) * 1.2 < width(block, until=5)


def test_a_reading_puts_right_what_was_told_of_the_block() -> None:
    """The block was flooded, this plot hardly: a reading of -3 moves further from 5."""
    own = estimated(5, [flooded(4), reading(5, -3)]).level_cm
    block = estimated(5, [replace(flooded(4), by_block=True), reading(5, -3)]).level_cm
    assert own is not None
    assert block is not None
    assert block.p50 < own.p50
