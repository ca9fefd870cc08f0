"""Every number of the scheme's practice, as one tree of plain values. None is written here.

Levels are signed cm relative to the soil surface. A field's name ends in its unit; the loader
takes the bounds of a sane value from it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from gateway.agronomy.forecast_practice import ForecastPractice
from gateway.agronomy.thermal import ThermalPractice
from gateway.agronomy.varieties import Variety

BarEffect = Literal["keep-flooded", "ask", "limit", "note"]


@dataclass(frozen=True, slots=True)
class Around:
    """Days before and after peak flowering in which the crop must not go dry."""

    before_days: int
    after_days: int


@dataclass(frozen=True, slots=True)
class CalendarPractice:
    """The phases of a crop, in days; ``window`` by what is known of the flowering date.

    ``seedling_ages`` by the kind of seedlings; ``ask_heading_days`` before peak flowering a report
    of heads is missed; "still green" puts the end off by ``green_defers_days``.
    """

    reproductive_days: int
    ripening_days: int
    seedling_age_days: int
    seedling_ages: Mapping[str, int]
    heading_to_peak_days: int
    earliest_heading_days: int
    shortest_duration_days: int
    harvest_grace_days: int
    drain_before_harvest_days: int
    ask_heading_days: int
    green_defers_days: int
    least_last_irrigation_days: int
    window: Around
    window_seeded: Around
    window_assumed: Around


@dataclass(frozen=True, slots=True)
class StartPractice:
    """When alternate wetting and drying opens, and how young plants are watered until then.

    A seeded stand of ``tall_cm`` opens it sooner than ``seeded_days``.
    ``young_share`` is the part of a known height that water may cover on young plants; a height
    counts for ``height_days``. Snails count for ``snails_count_days`` after a report, until the
    crop is ``snail_days`` old.
    """

    few_weeds_days: int
    unanswered_days: int
    seeded_days: int
    tall_cm: float
    moist_days: int
    young_days: int
    young_seeded_cm: float
    young_transplanted_cm: float
    young_share: float
    height_days: int
    snail_cm: float
    snail_days: int
    snails_count_days: int


@dataclass(frozen=True, slots=True)
class WaterPractice:
    """Levels that mean something. ``too_dry_past_cm`` counts from the threshold downwards."""

    threshold_cm: float
    booting_threshold_cm: float
    limited_threshold_cm: float
    raised_allowed: bool
    raise_step_cm: float
    flood_to_cm: float
    surface_cm: float
    top_up_cm: float
    shallow_cm: float
    too_deep_cm: float
    deep_share: float
    too_dry_past_cm: float
    below_tube_cm: float
    deepest_cm: float
    highest_cm: float
    act_within_days: int
    fill_hours: float


@dataclass(frozen=True, slots=True)
class WeedPractice:
    """How long a weedy stand is kept flooded after it was reported."""

    hold_days: int


@dataclass(frozen=True, slots=True)
class SprayHold:
    """How long no water may leave the plot, and how long nobody is asked to walk in.

    ``keep_cm``: the product needs so much standing water while its hold runs.
    """

    hold_days: int
    reentry_hours: float
    keep_cm: float | None = None


@dataclass(frozen=True, slots=True)
class SprayPractice:
    """The office's products by name in small letters, and what holds for any other."""

    unknown: SprayHold
    products: Mapping[str, SprayHold]


@dataclass(frozen=True, slots=True)
class NitrogenPractice:
    """How a split is timed against water and rain, and how its weight is rounded.

    ``in_holds``: inside a hold a split waits, or goes onto shallow water with inlet and outlet
    shut. A weight of more than ``plan_excess`` times the plan's is asked about, not told.
    """

    last_days: int
    rain_mm: float
    rain_days: int
    flood_within_days: int
    missed_days: int
    dose_step_kg: float
    in_holds: Literal["wait", "shallow"]
    plan_excess: float


