"""ET0 against the worked examples of FAO Irrigation and Drainage Paper 56 (Allen et al. 1998).

The printed figures are quoted as secondary texts give them; rows tagged "from memory" say so.
"""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gateway.agronomy import air, sun
from gateway.agronomy.case import WeatherDay
from gateway.agronomy.judge import judge
from gateway.agronomy.weather import (
    Climate,
    et0_of,
    hargreaves,
    penman_monteith,
    usual_et0,
)
from tests.agronomy.books import forecast
from tests.agronomy.plots import book, in_stage

CLIMATE = Climate(
    latitude=15,
    mean_c=(26, 26.5, 25.5, 20, 14, 6, -2, -10, -17, -20),
    swing_c=(1, 1.5, 4, 8, 10, 12, 14, 15, 16, 17),
    range_c=10,
    lapse_c_m=0.0065,
    wind_ms=2,
    radiation_coefficient=0.16,
)
LYON = WeatherDay(on=date(2025, 7, 15), tmin=14.8, tmax=26.6)


def test_example_2_pressure_and_psychrometric_constant_at_1800_m() -> None:
    assert air.air_pressure(1800) == pytest.approx(81.8, abs=0.05)
    assert air.psychrometric(1800) == pytest.approx(0.054, abs=0.0005)


def test_example_3_saturation_pressure_is_the_mean_of_both_ends_and_not_of_the_mean() -> None:
    assert air.saturation(24.5) == pytest.approx(3.075, abs=0.001)
    assert air.saturation(15) == pytest.approx(1.705, abs=0.001)
    assert air.mean_saturation(15, 24.5) == pytest.approx(2.39, abs=0.005)


def test_example_5_vapour_pressure_from_humidity_at_both_ends() -> None:
    assert air.vapour(18, 25, 54, 82) == pytest.approx(1.70, abs=0.005)


def test_example_5_vapour_pressure_from_a_mean_humidity() -> None:
    """A mean of 68 % stands for both ends: eq. 19."""
    assert air.vapour(18, 25, 68, 68) == pytest.approx(1.78, abs=0.005)


def test_example_8_radiation_above_the_air_at_20_south_on_3_september() -> None:
    assert sun.relative_distance(246) == pytest.approx(0.985, abs=0.0005)
    assert sun.declination(246) == pytest.approx(0.120, abs=0.0005)
    assert sun.sunset_angle(-20, 246) == pytest.approx(1.527, abs=0.0005)
    assert sun.extraterrestrial_radiation(-20, 246) == pytest.approx(32.2, abs=0.05)


def test_example_9_daylight_at_20_south_on_3_september() -> None:
    assert sun.daylight_hours(-20, 246) == pytest.approx(11.7, abs=0.05)


def test_example_10_solar_radiation_from_sunshine() -> None:
    above = sun.extraterrestrial_radiation(-22.9, 135)
    hours = sun.daylight_hours(-22.9, 135)
    assert air.radiation_of_sunshine(7.1, hours, above) == pytest.approx(14.5, abs=0.05)


def test_example_14_wind_at_two_metres() -> None:  # printed figure from memory
    assert air.wind_at_two_metres(3.2, 10) == pytest.approx(2.4, abs=0.05)


@pytest.mark.parametrize(
    ("ground", "printed"),
    [
        pytest.param(0.14, 5.72, id="monthly-with-ground-heat"),
        pytest.param(0.0, 5.755, id="daily-without-ground-heat"),  # computed, not printed
    ],
)
def test_example_17_monthly_penman_monteith_at_13_north(ground: float, printed: float) -> None:
    latitude, day = 13 + 44 / 60, 105
    above = sun.extraterrestrial_radiation(latitude, day)
    assert above == pytest.approx(38.06, abs=0.01)
    solar = air.radiation_of_sunshine(8.5, sun.daylight_hours(latitude, day), above)
    assert solar == pytest.approx(22.65, abs=0.01)
    net = air.net_radiation(25.6, 34.8, 2.85, solar, above, 2)
    found = penman_monteith(
        tmin=25.6, tmax=34.8, ea=2.85, net=net, wind_ms=2, elevation_m=2, ground=ground
    )
    assert found == pytest.approx(printed, abs=0.005)


def test_example_18_daily_penman_monteith_from_a_full_set() -> None:
    wind = air.wind_at_two_metres(10 / 3.6, 10)
    assert wind == pytest.approx(2.078, abs=0.001)
    day = WeatherDay(
        on=date(2025, 7, 6), tmin=12.3, tmax=21.5, rhmin=63, rhmax=84, wind_ms=wind, sun_h=9.25
    )
    assert et0_of(day, 50.8, 100, CLIMATE) == pytest.approx(3.88, abs=0.005)


def test_example_20_temperatures_alone_give_hargreaves() -> None:
    above = sun.extraterrestrial_radiation(45 + 43 / 60, 196)
    assert hargreaves(14.8, 26.6, above) == pytest.approx(5.03, abs=0.005)
    assert et0_of(LYON, 45 + 43 / 60, 200, CLIMATE) == pytest.approx(5.03, abs=0.005)


def test_example_20_penman_monteith_with_usual_wind_and_vapour_of_the_minimum() -> None:
    day = replace(LYON, wind_ms=2)  # one field beyond temperatures asks for the full equation
    assert et0_of(day, 45 + 43 / 60, 200, CLIMATE) == pytest.approx(4.56, abs=0.005)


