"""The plot: a piece of a scheme with a field tube in it."""

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

WaterSource = Literal["gravity-turn", "own-pump", "hired-pump"]
PUMPS: Final[frozenset[str]] = frozenset({"own-pump", "hired-pump"})


@dataclass(frozen=True, slots=True)
class ThresholdRaised:
    """Who allowed a plot to dry deeper than the usual threshold, when and why."""

    by: str
    on: date
    reason: str
    from_cm: float | None = None
    """The threshold of the season before, signed cm; None where it is not on record."""

    def __str__(self) -> str:
        before = "" if self.from_cm is None else f" from {self.from_cm:g}"
        return f"by {self.by} on {self.on}{before}, {self.reason}"


@dataclass(frozen=True, slots=True)
class Plot:
    """What is known of a plot. ``None`` always means not known, never zero.

    ``threshold_cm`` and ``tube_bottom_cm`` are signed levels (cm, below the surface is negative);
    ``None`` takes the scheme's practice. ``rim_cm`` is the height of the tube's rim above the soil.
    ``bars`` are facts of soil or water that limit drying: ``None`` not asked, empty asked and none.
    ``profile`` names a set of the scheme's practice, such as ``first-season``. ``water_ec_ds_m`` is
    the salt in the water that stands in the field, ``bund_cm`` the height of the lowest bund above
    the soil; ``area_confirmed`` False: nobody has measured the area yet. ``water_source`` is where
    the water comes from; ``outlet_lps`` is what that gives, in litres a second.
    """

    code: str
    area_ha: float | None = None
    soil: str | None = None
    latitude: float | None = None
    elevation_m: float | None = None
    rim_cm: float | None = None
    tube_bottom_cm: float | None = None
    threshold_cm: float | None = None
    threshold_raised: ThresholdRaised | None = None
    bars: frozenset[str] | None = None
    outlet_lps: float | None = None
    profile: str | None = None
    water_ec_ds_m: float | None = None
    bund_cm: float | None = None
    area_confirmed: bool | None = None
    water_source: WaterSource | None = None
