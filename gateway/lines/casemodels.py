"""The case of ``gateway advise`` as it stands in JSON: closed, strict, every bound named."""

from datetime import date
from typing import Annotated, Literal, Self

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    model_validator,
)

from gateway.agronomy.plot import WaterSource
from gateway.agronomy.season import Method, Seedlings

Level = Annotated[float, Field(ge=-100, le=100, description="cm, + above and - below the surface")]
Code = Annotated[str, StringConstraints(min_length=1, max_length=40)]
Words = Annotated[str, StringConstraints(max_length=500)]
Name = Annotated[str, StringConstraints(min_length=1, max_length=200, pattern=r"\S")]
Day = Annotated[date, Field(ge=date(1900, 1, 1), le=date(2200, 12, 31))]
Clock = Annotated[str, StringConstraints(pattern=r"^([01][0-9]|2[0-3]):[0-5][0-9]$")]


def _whole(value: object) -> object:
    """120.0 is a whole number too, as many programs write it."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


Whole = Annotated[int, BeforeValidator(_whole)]


class Part(BaseModel):
    """A part of the case: unknown keys and values of another type are mistakes."""

    model_config = ConfigDict(
        extra="forbid", strict=True, allow_inf_nan=False, populate_by_name=True
    )


class RaisedPart(Part):
    """Who set a deeper threshold, when and why; ``from_cm`` is the threshold before it."""

    by: Name
    on: Day
    reason: Name
    from_cm: float | None = Field(None, ge=-100, le=0, description="cm, negative below")


class PlotPart(Part):
    """The plot; a key that is missing or null is not known."""

    code: Code
    area_ha: float | None = Field(None, gt=0, le=10_000)
    soil: Words | None = None
    latitude: float | None = Field(None, ge=-90, le=90)
    elevation_m: float | None = Field(None, ge=-450, le=6000)
    rim_cm: float | None = Field(None, ge=0, le=200)
    tube_bottom_cm: float | None = Field(None, ge=-100, description="cm, negative below")
    threshold_cm: float | None = Field(None, ge=-100, description="cm, negative below")
    threshold_raised: RaisedPart | None = None
    bars: list[Words] | None = Field(None, description="missing: not asked; empty: none")
    outlet_lps: float | None = Field(None, gt=0, le=100_000)
    profile: Words | None = None
    water_ec_ds_m: float | None = Field(None, ge=0, le=100, description="salt of the field water")
    bund_cm: float | None = Field(None, ge=0, le=200, description="lowest bund above the soil")
    area_confirmed: bool | None = Field(None, description="false: no dose is told")
    water_source: WaterSource | None = Field(
        None, description="own-pump: water at hand; next_water then tells its power hours"
    )


class SplitPart(Part):
    """One split of the approved nitrogen plan; ``kg_ha`` is the weight of the product."""

    from_: Day = Field(alias="from")
    to: Day
    kg_ha: float | None = Field(None, gt=0, le=2000)
    product: Words | None = None
    plan_kg: float | None = Field(None, gt=0, description="the plan's weight for the whole plot")

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        _check_order(self.from_, self.to)
        return self


class ApprovalPart(Part):
    """Who approved the season's nitrogen, when, on what, and what the plan is called."""

    by: Name
    on: Day | None = None
    source: Name | None = None
    plan: Name | None = None


class SeasonPart(Part):
    """The crop; ``established_on`` is the planting (transplanted) or sowing day (seeded).

    ``variety`` and ``crop_season`` are names of the office's table; ``duration_days`` goes first.
    """

    method: Method
    established_on: Day
    sown_on: Day | None = None
    duration_days: Whole | None = Field(None, ge=60, le=300)
    flowering_seen_on: Day | None = None
    nitrogen: list[SplitPart] | None = None
    variety: Words | None = None
    crop_season: Words | None = None
    photoperiod_sensitive: bool | None = Field(None, description="dated by reported heads alone")
    uneven: bool | None = Field(None, description="an uneven stand flowers over more days")
    seedlings: Seedlings | None = Field(
        None, description="tells their age where sown_on is missing"
    )
    nitrogen_approved: ApprovalPart | None = Field(
        None, description="the named approver of the nitrogen; missing is said in the reasons"
    )

    @model_validator(mode="after")
    def _sown_first(self) -> Self:
        if self.sown_on is None:
            return self
        if self.method != "transplanted" and self.sown_on != self.established_on:
            raise ValueError(
                "sown_on: seeded rice has its sowing day in established_on; leave sown_on out"
            )
        if self.sown_on > self.established_on:
            raise ValueError("sown_on: the nursery is sown before planting; need a day up to it")
        return self


class EventPart(Part):
    """What every event has: its day, and its local time where that is known."""

    on: Day
    at: Clock | None = None


