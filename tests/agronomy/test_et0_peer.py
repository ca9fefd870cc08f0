"""ET0 beside refet, a library of the ASCE standardized equation, over days, latitudes and heights.

FAO-56 and ASCE-EWRI (2005) are the same equation for a short crop. ASCE takes 4.901e-9 for FAO's
4.903e-9 MJ/K4/m2/d in longwave radiation: 0.04 % of some 6 MJ, or 0.001 mm/d. Its floor under
the darkest sky is ours too. So 0.01 mm/d, a tenth of what anybody could measure, must hold on
every day.
"""

from dataclasses import replace
from datetime import date, timedelta
from random import Random

import numpy as np
import pytest
from refet import Daily

from gateway.agronomy.air import clear_sky, vapour
from gateway.agronomy.case import WeatherDay
from gateway.agronomy.sun import extraterrestrial_radiation
from gateway.agronomy.weather import et0_of
from tests.agronomy.books import forecast

CLIMATE = forecast().climate
DAYS = 500
SAME_MM = 0.01


def invented(rng: Random, number: int, latitude: float, height: float) -> WeatherDay:
    """A day of any weather that rice may see, its sky between black cloud and clear."""
    on = date(2024, 1, 1) + timedelta(days=number)
    above = extraterrestrial_radiation(latitude, on.timetuple().tm_yday)
    tmin, rhmin = rng.uniform(-2, 29), rng.uniform(15, 90)
    return WeatherDay(
        on,
        tmin=tmin,
        tmax=tmin + rng.uniform(0.5, 18),
        rhmin=rhmin,
        rhmax=rng.uniform(rhmin, 100),
        wind_ms=rng.uniform(0, 8),
        radiation_mj=rng.uniform(0.02, 1.0) * clear_sky(above, height),
    )


def peer(days: list[WeatherDay], latitude: float, height: float) -> np.ndarray:
    found = Daily(
        tmin=np.array([day.tmin for day in days]),
        tmax=np.array([day.tmax for day in days]),
        ea=np.array([vapour(day.tmin, day.tmax, day.rhmin, day.rhmax) for day in days]),
        rs=np.array([day.radiation_mj for day in days]),
        uz=np.array([day.wind_ms for day in days]),
        zw=2,
        elev=height,
        lat=latitude,
        doy=np.array([day.on.timetuple().tm_yday for day in days]),
        method="asce",
    )
    return np.asarray(found.eto())


def ours(days: list[WeatherDay], latitude: float, height: float) -> np.ndarray:
    return np.array([et0_of(day, latitude, height, CLIMATE) for day in days])


def grid(latitude: float, height: float) -> list[WeatherDay]:
    rng = Random(f"{latitude} {height}")
    return [invented(rng, number, latitude, height) for number in range(DAYS)]


@pytest.mark.parametrize("height", [0.0, 800.0, 2500.0])
@pytest.mark.parametrize("latitude", [-45.0, -35.0, -20.0, -8.0, 0.0, 5.0, 13.7, 23.0, 36.0, 45.0])
def test_et0_is_that_of_the_peer_on_500_days(latitude: float, height: float) -> None:
    days = grid(latitude, height)
    apart = np.abs(ours(days, latitude, height) - np.maximum(0, peer(days, latitude, height)))
    assert apart.max() < SAME_MM


def test_the_comparison_can_fail() -> None:
    """Wind that was measured at 10 m and taken for wind at 2 m is seen at once."""
    days = grid(13.7, 0.0)
    high = [replace(day, wind_ms=(day.wind_ms or 0) / 0.748) for day in days]
    apart = np.abs(ours(days, 13.7, 0.0) - peer(high, 13.7, 0.0))
    assert apart.mean() > 10 * SAME_MM