def test_a_given_et0_is_taken_as_it_stands() -> None:
    assert et0_of(replace(LYON, et0_mm=7.7), 45, 0, CLIMATE) == 7.7


@pytest.mark.parametrize("latitude", [-90, -66, 0, 66, 90])
@pytest.mark.parametrize("day_of_year", [1, 80, 172, 266, 355, 366])
def test_daylight_stays_within_a_day_at_every_latitude(latitude: int, day_of_year: int) -> None:
    assert 0 <= sun.daylight_hours(latitude, day_of_year) <= 24
    assert sun.extraterrestrial_radiation(latitude, day_of_year) >= 0


def test_polar_day_and_polar_night() -> None:
    assert sun.daylight_hours(80, 172) == pytest.approx(24)
    assert sun.extraterrestrial_radiation(80, 355) == 0


@pytest.mark.parametrize(
    ("latitude", "january", "july"),  # FAO-56 annex 2 table 2.6 by its own equation, mid-month
    [(20, 26.8, 39.3), (10, 31.9, 37.1), (0, 36.2, 33.9), (-10, 39.5, 29.9), (-20, 41.9, 25.1)],
)
def test_radiation_by_month_and_latitude(latitude: float, january: float, july: float) -> None:
    assert sun.extraterrestrial_radiation(latitude, 15) == pytest.approx(january, abs=0.06)
    assert sun.extraterrestrial_radiation(latitude, 197) == pytest.approx(july, abs=0.06)


@pytest.mark.parametrize("month", range(1, 13))
@pytest.mark.parametrize("latitude", [0, 10, 20])
def test_usual_et0_of_the_tropics_lies_where_demand_is_measured(
    latitude: float, month: int
) -> None:
    """Atmospheric demand of 3 to 8 mm/d in the tropics (measured range, secondary source)."""
    assert 3 <= usual_et0(date(2025, month, 15), latitude, 0, CLIMATE) <= 8


def test_without_a_place_or_a_temperature_there_is_still_a_usual_et0() -> None:
    assert 3 <= et0_of(WeatherDay(on=date(2025, 3, 1)), None, None, CLIMATE) <= 8


def test_the_south_has_its_summer_in_january() -> None:
    january, july = date(2025, 1, 15), date(2025, 7, 15)
    assert usual_et0(january, -35, 0, CLIMATE) > 2 * usual_et0(july, -35, 0, CLIMATE)
    assert usual_et0(july, 35, 0, CLIMATE) > 2 * usual_et0(january, 35, 0, CLIMATE)


temperatures = st.floats(-30, 55)


@given(
    temperatures,
    temperatures,
    st.none() | st.floats(0, 100),
    st.none() | st.floats(0, 100),
    st.none() | st.floats(0, 15),
    st.none() | st.floats(0, 24),
    st.floats(-66, 66),
    st.floats(-50, 3500),
)
def test_any_weather_gives_a_demand_between_nothing_and_a_desert_storm(
    one: float,
    other: float,
    rhmin: float | None,
    rhmax: float | None,
    wind: float | None,
    sun_h: float | None,
    latitude: float,
    height: float,
) -> None:
    day = WeatherDay(date(2025, 5, 1), None, None, one, other, rhmin, rhmax, wind, sun_h)
    assert 0 <= et0_of(day, latitude, height, CLIMATE) < 60


@pytest.mark.parametrize(
    ("weather", "latitude", "named"),
    [
        ((), 15.0, {"weather-usual"}),
        ((), None, {"weather-usual", "latitude-assumed"}),
        ((WeatherDay(date(2026, 2, 1), rain_mm=4),), 15.0, {"weather-usual"}),
        ((WeatherDay(date(2026, 2, 1), tmin=22, tmax=31),), None, set()),
        ((WeatherDay(date(2026, 2, 1), et0_mm=5),), None, set()),
    ],
    ids=["none", "no place", "rain alone", "temperatures", "et0"],
)
def test_what_is_usual_is_named_where_it_stands_for_the_weather(
    weather: tuple[WeatherDay, ...], latitude: float | None, named: set[str]
) -> None:
    case = in_stage("tillering", -6)
    case = replace(case, weather=weather, plot=replace(case.plot, latitude=latitude))
    reasons = set(judge(case, book()).reasons)
    assert reasons & {"weather-usual", "latitude-assumed"} == named


@pytest.mark.parametrize(
    ("latitude", "january", "july"), [(20, 3.01, 5.58), (-20, 5.94, 2.82)], ids=["north", "south"]
)
def test_the_usual_demand_follows_latitude_and_month(
    latitude: float, january: float, july: float
) -> None:
    """Hargreaves by hand from the shipped table (20 C in winter, 30 C in summer, range 10 C) and
    Ra at 20 degrees by FAO-56: 26.8 and 39.3 MJ/m2/d north, 41.9 and 25.1 south."""
    usual = forecast().climate
    assert usual_et0(date(2025, 1, 15), latitude, 0, usual) == pytest.approx(january, rel=0.02)
    assert usual_et0(date(2025, 7, 16), latitude, 0, usual) == pytest.approx(july, rel=0.02)
