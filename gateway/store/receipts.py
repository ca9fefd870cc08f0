"""Receipts, also those that came before the answer that they belong to."""

import hashlib
from typing import Any, Final

from sqlalchemy import bindparam, func, select, update

from gateway.advisory.parcels import Parcel
from gateway.advisory.records import Receipt
from gateway.store.parcelrows import BY_REFERENCE, parcel_of
from gateway.store.tables.traffic import receipt
from gateway.store.work import Repository, added

KEEP: Final = added(receipt)
UNPARK: Final = (
    update(receipt)
    .where(
        receipt.c.parcel_id.is_(None),
        receipt.c.carrier == bindparam("the_carrier"),
        receipt.c.reference == bindparam("the_reference"),
    )
    .values(parcel_id=bindparam("the_parcel"), scheme_id=bindparam("the_scheme"))
    .returning(*receipt.c)
)
LOCK: Final = select(func.pg_advisory_xact_lock(bindparam("the_lock")))


class SqlReceipts(Repository):
    """What carriers said of the texts that they took."""

    def keep(self, receipt: Receipt) -> Parcel | None:
        """Write it; the text that it belongs to, or None (it is parked)."""
        self._take_turn(receipt.carrier, receipt.reference)
        row = self._parcel(receipt.carrier, receipt.reference)
        self.work.number(
            KEEP,
            scheme_id=row and row.scheme_id,
            parcel_id=row and row.id,
            carrier=receipt.carrier,
            reference=receipt.reference,
            state=receipt.state,
            words=receipt.words,
            at=receipt.at,
        )
        return row and parcel_of(row, self.work.keys)

    def parked(self, carrier: str, reference: str) -> list[Receipt]:
        """Receipts of that reference that no text has claimed yet; they are claimed by this.

        Call it in the unit that gave a text this reference, after it did.
        """
        self._take_turn(carrier, reference)
        row = self._parcel(carrier, reference)
        if row is None:
            return []
        found = self.work.rows(
            UNPARK,
            the_carrier=carrier,
            the_reference=reference,
            the_parcel=row.id,
            the_scheme=row.scheme_id,
        )
        found.sort(key=lambda each: each.id)
        return [
            Receipt(each.carrier, each.reference, each.state, each.words, each.at) for each in found
        ]

    def _parcel(self, carrier: str, reference: str) -> Any:
        return self.work.row(BY_REFERENCE, the_carrier=carrier, the_reference=reference)

    def _take_turn(self, carrier: str, reference: str) -> None:
        # A receipt and the answer it belongs to may be written at one time, neither seeing the
        # other; the receipt would stay parked. SQLite has one writer, PostgreSQL needs a lock.
        if self.work.conn.dialect.name == "postgresql":
            digest = hashlib.sha256(f"{carrier}\x00{reference}".encode()).digest()
            self.work.row(LOCK, the_lock=int.from_bytes(digest[:8], signed=True))
