"""What the sheets of an office state once they were read, and the bounds of a sane cell."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from gateway.advisory.number import Number
from gateway.advisory.records import ReaderRole
from gateway.advisory.register import PlotOnRecord
from gateway.agronomy.case import WaterWindow, WeatherDay
from gateway.agronomy.plot import WaterSource
from gateway.agronomy.season import Method, Seedlings
from gateway.messages.letters import Letters

# -- bounds ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Span:
    """The range of a sane value, both ends included."""

    least: float
    most: float


@dataclass(frozen=True, slots=True)
class PlotBounds:
    """Of the cells of a plot, in the unit that each name ends in; latitude in degrees."""

    area_ha: Span
    outlet_lps: Span
    latitude: Span
    elevation_m: Span
    rim_cm: Span
    tube_bottom_cm: Span
    water_ec_ds_m: Span
    bund_cm: Span
    threshold_cm: Span
    pump_lps: Span
    duration_days: Span


@dataclass(frozen=True, slots=True)
class WeatherBounds:
    """Of a day's weather, in the units of ``WeatherDay``, and of the height of the anemometer."""

    tmin: Span
    tmax: Span
    rain_mm: Span
    et0_mm: Span
    rhmin: Span
    rhmax: Span
    wind_ms: Span
    sun_h: Span
    radiation_mj: Span
    wind_height_m: Span
    rhmean: Span


@dataclass(frozen=True, slots=True)
class PlanBounds:
    """Of a nitrogen plan; ``split_days`` count from the establishment.

    ``plan_kg`` is the weight of the product set aside for one plot.
    """

    n_percent: Span
    kg_n_ha: Span
    plan_kg: Span
    split_days: Span


@dataclass(frozen=True, slots=True)
class DayBounds:
    """How many days a date may lie from the day of reading, before it negative.

    ``same_crop``: so far a crop may lie from one on record and still be that one, put right.
    ``raised``: of the day on which a deeper dry limit was allowed.
    """

    season: Span
    raised: Span
    weather: Span
    water: Span
    same_crop: Span


@dataclass(frozen=True, slots=True)
class SheetBounds:
    """Everything outside is taken for a slip of the pen."""

    plots: PlotBounds
    weather: WeatherBounds
    plans: PlanBounds
    days: DayBounds


# -- what a sheet is read against -----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ThresholdRules:
    """How deep a plot may dry: the usual limit and the tube's usual bottom (signed cm), and the
    step (cm) that a named officer may add a season. Bars in ``barring`` and profiles in ``closed``
    allow none deeper."""

    usual_cm: float
    step_cm: float
    bottom_cm: float
    barring: frozenset[str] = frozenset()
    closed: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Known:
    """What the cells of a sheet of plots may name, and ``today`` in the scheme's zone.

    ``crop_seasons`` are the seasons of the year that the office's table of varieties tells apart.

    ``plots`` are the plots on record by code, ``blocks`` the outlet of each block on record.
    ``sayable`` tells whether a grower who texts a code is understood.
    """

    today: date
    bounds: SheetBounds
    region: str | None
    languages: Collection[str]
    soils: Collection[str]
    bars: Collection[str]
    profiles: Collection[str]
    plans: Collection[str]
    plots: Mapping[str, PlotOnRecord]
    blocks: Mapping[str, str]
    sayable: Callable[[str], bool]
    thresholds: ThresholdRules
    crop_seasons: Collection[str] = ()


# -- entries --------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class BlockEntry:
    """A block; None where the sheet says nothing."""

    line: int
    name: str
    outlet: str | None = None
    outlet_lps: float | None = None


@dataclass(frozen=True, slots=True)
class ReaderEntry:
    """A phone that reads a plot, and for whom."""

    line: int
    number: Number
    grower: str
    language: str | None = None
    reads: Literal["soil", "rim"] | None = None
    role: ReaderRole | None = None
    letters: Letters | None = None


@dataclass(frozen=True, slots=True)
class SeasonEntry:
    """A crop; None where the sheet says nothing. ``plan`` names an approved nitrogen plan."""

    line: int
    method: Method
    established_on: date
    sown_on: date | None = None
    duration_days: int | None = None
    variety: str | None = None
    plan: str | None = None
    crop_season: str | None = None
    photoperiod_sensitive: bool | None = None
    uneven: bool | None = None
    seedlings: Seedlings | None = None


@dataclass(frozen=True, slots=True)
class PlotEntry:
    """A plot with its people and its crop. ``facts`` are fields of ``Plot``, those told alone."""

    line: int
    code: str
    block: str | None
    facts: Mapping[str, Any]
    grower: str | None = None
    readers: tuple[ReaderEntry, ...] = ()
    season: SeasonEntry | None = None


@dataclass(frozen=True, slots=True)
class PlotSheet:
    """A sheet of plots that is in order; ``same_crop`` as in the bounds it was read by."""

    name: str
    blocks: tuple[BlockEntry, ...]
    plots: tuple[PlotEntry, ...]
    same_crop: Span


@dataclass(frozen=True, slots=True)
class WeatherSheet:
    """A sheet of daily weather that is in order: line and day."""

    name: str
    days: tuple[tuple[int, WeatherDay], ...]


@dataclass(frozen=True, slots=True)
class Turn:
    """Water to come, as a line tells it; ``window`` None: none is known to come.

    ``source`` is whose water it is: a turn of the outlet, or the power hours of a kind of pump.
    """

    line: int
    window: WaterWindow | None
    source: WaterSource = "gravity-turn"


@dataclass(frozen=True, slots=True)
class WaterSheet:
    """A sheet of water to come that is in order: the turns of each block that it names."""

    name: str
    blocks: Mapping[str, tuple[Turn, ...]]
