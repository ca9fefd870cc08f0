"""What texts cost in a month, and the stop at the cap, which spares crop safety and answers."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo

from gateway.advisory.carrier_profile import Price
from gateway.advisory.parcels import Parcel


@dataclass(frozen=True, slots=True)
class Cap:
    """The most that a month's texts may cost; ``currency`` is ISO 4217."""

    amount: float
    currency: str


@dataclass(frozen=True, slots=True)
class Budget:
    """The cap of flows/budget.yaml (None: none is set), and from which share of it pages warn.

    ``prices`` of one segment by carrier; a carrier without one is not counted.
    """

    cap: Cap | None = None
    warn_share: float = 1.0
    prices: Mapping[str, Price] = field(default_factory=dict)

    def capped_price(self, carrier: str) -> float:
        """What a segment by that carrier takes from the cap; 0 where it takes nothing."""
        price = self.prices.get(carrier)
        counts = price is not None and self.cap is not None and price.currency == self.cap.currency
        return price.each if price and counts else 0.0

    def is_warning(self, spent: float) -> bool:
        """Whether so much spent calls for a warning."""
        return self.cap is not None and spent >= self.warn_share * self.cap.amount

    def is_over(self, spent: float) -> bool:
        """Whether so much spent is more than the cap."""
        return self.cap is not None and spent > self.cap.amount


@dataclass(frozen=True, slots=True)
class SpendLine:
    """What left by one carrier in one month. ``amount`` None: its segments had no price."""

    month: date
    carrier: str
    texts: int
    segments: int
    amount: float | None
    currency: str


@dataclass(frozen=True, slots=True)
class PlotCost:
    """Texts of a plot since its newest season began, by carrier; a text for several plots of a
    phone counts a share in each."""

    code: str
    grower: str
    began_on: date
    texts: float
    segments: Mapping[str, float]


class Spending(Protocol):
    """What a unit of work keeps of costs."""

    def note(self, parcel: Parcel, month: date, price: Price | None) -> None:
        """A text that left, in doubt or not: its operator may charge for it."""

    def of_month(self, scheme_id: int, month: date, currency: str) -> float:
        """What was spent in that month in that currency."""

    def leaving(self, scheme_id: int) -> dict[str, int]:
        """Segments of the texts that are being handed over just now, by carrier."""


class SpendViews(Protocol):
    """Queries of the page Costs, of one scheme only."""

    def months(self, scheme_id: int, most: int) -> list[SpendLine]:
        """The newest months first."""

    def plot_costs(self, scheme_id: int, page: int, size: int) -> tuple[list[PlotCost], int]:
        """One page of plots by code, and how many there are."""


def month_of(moment: datetime, zone: str) -> date:
    """The first day of the month in that zone."""
    return moment.astimezone(ZoneInfo(zone)).date().replace(day=1)


def next_day(moment: datetime, zone: str) -> datetime:
    """When the next day of that zone begins: then it is asked again whether there is room."""
    there = ZoneInfo(zone)
    day = moment.astimezone(there).date() + timedelta(days=1)
    return datetime.combine(day, time(), there).astimezone(moment.tzinfo)
