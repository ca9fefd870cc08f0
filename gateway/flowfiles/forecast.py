"""Reads the forecast's part of the scheme's practice."""

from gateway.agronomy.cropwater import KcCurve
from gateway.agronomy.forecast_practice import ForecastPractice, ReadingGaps, SoilPrior
from gateway.agronomy.weather import Climate
from gateway.flowfiles.reader import Entry

FIELDS = [name for name in ForecastPractice.__slots__ if name != "gaps"]


def forecast_of(entry: Entry) -> ForecastPractice:
    """The forecast's numbers, each checked; FlowError with place and cure for a mistake."""
    entry.keys(*FIELDS, "reading_gap_days")
    return ForecastPractice(
        climate=_climate(entry.need("climate")),
        kc=_kc(entry.need("kc")),
        soils={name: _soil(soil) for name, soil in entry.need("soils").items()},
        soil_unknown=_soil(entry.need("soil_unknown")),
        storage_median=entry.need("storage_median").number(0.05, 20, "mm per cm"),
        storage_spread=entry.need("storage_spread").number(0.05, 3),
        reading_noise_cm=entry.need("reading_noise_cm").number(0.1, 10, "cm"),
        flood_doubt_cm=entry.need("flood_doubt_cm").number(0.1, 10, "cm"),
        flooded_to_cm=entry.need("flooded_to_cm").number(0, 20, "cm"),
        tube_bottom_cm=entry.need("tube_bottom_cm").number(-100, -1, "cm"),
        horizon_days=entry.need("horizon_days").whole(7, 120, "days"),
        least_days=entry.need("least_days").number(0, 30, "days"),
        least_share=entry.need("least_share").number(0, 1),
        gaps=_gaps(entry.need("reading_gap_days")),
    )


def _climate(entry: Entry) -> Climate:
    entry.keys(*Climate.__slots__)
    return Climate(
        latitude=entry.need("latitude").number(-66, 66, "degrees"),
        mean_c=_by_latitude(entry.need("mean_c"), -20, 40),
        swing_c=_by_latitude(entry.need("swing_c"), 0, 30),
        range_c=entry.need("range_c").number(1, 30, "degrees"),
        lapse_c_m=entry.need("lapse_c_m").number(0, 0.02),
        wind_ms=entry.need("wind_ms").number(0, 20, "m/s"),
        radiation_coefficient=entry.need("radiation_coefficient").number(0.1, 0.25),
    )


def _by_latitude(entry: Entry, low: float, high: float) -> tuple[float, ...]:
    values = tuple(value.number(low, high) for value in entry.list())
    return values if len(values) > 1 else entry.fail("need a value at 0, 10, 20 ... degrees")


def _kc(entry: Entry) -> KcCurve:
    entry.keys("start", "middle", "end", "days")
    kc = {key: entry.need(key).number(0, 2) for key in ("start", "middle", "end")}
    days = [value.number(1, 200, "days") for value in entry.need("days").list()]
    if len(days) != 4:
        entry.need("days").fail("need the days of four stages")
    return KcCurve(**kc, days=(days[0], days[1], days[2], days[3]))


def _soil(entry: Entry) -> SoilPrior:
    entry.keys("seepage_mm_d", "spread", "light")
    light = entry.get("light")
    return SoilPrior(
        seepage_mm_d=entry.need("seepage_mm_d").number(0.05, 100, "mm/d"),
        spread=entry.need("spread").number(0.05, 3),
        light=light is not None and light.flag(),
    )


def _gaps(entry: Entry) -> ReadingGaps:
    entry.keys("most", "light_soil", "flowering", "after_doubt")
    gaps = {key: entry.need(key).whole(1, 30, "days") for key in ReadingGaps.__slots__}
    return ReadingGaps(**gaps)
