"""Texts in, written down before they are understood."""

from datetime import datetime
from typing import Final

from sqlalchemy import bindparam, func, select, update

from gateway.advisory.number import hide_numbers
from gateway.advisory.records import Inbound, KeptText, Phone, Understood
from gateway.store.columns import flaws_of
from gateway.store.senders import sender_of
from gateway.store.tables.traffic import text_in, unreadable
from gateway.store.work import Repository, added, added_once

KEEP: Final = added_once(text_in, "carrier", "mark")
KEPT: Final = select(text_in.c.id).where(
    text_in.c.carrier == bindparam("the_carrier"),
    text_in.c.mark.in_(bindparam("the_marks", expanding=True)),
)
SETTLE: Final = (
    update(text_in)
    .where(text_in.c.id == bindparam("the_text"))
    .values(
        outcome=bindparam("the_outcome"),
        understood=bindparam("the_summary"),
        meaning=bindparam("the_data"),
        failure=bindparam("the_failure"),
    )
)
KEEP_UNREADABLE: Final = added(unreadable)
LAST: Final = select(func.max(text_in.c.id)).where(
    text_in.c.phone_id == bindparam("the_phone"), text_in.c.id < bindparam("the_text")
)


class SqlTexts(Repository):
    """Texts in, each kept once, and the bytes that could not be read."""

    def keep(self, scheme_id: int, inbound: Inbound, now: datetime) -> KeptText:
        """Write the text; where its carrier and key are there already, that row, not fresh.

        Raises NotOnRecord where there is no such scheme.
        """
        sender = sender_of(self.work, scheme_id, inbound.sender, now)
        marks = self.work.keys.marks(inbound.key, f"text of {inbound.carrier}")
        # A text written under an older key does not meet the table's own rule against repeats.
        before = self._kept(inbound.carrier, marks) if len(marks) > 1 else None
        new = None if before else self._write(sender.phone, inbound, marks[0], now)
        text_id = new or before or self._kept(inbound.carrier, marks)
        assert text_id is not None, "a text that was not written anew is there"
        return KeptText(
            text_id,
            new is not None,
            sender.phone,
            sender.scheme,
            sender.reads,
            sender.question,
            sender.unsettled,
        )

    def _write(self, phone: Phone, inbound: Inbound, mark: bytes, now: datetime) -> int | None:
        return self.work.number_or_none(
            KEEP,
            scheme_id=phone.scheme_id,
            phone_id=phone.id,
            carrier=inbound.carrier,
            mark=mark,
            body=inbound.body,
            flaws=list(dict.fromkeys((*inbound.flaws, *flaws_of(inbound.body)))) or None,
            received_at=inbound.received_at,
            kept_at=now,
        )

    def settle(self, text_id: int, understood: Understood) -> None:
        """Note beside a text what was understood, or why it was not."""
        self.work.run(
            SETTLE,
            the_text=text_id,
            the_outcome=understood.outcome,
            the_summary=understood.summary,
            the_data=dict(understood.data),
            the_failure=understood.failure,
        )

    def keep_unreadable(self, carrier: str, raw: bytes, cause: str, now: datetime) -> int:
        """Keep the bytes of a callback that could not be read, as ciphertext."""
        return self.work.number(
            KEEP_UNREADABLE,
            carrier=carrier,
            raw=self.work.keys.seal(raw, "unreadable"),
            cause=hide_numbers(cause),
            size=len(raw),
            at=now,
        )

    def last_from(self, phone_id: int, before_id: int) -> int | None:
        """The text of this phone before that one."""
        return self.work.number_or_none(LAST, the_phone=phone_id, the_text=before_id)

    def _kept(self, carrier: str, marks: tuple[bytes, ...]) -> int | None:
        return self.work.number_or_none(KEPT, the_carrier=carrier, the_marks=marks)
