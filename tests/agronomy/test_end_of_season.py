"""The end of the season: the last water, grain that is still green, and what never shortens it."""

from datetime import date

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.stages import calendar_of
from tests.agronomy.plots import SEASON, book, days

LAST = date(2026, 4, 9)  # 20 days after peak flowering on 20 March
HARVEST = date(2026, 4, 19)
GREEN = 5  # days; common practice, no source


def last_water(*green: int) -> int:
    """How many days after LAST the crop is watered, with greens told so many days after it."""
    events = [Event("green", LAST + days(day)) for day in green]
    found = calendar_of(SEASON, book().practice, events).last_irrigation_on
    assert found is not None
    return (found - LAST).days


@pytest.mark.parametrize(
    ("green", "later"),
    [
        ([], 0),
        ([0], GREEN),
        ([-5], GREEN),
        ([-6], 0),
        ([1], 1 + GREEN),
        ([4], 4 + GREEN),
        ([-3, -1, 0], GREEN),
        ([0, 3], 3 + GREEN),
        ([0, 5, 10], 10 + GREEN),
        ([17], 17 + GREEN),
        ([18], 0),
    ],
    ids=[
        "never",
        "on the last day",
        "five days before",
        "long before, when all grain is green",
        "a day late",
        "four days late",
        "told three times before the end",
        "again in the days put off",
        "again and again",
        "the last day before the season closes",
        "when the season is closed",
    ],
)
def test_green_grain_puts_the_last_water_off(green: list[int], later: int) -> None:
    assert last_water(*green) == later


def test_draining_and_harvest_move_with_it() -> None:
    found = calendar_of(SEASON, book().practice, [Event("green", LAST)])
    assert found.harvest_on == HARVEST + days(GREEN)
    assert found.drain_on == HARVEST - days(7) + days(GREEN)
    assert found.stage_on(LAST + days(GREEN)) == "grain-filling"
    assert found.stage_on(LAST + days(GREEN + 1)) == "ripening"
    assert "grain-still-green" in found.assumed


def test_green_of_tomorrow_is_not_known_today() -> None:
    found = calendar_of(SEASON, book().practice, [Event("green", LAST)], LAST - days(1))
    assert found.last_irrigation_on == LAST


def test_green_moves_the_end_that_heads_have_moved() -> None:
    heads = Event("heading", date(2026, 3, 25))  # peak two days later, a week late
    found = calendar_of(SEASON, book().practice, [heads, Event("green", LAST + days(7))])
    assert found.last_irrigation_on == LAST + days(7 + GREEN)


def test_no_drainage_comes_sooner_than_the_published_trials_allow() -> None:
    """No loss when drained 14 days after half of the heads were out, loss when at heading (Counce
    et al., trials on silt loam); half of the heads are out two days before the peak."""
    for soil in (None, *book().practice.soils):
        found = calendar_of(SEASON, book().practice, soil=soil)
        assert found.peak_on is not None
        assert found.last_irrigation_on is not None
        assert found.drain_on is not None
        heads_out = found.peak_on - days(book().practice.calendar.heading_to_peak_days)
        assert min(found.last_irrigation_on, found.drain_on) >= heads_out + days(14)
