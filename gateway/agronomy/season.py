"""The season: one crop on one plot."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

Method = Literal["transplanted", "wet-seeded", "dry-seeded"]


@dataclass(frozen=True, slots=True)
class Split:
    """One split of the locally approved nitrogen plan.

    ``kg_ha`` is the weight of the product itself per hectare (not of nitrogen). ``from_`` and
    ``to`` are the first and last day of its window.
    """

    from_: date
    to: date
    kg_ha: float | None = None
    product: str | None = None


@dataclass(frozen=True, slots=True)
class Season:
    """``established_on`` is the planting day (transplanted) or the sowing day (seeded).

    ``duration_days`` is the variety's days from sowing to maturity. ``flowering_seen_on`` is the
    peak: half of the heads in flower.
    """

    method: Method
    established_on: date
    sown_on: date | None = None
    duration_days: int | None = None
    flowering_seen_on: date | None = None
    nitrogen: tuple[Split, ...] = ()
