"""Settle a text by its delivery receipt, or park the receipt until its text is known."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from gateway.advisory.parcels import MOVES, Parcel, State
from gateway.advisory.ports import Clock, Store, Unit
from gateway.advisory.records import Receipt

ENDS: Final = {
    "delivered": State.DELIVERED,
    "undeliverable": State.UNDELIVERABLE,
    "expired": State.EXPIRED,
}


@dataclass(frozen=True, slots=True)
class Settle:
    """Takes a carrier's receipts, in any order and any number of times."""

    store: Store
    clock: Clock

    def __call__(self, receipt: Receipt) -> bool:
        """Write the receipt down and settle its text. False where no text is known for it yet."""
        with self.store.begin() as unit:
            parcel = unit.receipts.keep(receipt)
            if parcel:
                settle_receipt(unit, parcel, receipt, self.clock.now())
            unit.commit()
        return parcel is not None


def settle_receipt(unit: Unit, parcel: Parcel, receipt: Receipt, now: datetime) -> None:
    """Move the text where the receipt says, if there is a way: a repeat changes nothing."""
    end = ENDS.get(receipt.state)
    if end and (parcel.state, end) in MOVES:
        unit.outbox.move(parcel.id, parcel.state, end, now, words=receipt.words)
