"""The scheme's numbers for weather, dry-down and the day to read again."""

from collections.abc import Mapping
from dataclasses import dataclass

from gateway.agronomy.cropwater import KcCurve
from gateway.agronomy.model import LookPractice, Model
from gateway.agronomy.weather import Climate


@dataclass(frozen=True, slots=True)
class SoilPrior:
    """What a soil leads one to expect: median seepage with percolation in mm/d, and its spread.

    ``spread`` is the standard deviation of the logarithm; ``light`` soils are read more often.
    """

    seepage_mm_d: float
    spread: float
    light: bool


@dataclass(frozen=True, slots=True)
class ReadingGaps:
    """The most days from one reading or flooding to the next reading."""

    most: int
    light_soil: int
    flowering: int
    after_doubt: int


@dataclass(frozen=True, slots=True)
class TwinPractice:
    """How the flooded twin of the water account is kept, in cm above the surface."""

    top_up_at_cm: float
    top_up_to_cm: float


@dataclass(frozen=True, slots=True)
class ForecastPractice:
    """Every number of the forecast.

    ``tube_bottom_cm`` is taken where a plot's tube is not described. The band of a date is never
    narrower than ``least_days`` either way or ``least_share`` of the days to it.
    """

    climate: Climate
    kc: KcCurve
    soils: Mapping[str, SoilPrior]
    soil_unknown: SoilPrior
    model: Model
    look: LookPractice
    tube_bottom_cm: float
    horizon_days: int
    least_days: float
    least_share: float
    gaps: ReadingGaps
    twin: TwinPractice

    def soil(self, name: str | None) -> SoilPrior:
        """The prior of a soil; of an unknown one where none is named or it is not listed."""
        return self.soils.get(soil_name(name), self.soil_unknown) if name else self.soil_unknown


def soil_name(name: str) -> str:
    """A soil as the practice files write it: "Sandy loam" is ``sandy-loam``."""
    return "-".join(name.casefold().replace("_", " ").replace("-", " ").split())