class ReadingPart(EventPart):
    """A level at the tube, or a tube without water."""

    kind: Literal["reading"]
    level_cm: Level | None = None
    dry: bool | None = None
    doubtful: bool | None = Field(None, description="true: the office does not trust it")
    reader: str | None = Field(
        None,
        min_length=1,
        max_length=80,
        description="who read: any sign, the same for the same one",
    )

    @model_validator(mode="after")
    def _one_of_both(self) -> Self:
        if self.dry and self.level_cm is not None:
            raise ValueError("level_cm: a dry tube has no level; leave one of the two out")
        if not self.dry and self.level_cm is None:
            raise ValueError('level_cm: need a level in cm, or "dry": true')
        return self


class FloodedPart(EventPart):
    """The plot was flooded, to a level where it is known."""

    kind: Literal["flooded"]
    to_cm: Level | None = None
    by_block: bool | None = Field(None, description="true: told of the whole block")


class RainPart(EventPart):
    """Rain of that day; it replaces the weather's rain, the plot's own that of its block."""

    kind: Literal["rain"]
    mm: float = Field(ge=0, le=2000)
    by_block: bool | None = Field(None, description="true: told of the whole block")


class NitrogenPart(EventPart):
    """Fertiliser was spread."""

    kind: Literal["nitrogen"]
    product: Words | None = None


class WeedsPart(EventPart):
    """Weeds, many where the amount is missing."""

    kind: Literal["weeds"]
    amount: Literal["few", "many"] | None = None


class SprayPart(EventPart):
    """A spray; the practice's hold where its own is missing."""

    kind: Literal["spray"]
    product: Words | None = None
    hold_days: Whole | None = Field(None, ge=0, le=120)
    reentry_hours: float | None = Field(None, ge=0, le=2000)


class TallPart(EventPart):
    """The stand is tall enough for alternate wetting and drying; its height where it was told."""

    kind: Literal["tall"]
    height_cm: float | None = Field(None, gt=0, le=250)


class PlainPart(EventPart):
    """An event that says all by its kind; ``green``: most of the grain is still green."""

    kind: Literal["heading", "flowering", "submerged", "no-water", "harvest", "green", "snails"]


AnyEvent = Annotated[
    ReadingPart
    | FloodedPart
    | RainPart
    | NitrogenPart
    | WeedsPart
    | SprayPart
    | TallPart
    | PlainPart,
    Field(discriminator="kind"),
]
Celsius = Annotated[float, Field(ge=-60, le=60)]
Percent = Annotated[float, Field(ge=0, le=100)]


class WeatherPart(Part):
    """A day's weather; ET0 as given, else from temperatures and what else there is."""

    on: Day
    et0_mm: float | None = Field(None, ge=0, le=30)
    rain_mm: float | None = Field(None, ge=0, le=2000)
    tmin: Celsius | None = None
    tmax: Celsius | None = None
    rhmin: Percent | None = None
    rhmax: Percent | None = None
    wind_ms: float | None = Field(None, ge=0, le=100)
    sun_h: float | None = Field(None, ge=0, le=24)
    radiation_mj: float | None = Field(None, ge=0, le=60)

    @model_validator(mode="after")
    def _low_below_high(self) -> Self:
        if self.tmin is not None and self.tmax is not None and self.tmin > self.tmax:
            raise ValueError("tmin: must not be above tmax")
        if self.rhmin is not None and self.rhmax is not None and self.rhmin > self.rhmax:
            raise ValueError("rhmin: must not be above rhmax")
        return self


class WindowPart(Part):
    """Days on which water may come, and whether that is sure."""

    from_: Day = Field(alias="from")
    to: Day
    sure: bool
    starts: Clock | None = Field(
        None, description="with ends: it runs on each of the days between these hours alone"
    )
    ends: Clock | None = Field(None, description="no later than starts: past midnight")

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        _check_order(self.from_, self.to)
        if (self.starts is None) != (self.ends is None):
            raise ValueError("starts and ends: need both, or neither")
        return self


class HabitPart(Part):
    """How the plot loses water, as earlier seasons taught the gateway: as it gave it, unchanged."""

    mean: list[float] = Field(min_length=4, max_length=4)
    covariance: list[float] = Field(min_length=16, max_length=16, description="4 x 4, by rows")


class AdviseLine(Part):
    """One line of ``gateway advise``: a plot, its season, its book, weather and water to come.

    Events after ``as_of`` are not looked at, and the reasons say so; weather from ``as_of`` on is
    forecast. ``next_water`` missing: supply unknown; empty: no water is known to come.
    """

    as_of: Day
    profile: Words | None = Field(None, description="the plot's, where the plot names none")
    plot: PlotPart
    season: SeasonPart | None = None
    events: list[AnyEvent] | None = None
    weather: list[WeatherPart] | None = None
    next_water: list[WindowPart] | None = None
    habit: HabitPart | None = None

    @model_validator(mode="after")
    def _one_profile(self) -> Self:
        if self.profile and self.plot.profile and self.profile != self.plot.profile:
            raise ValueError("profile: the plot names another; leave one of the two out")
        return self


class SettingLine(Part):
    """The plot and season that an advice rested on, as kept beside it."""

    plot: PlotPart
    season: SeasonPart | None = None


def _check_order(first: date, last: date) -> None:
    if first > last:
        raise ValueError("from: must not lie after to")
