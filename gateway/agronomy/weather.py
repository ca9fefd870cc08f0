"""Reference evapotranspiration, ET0 in mm/d, from whatever a day's weather holds.

Penman-Monteith and Hargreaves as in FAO Irrigation and Drainage Paper 56 (Allen et al. 1998); where
no temperature is known, Hargreaves on the temperatures that are usual for latitude and season.
"""

from dataclasses import dataclass
from datetime import date
from math import cos, pi, sqrt

from gateway.agronomy.air import (
    mean_saturation,
    net_radiation,
    psychrometric,
    radiation_of_range,
    radiation_of_sunshine,
    saturation_slope,
    vapour,
)
from gateway.agronomy.case import WeatherDay
from gateway.agronomy.sun import daylight_hours, extraterrestrial_radiation

MM_PER_MJ = 0.408  # 1 / 2.45 MJ/kg, FAO-56 eq. 20
WARMEST_DAY_NORTH = 200  # about a month after the solstice; half a year on in the south


@dataclass(frozen=True, slots=True)
class Climate:
    """What is usual where the weather is not known, common practice without a source.

    ``mean_c`` and ``swing_c``: the year's mean temperature at sea level and half of the difference
    of its warmest and coldest month, at latitudes 0, 10, 20 ... degrees. ``range_c`` is the usual
    difference of Tmax and Tmin, ``lapse_c_m`` the cooling with height, ``wind_ms`` at 2 m.
    """

    latitude: float
    mean_c: tuple[float, ...]
    swing_c: tuple[float, ...]
    range_c: float
    lapse_c_m: float
    wind_ms: float
    radiation_coefficient: float


def penman_monteith(
    *,
    tmin: float,
    tmax: float,
    ea: float,
    net: float,
    wind_ms: float,
    elevation_m: float,
    ground: float = 0.0,
) -> float:
    """ET0 in mm/d (eq. 6); ``net`` and ``ground`` heat flux in MJ/m2/d, wind at 2 m."""
    mean = (tmin + tmax) / 2
    slope, gamma = saturation_slope(mean), psychrometric(elevation_m)
    shortage = max(0.0, mean_saturation(tmin, tmax) - ea)
    wind_part = gamma * 900 / (mean + 273) * wind_ms * shortage
    return (MM_PER_MJ * slope * (net - ground) + wind_part) / (slope + gamma * (1 + 0.34 * wind_ms))


def hargreaves(tmin: float, tmax: float, above_air: float) -> float:
    """ET0 in mm/d from temperatures alone (eq. 52); ``above_air`` is Ra in MJ/m2/d."""
    warmth = (tmin + tmax) / 2 + 17.8
    return max(0.0, 0.0023 * warmth * sqrt(max(0.0, tmax - tmin)) * MM_PER_MJ * above_air)


def et0_of(
    day: WeatherDay, latitude: float | None, elevation_m: float | None, climate: Climate
) -> float:
    """ET0 of a day in mm: as given, else by the fullest equation its fields allow."""
    if day.et0_mm is not None:
        return day.et0_mm
    if day.tmin is None or day.tmax is None:
        return usual_et0(day.on, latitude, elevation_m, climate)
    place = climate.latitude if latitude is None else latitude
    above_air = extraterrestrial_radiation(place, day.on.timetuple().tm_yday)
    low, high = min(day.tmin, day.tmax), max(day.tmin, day.tmax)
    if _temperatures_alone(day):
        return hargreaves(low, high, above_air)
    solar = _solar(day, place, above_air, climate)
    ea = vapour(low, high, day.rhmin, day.rhmax)
    net = net_radiation(low, high, ea, solar, above_air, elevation_m or 0.0)
    wind = climate.wind_ms if day.wind_ms is None else day.wind_ms
    heights = elevation_m or 0.0
    return max(
        0.0,
        penman_monteith(tmin=low, tmax=high, ea=ea, net=net, wind_ms=wind, elevation_m=heights),
    )


def usual_et0(
    on: date, latitude: float | None, elevation_m: float | None, climate: Climate
) -> float:
    """ET0 in mm that is usual for a latitude, a height and a day of the year."""
    place = climate.latitude if latitude is None else latitude
    above_air = extraterrestrial_radiation(place, on.timetuple().tm_yday)
    return hargreaves(*usual_range(on, place, elevation_m, climate), above_air)


def usual_range(
    on: date, latitude: float, elevation_m: float | None, climate: Climate
) -> tuple[float, float]:
    """Tmin and Tmax in C that are usual for a latitude, a height and a day of the year."""
    mean = _usual_temperature(latitude, on.timetuple().tm_yday, climate)
    mean -= climate.lapse_c_m * (elevation_m or 0.0)
    half = climate.range_c / 2
    return mean - half, mean + half


def _temperatures_alone(day: WeatherDay) -> bool:
    fields = (day.rhmin, day.rhmax, day.wind_ms, day.sun_h, day.radiation_mj)
    return all(field is None for field in fields)


def _solar(day: WeatherDay, latitude: float, above_air: float, climate: Climate) -> float:
    if day.radiation_mj is not None:
        return day.radiation_mj
    if day.sun_h is not None:
        hours = daylight_hours(latitude, day.on.timetuple().tm_yday)
        return radiation_of_sunshine(day.sun_h, hours, above_air)
    assert day.tmin is not None
    assert day.tmax is not None
    low, high = min(day.tmin, day.tmax), max(day.tmin, day.tmax)
    return radiation_of_range(low, high, above_air, climate.radiation_coefficient)


def _usual_temperature(latitude: float, day_of_year: int, climate: Climate) -> float:
    mean = _by_latitude(climate.mean_c, latitude)
    swing = _by_latitude(climate.swing_c, latitude)
    peak = WARMEST_DAY_NORTH if latitude >= 0 else WARMEST_DAY_NORTH + 365 / 2
    return mean + swing * cos(2 * pi * (day_of_year - peak) / 365)


def _by_latitude(by_ten: tuple[float, ...], latitude: float) -> float:
    place = min(abs(latitude) / 10, len(by_ten) - 1.0)
    low = min(int(place), len(by_ten) - 2)
    return by_ten[low] + (by_ten[low + 1] - by_ten[low]) * (place - low)
