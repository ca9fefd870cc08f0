"""Nitrogen: the approved plan, its windows, and what a split weighs."""

from datetime import date

import pytest

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.nitrogen import nitrogen_of, product_kg, rain_ahead_mm
from gateway.agronomy.season import Season, Split
from tests.agronomy.plots import PLOT, book, days

DAY = date(2026, 2, 10)
SPLIT = Split(DAY - days(3), DAY + days(4), 60, "UREA")


def case(*events: Event, as_of: date = DAY, rain: tuple[float, ...] = (), **more: Split) -> Case:
    season = Season("transplanted", DAY - days(30), nitrogen=tuple(more.values()) or (SPLIT,))
    weather = tuple(WeatherDay(as_of + days(n), rain_mm=mm) for n, mm in enumerate(rain))
    return Case(as_of, PLOT, season, events, weather)


def due(*events: Event, **parts: object) -> str:
    return nitrogen_of(case(*events, **parts), book().practice.nitrogen).due  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("shift", "expected"),
    [(-4, "none"), (-3, "due"), (2, "due"), (3, "last-days"), (4, "last-days"), (5, "none")],
    ids=["before", "first day", "inside", "last but one", "last", "after"],
)
def test_a_split_is_due_inside_its_window(shift: int, expected: str) -> None:
    assert due(as_of=DAY + days(shift)) == expected


def test_fertiliser_spread_in_the_window_settles_the_split() -> None:
    assert due(Event("nitrogen", DAY - days(3))) == "none"


def test_fertiliser_spread_before_the_window_does_not() -> None:
    assert due(Event("nitrogen", DAY - days(4))) == "due"


def test_fertiliser_spread_today_calls_for_water() -> None:
    assert due(Event("nitrogen", DAY)) == "spread"


def test_fertiliser_of_tomorrow_is_not_known_yet() -> None:
    assert due(Event("nitrogen", DAY + days(1))) == "due"


@pytest.mark.parametrize(
    ("rain", "expected"),
    [((25,), "rain-coming"), ((10, 15), "rain-coming"), ((24.9,), "due"), ((0, 0, 90), "due")],
    ids=["25 mm today", "25 mm in two days", "less", "later"],
)
def test_heavy_rain_in_two_days_postpones(rain: tuple[float, ...], expected: str) -> None:
    assert due(rain=rain) == expected


def test_rain_does_not_postpone_the_last_days() -> None:
    assert due(as_of=DAY + days(3), rain=(40,)) == "last-days"


def test_rain_that_was_reported_has_fallen_and_is_not_ahead() -> None:
    rained = case(Event("rain", DAY, mm=40), rain=(40, 5))
    assert rain_ahead_mm(rained, 2) == 5


def test_a_window_that_passed_without_a_report_is_named() -> None:
    late = case(as_of=DAY + days(6))
    assert nitrogen_of(late, book().practice.nitrogen).missed
    told = case(Event("nitrogen", DAY), as_of=DAY + days(6))
    assert not nitrogen_of(told, book().practice.nitrogen).missed


# Urea is 46 % N: kg of urea = kg of N / 0.46, so 20, 25, 30, 35, 40 kg N/ha are 43.5, 54.3, 65.2,
# 76.1, 87.0 kg/ha; on 0.1 ha 4.35, 5.43, 6.52, 7.61, 8.70 kg, here rounded to 0.5 kg.
@pytest.mark.parametrize(
    ("nitrogen", "whole"), [(20, 4.5), (25, 5.5), (30, 6.5), (35, 7.5), (40, 8.5)], ids=str
)
def test_the_weight_is_that_of_the_plan_for_the_area(nitrogen: float, whole: float) -> None:
    split = Split(DAY, DAY, round(nitrogen / 0.46, 1), "UREA")
    assert product_kg(split, 0.1, 0.5) == whole


def test_a_dose_is_never_made_up() -> None:
    assert product_kg(SPLIT, None, 0.5) is None
    assert product_kg(Split(DAY, DAY, None, "UREA"), 0.4, 0.5) is None
    assert product_kg(None, 0.4, 0.5) is None
    assert product_kg(SPLIT, 0.004, 0.5) is None  # 0.24 kg