@dataclass(frozen=True, slots=True)
class SubmergencePractice:
    """How long a plot that lay under water is nursed, counted from the first low reading.

    Without a reading it counts as under water for ``longest_days``; after ``replant_days`` under
    water the office decides about planting again.
    """

    pause_days: int
    replant_days: int
    longest_days: int


@dataclass(frozen=True, slots=True)
class TemperaturePractice:
    """Cold and heat, each only where the office has switched it on; temperatures in C.

    ``cold_before_days`` before peak flowering the pollen suffers; deeper water then is ``cold_cm``,
    or what the bund holds with ``freeboard_cm`` to spare, ``bund_unknown_cm`` where nobody
    measured it. ``ahead_days`` of the forecast are looked at beside the case's day.
    """

    cold: bool
    cold_tmin_c: float
    cold_before_days: int
    cold_cm: float
    bund_unknown_cm: float
    freeboard_cm: float
    heat: bool
    heat_tmax_c: float
    ahead_days: int


@dataclass(frozen=True, slots=True)
class QualityPractice:
    """What makes a plot's readings look made up: the same number, or round numbers alone.

    A rise of more than ``rise_cm`` from one day's reading to another's needs rain or a flooding;
    two that lie ``agree_cm`` or less apart bear each other out. ``alike_count`` readings of one
    reader within ``alike_days`` that only repeat another plot's of the day, and ``weather_count``
    spans with ``weather_rain_mm`` of rain in which the water fell as fast as ever, look made up
    too.
    """

    same_count: int
    round_cm: float
    round_count: int
    rise_cm: float
    agree_cm: float
    alike_count: int
    alike_days: int
    weather_rain_mm: float
    weather_count: int


@dataclass(frozen=True, slots=True)
class LossPractice:
    """Between what bounds a plot loses water, judged by ``least_days`` without rain of the last
    ``within_days``: standing water at least ``least_ponded_mm_d`` and at most what its soil may let
    through and ``most_demand_mm_d``; below the surface ``least_fall_cm_d`` at least.
    """

    within_days: int
    least_days: int
    least_ponded_mm_d: float
    most_demand_mm_d: float
    least_fall_cm_d: float


@dataclass(frozen=True, slots=True)
class SalinityPractice:
    """Field water saltier than this counts as the bar ``saline``."""

    field_water_ds_m: float
    bar: str


@dataclass(frozen=True, slots=True)
class SupplyPractice:
    """What counts as sure water, and from when its absence is a matter for the office."""

    sure_within_days: int
    no_water_counts_days: int
    look_ahead_days: int


@dataclass(frozen=True, slots=True)
class SoilPractice:
    """What a soil changes beside its loss: the last irrigation, counted from peak flowering."""

    last_irrigation_days: int


@dataclass(frozen=True, slots=True)
class Practice:
    """The practice of a scheme, or of one of its profiles (``profile`` is then its name)."""

    profile: str
    calendar: CalendarPractice
    start: StartPractice
    water: WaterPractice
    weeds: WeedPractice
    spray: SprayPractice
    nitrogen: NitrogenPractice
    submergence: SubmergencePractice
    temperature: TemperaturePractice
    thermal: ThermalPractice
    salinity: SalinityPractice
    quality: QualityPractice
    losses: LossPractice
    supply: SupplyPractice
    soil_unknown: SoilPractice
    soils: Mapping[str, SoilPractice]
    bars: Mapping[str, BarEffect]
    forecast: ForecastPractice
    varieties: Mapping[str, Variety]

    def soil(self, name: str | None) -> SoilPractice:
        """The soil's practice; spaces and capitals do not matter, an unheard-of soil is unknown."""
        return self.soils.get(soil_name(name), self.soil_unknown) if name else self.soil_unknown


def soil_name(name: str) -> str:
    """A soil as the practice files write it: "Sandy loam" is ``sandy-loam``."""
    return "-".join(name.casefold().replace("_", " ").replace("-", " ").split())
