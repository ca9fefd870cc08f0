"""Dispatch the outbox of one carrier: claim, hand over, note what came of it."""

import logging
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from gateway.advisory.budget import Budget
from gateway.advisory.customs import Customs
from gateway.advisory.mayleave import MayLeave
from gateway.advisory.parcels import NO_RECEIPT, NOT_SENT, NewParcel, Parcel, State
from gateway.advisory.ports import Carrier, Clock, Store, Unit
from gateway.advisory.records import Handing
from gateway.advisory.settle import settle_receipt
from gateway.advisory.spend import note_spend

log = logging.getLogger(__name__)

RESENT_WHEN_IN_DOUBT = frozenset({"answer", "question"})


@dataclass(frozen=True, slots=True)
class Dispatch:
    """One pass over the outbox of ``carrier``; any number of processes may run it at once."""

    store: Store
    clock: Clock
    customs: Customs
    carrier: Carrier
    may_leave: MayLeave
    budget: Budget = field(default_factory=Budget)

    def __call__(self) -> int:
        """Hand over what is due. Returns how many texts were tried."""
        with self.store.begin() as unit:
            now = self.clock.now()
            self._tidy(unit, now)
            claimed = unit.outbox.claim(
                self.carrier.name, now, self.customs.lease, self.customs.most_at_once
            )
            due = [parcel for parcel in claimed if self._may_leave(unit, parcel, now)]
            unit.commit()
        for parcel in due:
            self._hand_over(parcel)
        return len(due)

    # -- before handing over ----------------------------------------------------------------------

    def _tidy(self, unit: Unit, now: datetime) -> None:
        for parcel in unit.outbox.lapsed(now):
            self._doubt(unit, parcel, now, "the lease ended while it was claimed")
        for parcel in unit.outbox.stale(now):
            unit.outbox.move(parcel.id, parcel.state, State.EXPIRED, now, words=NOT_SENT)
        for parcel in unit.outbox.held(now):
            unit.outbox.move(parcel.id, State.HELD, State.WAITING, now)
        for parcel in unit.outbox.unsettled(self.carrier.name, now - self.customs.receipt_wait):
            unit.outbox.move(parcel.id, parcel.state, State.EXPIRED, now, words=NO_RECEIPT)

    def _may_leave(self, unit: Unit, parcel: Parcel, now: datetime) -> bool:
        """Asked at the very moment of sending; who objects says until when, or for good."""
        ruling = self.may_leave(unit, parcel, now)
        if ruling is None:
            return True
        unit.outbox.move(parcel.id, State.CLAIMED, State.WAITING, now)
        to = State.WITHDRAWN if ruling.verdict == "withdraw" else State.HELD
        unit.outbox.move(
            parcel.id, State.WAITING, to, now, not_before=ruling.until, words=ruling.words
        )
        return False

    # -- handing over -----------------------------------------------------------------------------

    def _hand_over(self, parcel: Parcel) -> None:
        # A lease that ran out while earlier texts were slow is somebody else's to judge by now.
        if parcel.lease_until and parcel.lease_until <= self.clock.now():
            return
        handing = self.carrier.send(parcel)
        with self.store.begin() as unit:
            self._note(unit, parcel, handing, self.clock.now())
            unit.commit()

    def _note(self, unit: Unit, parcel: Parcel, handing: Handing, now: datetime) -> None:
        if handing.outcome == "handed-over":
            self._taken(unit, parcel, handing, now)
        elif handing.outcome == "in-doubt":
            self._doubt(unit, parcel, now, handing.words)
        elif handing.outcome == "link-down":
            self._hold(unit, parcel, handing, now)
        else:
            self._refused(unit, parcel, handing, now)

    def _taken(self, unit: Unit, parcel: Parcel, handing: Handing, now: datetime) -> None:
        moved = unit.outbox.move(
            parcel.id,
            State.CLAIMED,
            State.HANDED_OVER,
            now,
            reference=handing.reference,
            words=handing.words,
            count_attempt=True,
        )
        if moved:  # else its lease was over, and it was charged when it became in doubt
            note_spend(unit, self.budget, parcel, now)
        if handing.reference:
            for receipt in unit.receipts.parked(self.carrier.name, handing.reference):
                settle_receipt(unit, unit.outbox.get(parcel.id), receipt, now)

    def _hold(self, unit: Unit, parcel: Parcel, handing: Handing, now: datetime) -> None:
        later = now + timedelta(seconds=handing.wait_s or 60)
        if unit.outbox.move(parcel.id, State.CLAIMED, State.WAITING, now):
            unit.outbox.move(
                parcel.id, State.WAITING, State.HELD, now, not_before=later, words=handing.words
            )

    def _refused(self, unit: Unit, parcel: Parcel, handing: Handing, now: datetime) -> None:
        """A certain refusal: wait and try again; a final one counts as undeliverable."""
        waits = self.customs.try_again
        if handing.outcome == "try-again" and parcel.attempts < len(waits):
            later = now + max(waits[parcel.attempts], timedelta(seconds=handing.wait_s or 0))
            unit.outbox.move(
                parcel.id,
                State.CLAIMED,
                State.WAITING,
                now,
                not_before=later,
                words=handing.words,
                count_attempt=True,
            )
            return
        # The operator has answered, and the answer is no: over to them, and back undeliverable.
        if unit.outbox.move(
            parcel.id,
            State.CLAIMED,
            State.HANDED_OVER,
            now,
            words=handing.words,
            count_attempt=True,
        ):
            unit.outbox.move(
                parcel.id, State.HANDED_OVER, State.UNDELIVERABLE, now, words=handing.words
            )

    def _doubt(self, unit: Unit, parcel: Parcel, now: datetime, words: str) -> None:
        """It may have gone. Crop safety and answers go once more, as a row of their own."""
        if not unit.outbox.move(
            parcel.id, State.CLAIMED, State.IN_DOUBT, now, words=words, count_attempt=True
        ):
            return
        note_spend(unit, self.budget, parcel, now)
        worth_it = parcel.safety or parcel.kind in RESENT_WHEN_IN_DOUBT
        if worth_it and parcel.resend_of is None and parcel.valid_until > now:
            unit.outbox.put(resend(parcel), now)
            log.info("text %s is in doubt and goes once more", parcel.id)


def resend(parcel: Parcel) -> NewParcel:
    """The one second try of a text in doubt; its key lets no process put it twice."""
    return NewParcel(
        scheme_id=parcel.scheme_id,
        phone_id=parcel.phone_id,
        carrier=parcel.carrier,
        text=parcel.text,
        language=parcel.language,
        kind=parcel.kind,
        not_before=parcel.not_before,
        valid_until=parcel.valid_until,
        topic="resent",
        safety=parcel.safety,
        asks=parcel.asks,
        plot_id=parcel.plot_id,
        in_reply_to=parcel.in_reply_to,
        advice_id=parcel.advice_id,
        duty_id=parcel.duty_id,
        resend_of=parcel.id,
        key=f"resend:{parcel.id}",
    )
