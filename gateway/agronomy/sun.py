"""The sun over a plot: radiation above the air and hours of daylight.

Equations and their numbers: Allen, Pereira, Raes, Smith 1998, FAO Irrigation and Drainage Paper 56.
Angles are computed in radians; latitudes come in degrees, south negative.
"""

from functools import lru_cache
from math import acos, cos, pi, radians, sin, tan

SOLAR_CONSTANT = 0.0820  # MJ/m2/min


def relative_distance(day_of_year: int) -> float:
    """The inverse relative distance of earth and sun, no unit (eq. 23)."""
    return 1 + 0.033 * cos(2 * pi * day_of_year / 365)


def declination(day_of_year: int) -> float:
    """The sun's declination in radians (eq. 24)."""
    return 0.409 * sin(2 * pi * day_of_year / 365 - 1.39)


def sunset_angle(latitude: float, day_of_year: int) -> float:
    """The sunset hour angle in radians (eq. 25); 0 in polar night, pi in polar day."""
    cosine = -tan(radians(latitude)) * tan(declination(day_of_year))
    return acos(min(1.0, max(-1.0, cosine)))


@lru_cache(maxsize=8192)
def extraterrestrial_radiation(latitude: float, day_of_year: int) -> float:
    """Radiation above the air, Ra, in MJ/m2/d (eq. 21)."""
    phi, delta = radians(latitude), declination(day_of_year)
    angle = sunset_angle(latitude, day_of_year)
    geometry = angle * sin(phi) * sin(delta) + cos(phi) * cos(delta) * sin(angle)
    return 24 * 60 / pi * SOLAR_CONSTANT * relative_distance(day_of_year) * max(0.0, geometry)


def daylight_hours(latitude: float, day_of_year: int) -> float:
    """Hours from sunrise to sunset, N (eq. 34)."""
    return 24 * sunset_angle(latitude, day_of_year) / pi
