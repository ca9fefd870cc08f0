"""Every number of the scheme's practice, as one tree of plain values. None is written here.

Levels are signed cm relative to the soil surface. A field's name ends in its unit; the loader
takes the bounds of a sane value from it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from gateway.agronomy.forecast_practice import ForecastPractice

BarEffect = Literal["keep-flooded", "ask", "limit", "note"]


@dataclass(frozen=True, slots=True)
class Around:
    """Days before and after peak flowering in which the crop must not go dry."""

    before_days: int
    after_days: int


@dataclass(frozen=True, slots=True)
class CalendarPractice:
    """The phases of a crop, in days; ``window`` by what is known of the flowering date."""

    reproductive_days: int
    ripening_days: int
    seedling_age_days: int
    heading_to_peak_days: int
    earliest_heading_days: int
    shortest_duration_days: int
    harvest_grace_days: int
    drain_before_harvest_days: int
    window: Around
    window_seeded: Around
    window_assumed: Around


@dataclass(frozen=True, slots=True)
class StartPractice:
    """When alternate wetting and drying opens, and how young plants are watered until then."""

    few_weeds_days: int
    unanswered_days: int
    seeded_days: int
    moist_days: int
    young_days: int
    young_seeded_cm: float
    young_transplanted_cm: float


@dataclass(frozen=True, slots=True)
class WaterPractice:
    """Levels that mean something. ``too_dry_past_cm`` counts from the threshold downwards."""

    threshold_cm: float
    booting_threshold_cm: float
    limited_threshold_cm: float
    raised_allowed: bool
    flood_to_cm: float
    surface_cm: float
    top_up_cm: float
    shallow_cm: float
    too_deep_cm: float
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
    """How long no water may leave the plot, and how long nobody is asked to walk in."""

    hold_days: int
    reentry_hours: float


@dataclass(frozen=True, slots=True)
class SprayPractice:
    """The office's products by name in small letters, and what holds for any other."""

    unknown: SprayHold
    products: Mapping[str, SprayHold]


@dataclass(frozen=True, slots=True)
class NitrogenPractice:
    """How a split is timed against water and rain, and how its weight is rounded."""

    last_days: int
    rain_mm: float
    rain_days: int
    flood_within_days: int
    missed_days: int
    dose_step_kg: float


@dataclass(frozen=True, slots=True)
class SubmergencePractice:
    """How long a plot that lay under water is nursed."""

    pause_days: int


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
    supply: SupplyPractice
    soil_unknown: SoilPractice
    soils: Mapping[str, SoilPractice]
    bars: Mapping[str, BarEffect]
    forecast: ForecastPractice

    def soil(self, name: str | None) -> SoilPractice:
        """The soil's practice; spaces and capitals do not matter, an unheard-of soil is unknown."""
        return self.soils.get(soil_name(name), self.soil_unknown) if name else self.soil_unknown


def soil_name(name: str) -> str:
    """A soil as the practice files write it: "Sandy loam" is ``sandy-loam``."""
    return "-".join(name.casefold().replace("_", " ").replace("-", " ").split())
