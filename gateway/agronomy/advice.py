"""Advice: what to do on a plot, as a code with numbers. Words come last, in another room."""

from dataclasses import dataclass, field
from datetime import date, time
from typing import Literal

from gateway.agronomy.plot import WaterSource

Stage = Literal[
    "before-planting",
    "establishment",
    "tillering",
    "panicle",
    "flowering",
    "grain-filling",
    "ripening",
    "harvested",
    "unknown",
]
Action = Literal[
    "none",
    "keep-moist",
    "keep-flooded",
    "wait",
    "reflood",
    "top-up",
    "reflood-after-nitrogen",
    "dry-to-fertilise",
    "fertilise-shallow",
    "let-out",
    "no-more-water",
    "drain",
    "ask",
]


@dataclass(frozen=True, slots=True)
class Band:
    """A value with its doubt: cm for levels."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True)
class DateBand:
    """A day with its doubt; p10 is the earliest. ``None`` where there is no such day."""

    p10: date | None = None
    p50: date | None = None
    p90: date | None = None


@dataclass(frozen=True, slots=True)
class Detail:
    """The facts that the words need beside the numbers of the contract.

    ``seen_cm`` is today's reading (cm, signed) and ``seen_dry`` today's dry tube; both empty when
    the advice rests on the forecast. ``act_by`` is the last good day to act, ``keep_until`` the
    last day of a hold or of the flowering window, ``not_before`` the day from which letting out is
    free again after a spray. ``product_kg`` is for the whole plot, rounded to 0.5 kg, from the
    approved plan only. ``water_sure`` None: supply unknown. ``too_dry`` more than a few cm past the
    threshold. ``next_water_on`` is the day on which the next water that does not run yet begins.
    ``threshold_cm`` is the signed level at which the plot needs water on this day. ``rose``: a tube
    can show today's reading, but nothing on record explains that it lies so high. ``water_source``
    is the plot's, for the caution that goes with it. ``runs_from`` is the local hour
    at which that water, or the power for it, begins on its days, where that was told.
    """

    seen_cm: float | None = None
    seen_dry: bool = False
    act_by: date | None = None
    keep_until: date | None = None
    not_before: date | None = None
    sprayed_on: date | None = None
    product: str | None = None
    product_kg: float | None = None
    water_sure: bool | None = None
    too_dry: bool = False
    harvest_on: date | None = None
    flowering_from: date | None = None
    threshold_cm: float | None = None
    next_water_on: date | None = None
    rose: bool = False
    water_source: WaterSource | None = None
    runs_from: time | None = None


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do on a plot as of a day. Depths in mm, volume in m3, hours of the outlet.

    ``reasons`` are codes: the decision table's first, then each assumption that was made.
    """

    plot: str
    as_of: date
    stage: Stage
    action: Action
    reasons: tuple[str, ...]
    level_cm: Band | None = None
    threshold_on: DateBand = field(default_factory=DateBand)
    next_reading_on: date | None = None
    flood_to_cm: float | None = None
    water_mm: float | None = None
    water_m3: float | None = None
    hours: float | None = None
    detail: Detail = field(default_factory=Detail)
