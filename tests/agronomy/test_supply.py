"""Supply windows: whether water is sure, and whether it comes in time."""

from dataclasses import replace
from datetime import date, time

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WaterWindow
from gateway.agronomy.plot import WaterSource
from gateway.agronomy.supply import hours_at_hand, last_chance, next_hours, next_turn, supply_of
from tests.agronomy.plots import PLOT, book, days

DAY = date(2026, 2, 10)
PRACTICE = book().practice.supply
Windows = list[tuple[int, int, bool]] | None


def case(windows: Windows, *events: Event) -> Case:
    water = None
    if windows is not None:
        water = tuple(WaterWindow(DAY + days(a), DAY + days(b), sure) for a, b, sure in windows)
    return Case(DAY, PLOT, None, events, next_water=water)


@pytest.mark.parametrize(
    ("windows", "expected"),
    [
        (None, "unknown"),
        ([], "none"),
        ([(0, 0, True)], "sure"),
        ([(1, 3, True)], "sure"),
        ([(-5, 0, True)], "sure"),
        ([(2, 3, True)], "unsure"),
        ([(0, 3, False)], "unsure"),
        ([(-5, -1, True)], "none"),
    ],
    ids=["unknown", "none", "today", "tomorrow", "ends today", "later", "unsure", "past"],
)
def test_sure_within_a_day_means_today_or_tomorrow(windows: Windows, expected: str) -> None:
    assert supply_of(case(windows), PRACTICE) == expected


def test_a_report_of_no_water_counts_until_somebody_floods() -> None:
    failed = Event("no-water", DAY - days(1))
    assert supply_of(case(None, failed), PRACTICE) == "none"
    assert supply_of(case(None, failed, Event("flooded", DAY)), PRACTICE) == "unknown"
    assert supply_of(case(None, Event("no-water", DAY - days(4))), PRACTICE) == "unknown"
    assert supply_of(case([(0, 1, True)], failed), PRACTICE) == "sure"


@pytest.mark.parametrize(
    ("source", "windows", "expected"),
    [
        ("own-pump", None, "sure"),
        ("own-pump", [], "none"),
        ("own-pump", [(0, 1, True)], "sure"),
        ("own-pump", [(2, 3, True)], "unsure"),
        ("hired-pump", None, "unknown"),
        ("gravity-turn", None, "unknown"),
    ],
    ids=["at hand", "no power", "power today", "power later", "hired", "turn"],
)
def test_a_pump_of_one_s_own_is_at_hand_unless_power_hours_say_otherwise(
    source: WaterSource, windows: Windows, expected: str
) -> None:
    known = case(windows)
    assert supply_of(replace(known, plot=replace(PLOT, water_source=source)), PRACTICE) == expected


def test_a_pump_that_gave_no_water_is_not_at_hand() -> None:
    pump = replace(PLOT, water_source="own-pump")
    failed = case(None, Event("no-water", DAY - days(1)))
    assert supply_of(replace(failed, plot=pump), PRACTICE) == "none"


@pytest.mark.parametrize(
    ("windows", "needed_in", "expected"),
    [
        (None, 2, "unknown"),
        ([(0, 1, True), (4, 5, True)], 6, "in-time"),
        ([(0, 1, True), (9, 10, True)], 6, "last-now"),
        ([(0, 1, True), (4, 5, False)], 6, "last-now"),
        ([(0, 1, False), (4, 5, False)], 6, "in-time"),
        ([(0, 1, True), (9, 10, True)], 1, "last-now"),
        ([(0, 4, True), (14, 15, True)], 6, "in-time"),
        ([(0, 9, True), (12, 13, True)], 6, "in-time"),
        ([(0, 2, True), (3, 9, True), (14, 15, True)], 6, "in-time"),
        ([(0, 1, True)], 6, "in-time"),
        ([(0, 1, True)], 3, "last-now"),
        ([(3, 4, True)], 6, "in-time"),
        ([(8, 9, True)], 6, "in-time"),
        ([(8, 9, True)], 3, "too-late"),
        ([], 2, "too-late"),
        ([], 6, "in-time"),
    ],
    ids=[
        "supply unknown",
        "comes again before",
        "comes again too late",
        "perhaps comes again before",
        "never sure",
        "runs until then and no longer",
        "does not end yet",
        "runs until then",
        "windows that meet are one",
        "nothing known after, need is far",
        "nothing known after, need is near",
        "comes in time",
        "too late, but the need is far",
        "too late and near",
        "none and near",
        "none and far",
    ],
)
def test_the_last_water_before_the_need_is_seen(
    windows: Windows, needed_in: int, expected: str
) -> None:
    assert next_turn(case(windows), DAY + days(needed_in), PRACTICE) == expected


def test_without_a_day_of_need_nothing_is_said() -> None:
    assert next_turn(case([]), None, PRACTICE) == "unknown"


@pytest.mark.parametrize(
    ("windows", "expected"),
    [
        (None, None),
        ([(3, 4, True)], None),
        ([(0, 4, True)], 4),
        ([(0, 4, True), (6, 7, True)], None),
        ([(0, 4, True), (6, 7, False)], 4),
        ([(0, 4, True), (9, 9, True)], 4),
    ],
    ids=["unknown", "none runs", "none after", "returns in time", "perhaps", "returns too late"],
)
def test_the_last_day_of_water_before_the_need_is_told(
    windows: Windows, expected: int | None
) -> None:
    day = None if expected is None else DAY + days(expected)
    assert last_chance(case(windows), DAY + days(6), PRACTICE) == day


def power(*windows: tuple[int, int, str, str]) -> Case:
    """Power on the days from the first to the second number, between these hours."""
    told = (
        WaterWindow(
            DAY + days(a), DAY + days(b), True, time.fromisoformat(c), time.fromisoformat(d)
        )
        for a, b, c, d in windows
    )
    return replace(case([]), next_water=tuple(told))


@pytest.mark.parametrize(
    ("windows", "hours", "begins"),
    [
        ([(0, 0, "06:00", "10:30")], 4.5, "06:00"),
        ([(0, 5, "22:00", "02:00")], 8.0, "22:00"),
        ([(0, 1, "18:00", "20:00"), (1, 1, "04:00", "05:00")], 5.0, "18:00"),
        ([(1, 1, "18:00", "20:00"), (1, 1, "04:00", "05:00")], 3.0, "04:00"),
        ([(0, 0, "00:00", "00:00")], 24.0, "00:00"),
        ([(2, 4, "06:00", "10:00")], None, None),
    ],
    ids=["a morning", "past midnight", "two", "the first of tomorrow", "all day", "too late"],
)
def test_the_hours_of_water_at_hand_are_those_of_today_and_tomorrow(
    windows: list[tuple[int, int, str, str]], hours: float | None, begins: str | None
) -> None:
    assert hours_at_hand(power(*windows), PRACTICE) == hours
    found = next_hours(power(*windows), PRACTICE)
    assert (found and f"{found.starts:%H:%M}") == begins


def test_no_hours_are_known_where_a_whole_day_runs_or_nobody_told() -> None:
    assert hours_at_hand(case(None), PRACTICE) is None
    assert hours_at_hand(case([(0, 1, True)]), PRACTICE) is None
    assert next_hours(case([(0, 1, True)]), PRACTICE) is None
