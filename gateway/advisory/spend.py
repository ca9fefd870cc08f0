"""Note what a text costs as it leaves, and see whether the month's cap leaves room for another."""

import logging
from datetime import datetime

from gateway.advisory.budget import Budget, month_of
from gateway.advisory.parcels import Parcel
from gateway.advisory.ports import Unit

log = logging.getLogger(__name__)


def note_spend(unit: Unit, budget: Budget, parcel: Parcel, now: datetime) -> None:
    """A text that was handed over, or may have been: its operator may charge for it."""
    month, price = month_of(now, parcel.zone), budget.prices.get(parcel.carrier)
    if budget.cap is None or not budget.capped_price(parcel.carrier):
        unit.spending.note(parcel, month, price)
        return
    before = unit.spending.of_month(parcel.scheme_id, month, budget.cap.currency)
    unit.spending.note(parcel, month, price)
    after = unit.spending.of_month(parcel.scheme_id, month, budget.cap.currency)
    if budget.is_warning(after) and not budget.is_warning(before):
        log.warning(
            "texts of %s cost %.2f of %.2f %s", month, after, budget.cap.amount, budget.cap.currency
        )


def is_stopped(unit: Unit, budget: Budget, parcel: Parcel, now: datetime) -> bool:
    """Whether what is leaving just now, this text included, would pass the month's cap."""
    if budget.cap is None or not budget.capped_price(parcel.carrier):
        return False
    month = month_of(now, parcel.zone)
    spent = unit.spending.of_month(parcel.scheme_id, month, budget.cap.currency)
    leaving = unit.spending.leaving(parcel.scheme_id)
    return budget.is_over(
        spent + sum(budget.capped_price(name) * many for name, many in leaving.items())
    )
