"""The season: one crop on one plot."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

Method = Literal["transplanted", "wet-seeded", "dry-seeded"]
Seedlings = Literal["mechanical", "warm", "cool"]


@dataclass(frozen=True, slots=True)
class Split:
    """One split of the locally approved nitrogen plan.

    ``kg_ha`` is the weight of the product itself per hectare (not of nitrogen). ``from_`` and
    ``to`` are the first and last day of its window. ``plan_kg`` is what the plan sets aside for the
    whole plot, in kg of the product.
    """

    from_: date
    to: date
    kg_ha: float | None = None
    product: str | None = None
    plan_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Approval:
    """Who approved the nitrogen of a season, when, and what it rests on. ``plan`` is its name."""

    by: str
    on: date | None = None
    source: str | None = None
    plan: str | None = None

    def __str__(self) -> str:
        named = f"plan {self.plan}, " if self.plan else ""
        day = f" on {self.on}" if self.on else ""
        return f"{named}approved by {self.by}{day}" + (f", {self.source}" if self.source else "")


@dataclass(frozen=True, slots=True)
class Season:
    """``established_on`` is the planting day (transplanted) or the sowing day (seeded).

    ``duration_days`` is the variety's days from sowing to maturity. ``flowering_seen_on`` is the
    peak: half of the heads in flower. ``variety`` is a name of the office's table, ``crop_season``
    one of the seasons that the table tells apart; ``duration_days`` goes before both.
    ``photoperiod_sensitive`` None leaves it to the table: such a crop is dated by report alone.
    ``uneven`` stands flower over more days. ``seedlings`` tells the age at planting where no
    sowing day is known. ``nitrogen_approved`` None: nobody is named for the splits.
    """

    method: Method
    established_on: date
    sown_on: date | None = None
    duration_days: int | None = None
    flowering_seen_on: date | None = None
    nitrogen: tuple[Split, ...] = ()
    variety: str | None = None
    crop_season: str | None = None
    photoperiod_sensitive: bool | None = None
    uneven: bool = False
    seedlings: Seedlings | None = None
    nitrogen_approved: Approval | None = None
