"""The air over a plot: pressure, vapour, wind and radiation of one day.

Equations and their numbers: FAO Irrigation and Drainage Paper 56 (Allen et al. 1998). Temperatures
in degrees C, pressures in kPa, humidity in %, radiation in MJ/m2/d, wind in m/s.
"""

from math import exp, log, sqrt

STEFAN_BOLTZMANN = 4.903e-9  # MJ/K4/m2/d
KELVIN = 273.16
ALBEDO = 0.23
DARKEST = 0.3
STANDARD_HEIGHT_M = 2.0  # at which FAO-56 wants the wind


def air_pressure(elevation_m: float) -> float:
    """Mean air pressure in kPa at a height above the sea (eq. 7)."""
    return float(101.3 * ((293 - 0.0065 * elevation_m) / 293) ** 5.26)


def psychrometric(elevation_m: float) -> float:
    """The psychrometric constant in kPa per degree (eq. 8)."""
    return 0.665e-3 * air_pressure(elevation_m)


def saturation(temperature: float) -> float:
    """Saturation vapour pressure in kPa (eq. 11)."""
    return 0.6108 * exp(17.27 * temperature / (temperature + 237.3))


def mean_saturation(tmin: float, tmax: float) -> float:
    """A day's mean saturation vapour pressure in kPa (eq. 12)."""
    return (saturation(tmin) + saturation(tmax)) / 2


def saturation_slope(temperature: float) -> float:
    """The slope of the saturation curve in kPa per degree (eq. 13)."""
    return 4098 * saturation(temperature) / (temperature + 237.3) ** 2


def vapour(tmin: float, tmax: float, rhmin: float | None, rhmax: float | None) -> float:
    """Actual vapour pressure in kPa: eq. 17, by the one humidity that is known, or eq. 48."""
    if rhmin is not None and rhmax is not None:
        return (saturation(tmin) * rhmax + saturation(tmax) * rhmin) / 200
    if rhmax is not None:
        return saturation(tmin) * rhmax / 100
    if rhmin is not None:
        return saturation(tmax) * rhmin / 100
    return saturation(tmin)


def wind_at_two_metres(wind_ms: float, height_m: float) -> float:
    """Wind at 2 m from wind measured at another height (eq. 47)."""
    return wind_ms * 4.87 / log(67.8 * height_m - 5.42)


def radiation_of_sunshine(sun_h: float, daylight_h: float, above_air: float) -> float:
    """Solar radiation from the hours of bright sunshine (eq. 35)."""
    return (0.25 + 0.50 * min(1.0, sun_h / daylight_h)) * above_air if daylight_h else 0.0


def radiation_of_range(tmin: float, tmax: float, above_air: float, coefficient: float) -> float:
    """Solar radiation from the range of temperature (eq. 50); 0.16 inland, 0.19 at a coast."""
    return coefficient * sqrt(max(0.0, tmax - tmin)) * above_air


def clear_sky(above_air: float, elevation_m: float) -> float:
    """Solar radiation under a clear sky (eq. 37)."""
    return (0.75 + 2e-5 * elevation_m) * above_air


def net_longwave(tmin: float, tmax: float, ea: float, solar: float, clear: float) -> float:
    """Net outgoing longwave radiation (eq. 39).

    Even under the thickest cloud some is lost: no sky counts as darker than 0.3 of a clear one,
    which FAO-56 leaves open (ASCE-EWRI 2005, standardized equation, limits of Rs/Rso).
    """
    warmth = ((tmax + KELVIN) ** 4 + (tmin + KELVIN) ** 4) / 2
    cloud = 1.35 * min(1.0, max(DARKEST, solar / clear)) - 0.35 if clear else 0.0
    return STEFAN_BOLTZMANN * warmth * (0.34 - 0.14 * sqrt(ea)) * cloud


def net_radiation(
    tmin: float, tmax: float, ea: float, solar: float, above_air: float, elevation_m: float
) -> float:
    """Net radiation at the crop (eq. 38 and 40)."""
    clear = clear_sky(above_air, elevation_m)
    return (1 - ALBEDO) * solar - net_longwave(tmin, tmax, ea, solar, clear)
