"""Reads the forecast's part of the scheme's practice."""

from collections.abc import Mapping
from typing import TypeVar

from gateway.agronomy.cropwater import KcCurve, kc_for_climate
from gateway.agronomy.forecast_practice import (
    ForecastPractice,
    ReadingGaps,
    SoilPrior,
    TwinPractice,
)
from gateway.agronomy.model import LookPractice, Model
from gateway.agronomy.weather import Climate
from gateway.flowfiles.reader import Entry

T = TypeVar("T")
Bounds = tuple[float, float]
FIELDS = [name for name in ForecastPractice.__slots__ if name != "gaps"]
MODEL: dict[str, Bounds] = {
    "guesses": (64, 4096),
    "storage_median": (0.05, 20.0),
    "storage_spread": (0.05, 3.0),
    "storage_with_seepage": (-0.9, 0.9),
    "loss_below": (0.2, 1.0),
    "loss_below_spread": (0.0, 1.0),
    "use_spread": (0.01, 1.0),
    "rate_per_cm": (-0.01, 0.1),
    "rate_spread": (0.001, 0.05),
    "change_of_loss": (0.0, 1.0),
    "change_of_storage": (0.0, 1.0),
    "change_of_use": (0.0, 1.0),
    "change_of_rate": (0.0, 0.05),
    "changes_between_seasons": (0.0, 1000.0),
    "reading_noise_cm": (0.1, 10.0),
    "first_noise_cm": (0.1, 10.0),
    "first_readings": (0, 100),
    "flood_doubt_cm": (0.1, 10.0),
    "block_flood_doubt_cm": (0.1, 10.0),
    "flooded_to_cm": (0.0, 20.0),
    "day_doubt": (0.01, 1.0),
    "rain_doubt": (0.01, 2.0),
    "block_rain_doubt": (0.01, 2.0),
    "forecast_rain_missed": (0.0, 1.0),
    "forecast_rain_spread": (0.0, 2.0),
    "surprise": (0.5, 6.0),
    "jump_cm": (1.0, 40.0),
    "reach_cm": (0.5, 40.0),
    "doubtful_share": (0.0, 0.5),
    "bund_cm": (1.0, 60.0),
}
TWIN: dict[str, Bounds] = {"top_up_at_cm": (0.0, 20.0), "top_up_to_cm": (0.5, 20.0)}
LOOK: dict[str, Bounds] = {
    "late_cost": (0.0, 1000.0),
    "late_cost_unknown": (0.0, 1000.0),
    "again_cost": (0.0, 1000.0),
    "again_cost_unknown": (0.0, 1000.0),
    "late_cm": (0.5, 20.0),
    "early_cost": (0.0, 1000.0),
    "early_cm": (0.5, 20.0),
    "ripe_cm": (0.0, 20.0),
    "late_chance": (0.0, 1.0),
    "past_chance": (0.0, 1.0),
    "likely_chance": (0.0, 1.0),
    "near_cm": (0.0, 10.0),
    "known_levels": (0, 50),
    "bins": (1, 50),
    "fast_cm_d": (1.0, 50.0),
}


def forecast_of(entry: Entry) -> ForecastPractice:
    """The forecast's numbers, each checked; FlowError with place and cure for a mistake."""
    entry.keys(*FIELDS, "reading_gap_days")
    return ForecastPractice(
        climate=_climate(entry.need("climate")),
        kc=_kc(entry.need("kc")),
        soils={name: _soil(soil) for name, soil in entry.need("soils").items()},
        soil_unknown=_soil(entry.need("soil_unknown")),
        model=_numbers(Model, entry.need("model"), MODEL),
        look=_numbers(LookPractice, entry.need("look"), LOOK),
        tube_bottom_cm=entry.need("tube_bottom_cm").number(-100, -1, "cm"),
        horizon_days=entry.need("horizon_days").whole(7, 120, "days"),
        least_days=entry.need("least_days").number(0, 30, "days"),
        least_share=entry.need("least_share").number(0, 1),
        gaps=_gaps(entry.need("reading_gap_days")),
        twin=_numbers(TwinPractice, entry.need("twin"), TWIN),
    )


def _numbers(cls: type[T], entry: Entry, bounds: Mapping[str, Bounds]) -> T:
    """A dataclass of plain numbers, each within its bounds; whole ones have whole bounds."""
    entry.keys(*bounds)
    values = {
        name: entry.need(name).whole(low, high)
        if isinstance(low, int) and isinstance(high, int)
        else entry.need(name).number(low, high)
        for name, (low, high) in bounds.items()
    }
    return cls(**values)


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
    entry.keys("start", "middle", "end", "days", "usual_climate")
    kc = {key: entry.need(key).number(0, 2) for key in ("start", "middle", "end")}
    usual = entry.get("usual_climate")
    if usual is not None:
        kc |= {key: _in_climate(kc[key], usual) for key in ("middle", "end")}
    days = [value.number(1, 200, "days") for value in entry.need("days").list()]
    if len(days) != 4:
        entry.need("days").fail("need the days of four stages")
    return KcCurve(**kc, days=(days[0], days[1], days[2], days[3]))


def _in_climate(kc: float, usual: Entry) -> float:
    """Kc where wind and humidity are usually others than the table's; bounds as in FAO-56."""
    usual.keys("wind_ms", "rhmin", "height_m")
    return kc_for_climate(
        kc,
        usual.need("wind_ms").number(1, 6, "m/s"),
        usual.need("rhmin").number(20, 80, "percent"),
        usual.need("height_m").number(0.1, 10, "m"),
    )


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
