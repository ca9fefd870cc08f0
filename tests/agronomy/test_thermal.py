"""Heat units and the calendar by heat, against published figures."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WeatherDay
from gateway.agronomy.practice import Practice
from gateway.agronomy.season import Season
from gateway.agronomy.seasondays import Calendar
from gateway.agronomy.stages import calendar_for, calendar_of
from gateway.agronomy.thermal import Warmth, heat_units, warmth_of
from tests.agronomy.plots import PLOT, SEASON, book, days

PRACTICE = book().practice
HEAT = PRACTICE.thermal
SOWN = date(2025, 12, 20)


def with_months(low: float, high: float) -> Practice:
    """The practice of an office that has written down its usual temperatures."""
    thermal = replace(HEAT, usual_tmin_c=(low,) * 12, usual_tmax_c=(high,) * 12)
    return replace(PRACTICE, thermal=thermal)


def sky(low: float, high: float, count: int, first: date = SOWN) -> tuple[WeatherDay, ...]:
    return tuple(WeatherDay(first + days(n), tmin=low, tmax=high) for n in range(count))


def dated(practice: Practice, weather: tuple[WeatherDay, ...], *events: Event) -> Calendar:
    case = Case(date(2026, 6, 1), PLOT, SEASON, events, weather)
    return calendar_for(case, SEASON, practice)


@pytest.mark.parametrize(
    ("tmin", "tmax", "units"),
    [
        (28, 28, 20.0),
        (30, 30, 22.0),
        (22, 30, 18.0),
        (24, 32, 18.783),
        (26, 34, 18.413),
        (24, 36, 16.620),
        (17, 25, 13.0),
        (2, 8, 0.0),
        (42, 44, 0.0),
    ],
)
def test_the_heat_of_a_day_is_the_published_hourly_sum(
    tmin: float, tmax: float, units: float
) -> None:
    """Hourly sine with 8, 30 and 42 C as in ORYZA2000 (Bouman et al. 2001), its form from memory;
    the figures were computed apart from this code, by hand from the formula."""
    assert heat_units(tmin, tmax, HEAT) == pytest.approx(units, abs=0.0006)


def test_the_standard_crop_flowers_after_as_many_days_as_its_thermal_time_says() -> None:
    """ORYZA2000's standard crop file: 0.40, 0.25 and 0.35 of the way at 0.000656, 0.0007576 and
    0.000681 a degree-day make 1453.7 Cd to flowering: 72.7 days of 20 Cd at 28 C throughout."""
    need = 0.40 / 0.000656 + 0.25 / 0.0007576 + 0.35 / 0.000681
    assert need == pytest.approx(1453.7, abs=0.2)
    assert need / heat_units(28, 28, HEAT) == pytest.approx(72.7, abs=0.05)
    place = Warmth({}, 15, 0, PRACTICE.forecast.climate, with_months(28, 28).thermal)
    assert place.day_reached(SOWN, SOWN, 73) == SOWN + days(73)


def test_the_same_sum_takes_the_days_of_published_files_in_a_cooler_season() -> None:
    """WOFOST rice files (van Diepen et al. 1988): 1420 Cd to flowering at 24 Cd a day for 30 C and
    the same base of 8 C give IR72-type crops 65 days at 28 C; linear below the optimum, so at 23 C
    three quarters of the heat a day (15 against 20), and 65 / 0.75 = 87 days."""
    published_days = 1420 / (24 * 20 / 22)
    assert published_days == pytest.approx(65, abs=0.1)
    practice = with_months(28, 28).thermal
    told = {SOWN + days(n): (23.0, 23.0) for n in range(200)}
    cool = Warmth(told, 15, 0, PRACTICE.forecast.climate, practice)
    assert (cool.day_reached(SOWN, SOWN, 65) - SOWN).days == 87


@given(st.integers(60, 160), st.floats(0, 30), st.integers(0, 364), st.integers(0, 2000))
def test_a_usual_year_reproduces_the_stated_duration(
    duration: int, latitude: float, day: int, height: int
) -> None:
    sown = date(2026, 1, 1) + timedelta(days=day)
    place = Warmth({}, latitude, height, PRACTICE.forecast.climate, HEAT)
    assert place.day_reached(sown, sown, duration) == sown + days(duration)
    exact = Warmth({}, None, None, PRACTICE.forecast.climate, with_months(21, 31).thermal)
    assert exact.day_reached(sown, sown, duration) == sown + days(duration)


def test_a_year_as_usual_leaves_every_date_of_the_calendar_where_days_put_it() -> None:
    by_days = calendar_of(SEASON, PRACTICE, soil=PLOT.soil)
    by_heat = dated(with_months(20, 30), sky(20, 30, 120))
    assert replace(by_heat, assumed=()) == replace(by_days, assumed=())
    assert by_heat.assumed == ("thermal-time",)


def test_a_cool_year_delays_and_keeps_the_crop_wet_until_it_is_past() -> None:
    """18/28 for 20/30 C is 15 heat units for 17: 90 days to flowering become 102."""
    by_days = calendar_of(SEASON, PRACTICE, soil=PLOT.soil)
    cool = dated(with_months(20, 30), sky(18, 28, 150))
    assert cool.peak_on == SOWN + days(102)
    assert cool.flowering_from == by_days.flowering_from  # days may be right after all
    assert cool.flowering_to == cool.peak_on + days(7)
    assert cool.harvest_on == cool.peak_on + days(34)  # 30 x 17/15
    assert by_days.last_irrigation_on is not None
    assert cool.last_irrigation_on is not None
    assert cool.last_irrigation_on >= by_days.last_irrigation_on + days(12)


def test_a_warm_year_opens_the_window_early_and_never_cuts_the_water_sooner() -> None:
    by_days = calendar_of(SEASON, PRACTICE, soil=PLOT.soil)
    warm = dated(with_months(20, 30), sky(23, 33, 120))
    assert warm.flowering_from is not None
    assert by_days.flowering_from is not None
    assert warm.flowering_from < by_days.flowering_from
    assert warm.flowering_to == by_days.flowering_to
    assert warm.last_irrigation_on == by_days.last_irrigation_on


def test_heads_that_were_seen_go_before_all_reckoning() -> None:
    seen = dated(with_months(20, 30), sky(15, 25, 120), Event("heading", date(2026, 3, 8)))
    assert seen.peak_on == date(2026, 3, 10)
    assert "thermal-time" not in seen.assumed


def test_a_shift_within_a_guess_by_latitude_moves_nothing() -> None:
    by_days = calendar_of(SEASON, PRACTICE, soil=PLOT.soil)
    case = Case(date(2026, 6, 1), replace(PLOT, latitude=15.0), SEASON, (), sky(17, 27, 120))
    assert calendar_for(case, SEASON, PRACTICE).peak_on == by_days.peak_on
    far = replace(case, weather=sky(13, 23, 120))
    found = calendar_for(far, SEASON, PRACTICE).peak_on
    assert found is not None
    assert by_days.peak_on is not None
    assert found >= by_days.peak_on + days(14)


def test_few_days_or_no_place_leave_the_days_to_count() -> None:
    climate = PRACTICE.forecast.climate
    assert warmth_of(sky(15, 25, 19), SOWN, 15.0, None, climate, HEAT) is None
    assert warmth_of(sky(15, 25, 20), SOWN, 15.0, None, climate, HEAT) is not None
    assert warmth_of(sky(15, 25, 90), SOWN, None, None, climate, HEAT) is None
    assert warmth_of(sky(15, 25, 90, SOWN - days(90)), SOWN, 15.0, None, climate, HEAT) is None
    months = with_months(20, 30).thermal
    assert warmth_of(sky(15, 25, 90), SOWN, None, None, climate, months) is not None


def test_even_frost_moves_a_date_no_further_than_the_practice_allows() -> None:
    frozen = dated(with_months(20, 30), sky(-5, 3, 300))
    assert frozen.peak_on == SOWN + days(90 + HEAT.most_days)
    season = Season("wet-seeded", SOWN, duration_days=120)
    hot = Case(date(2026, 6, 1), PLOT, season, (), sky(28, 32, 300))
    peak = calendar_for(hot, season, with_months(10, 14)).peak_on
    assert peak == SOWN + days(90 - HEAT.most_days)


# WOFOST 6 and 7 rice files (van Diepen et al. 1988; Kropff et al. 1994): degree-days to flowering,
# then to maturity, and what a day of 30 C gives; base 8 C, linear up to it. Days at 28 C.
@pytest.mark.parametrize(
    ("to_flower", "to_mature", "at_optimum", "days_to_flower", "days_to_mature"),
    [(1420, 630, 24, 65, 29), (1570, 770, 24, 72, 35), (1633, 506, 22, 82, 25)],
    ids=["IR72", "IR64", "IR8"],
)
def test_published_thermal_times_take_their_days_by_these_heat_units(
    to_flower: int, to_mature: int, at_optimum: int, days_to_flower: int, days_to_mature: int
) -> None:
    daily = at_optimum * heat_units(28, 28, HEAT) / heat_units(30, 30, HEAT)
    assert round(to_flower / daily) == days_to_flower
    assert round(to_mature / daily) == days_to_mature
    cool = at_optimum * heat_units(23, 23, HEAT) / heat_units(30, 30, HEAT)
    practice = with_months(28, 28).thermal
    told = {SOWN + days(n): (23.0, 23.0) for n in range(200)}
    place = Warmth(told, 15, 0, PRACTICE.forecast.climate, practice)
    found = (place.day_reached(SOWN, SOWN, days_to_flower) - SOWN).days
    assert found == pytest.approx(to_flower / cool, abs=1)


def test_the_phases_of_the_standard_crop_add_up_to_its_thermal_time() -> None:
    """ORYZA2000's standard crop file (Bouman et al. 2001): panicle initiation after 939.7 Cd,
    flowering after 1453.7, maturity after 1879; a usual 28 C year reaches each on its day, a hot
    one of 36/24 C (16.62 Cd for 20) as much later."""
    panicle = 0.40 / 0.000656 + 0.25 / 0.0007576
    flower = panicle + 0.35 / 0.000681
    mature = flower + 1.0 / 0.002351
    assert [round(n, 1) for n in (panicle, flower)] == [939.7, 1453.7]
    assert mature == pytest.approx(1879, abs=0.2)
    told = {SOWN + days(n): (24.0, 36.0) for n in range(200)}
    hot = Warmth(told, 15, 0, PRACTICE.forecast.climate, with_months(28, 28).thermal)
    for need in (panicle, flower, mature):
        usual, slow = need / 20, need / heat_units(24, 36, HEAT)
        found = (hot.day_reached(SOWN, SOWN, round(usual)) - SOWN).days
        assert found == pytest.approx(slow, abs=1.5)
