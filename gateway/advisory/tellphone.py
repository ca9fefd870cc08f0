"""Tell a phone what the office or another phone did, outside the quiet hours and once."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime

from gateway.advisory.papers import Papers
from gateway.advisory.parcels import NewParcel
from gateway.advisory.ports import Unit
from gateway.advisory.records import Phone, Scheme


def notice_of(
    papers: Papers,
    scheme: Scheme,
    phone: Phone,
    carrier: str,
    language: str,
    msgid: str,
    key: str,
    now: datetime,
    **fields: str,
) -> NewParcel:
    """One notice to one phone; its ``key`` bars a second."""
    words = papers.catalogue(language, phone.letters)
    leaves = papers.customs.next_open(now, scheme.zone)
    return NewParcel(
        scheme_id=scheme.id,
        phone_id=phone.id,
        carrier=carrier,
        text=words.say(msgid, scheme=scheme.short_name, **fields),
        language=words.language,
        kind="notice",
        not_before=leaves,
        valid_until=leaves + papers.joining.kept,
        topic=msgid,
        key=key,
    )


@dataclass(frozen=True, slots=True)
class TellHolders:
    """Tells the phones that read a plot so far of one that the office lets read it too."""

    papers: Papers
    carrier: Callable[[Scheme], str]

    def __call__(
        self,
        unit: Unit,
        scheme: Scheme,
        plot: str,
        phone: Phone,
        holders: Iterable[Phone],
        now: datetime,
    ) -> None:
        """One notice to each that has not left."""
        msgid, carrier = self.papers.joining.holder.told, self.carrier(scheme)
        fields = {"plot": plot, "ending": phone.number.masked[-2:]}
        for holder in holders:
            if not holder.left:
                key = f"reader:{plot}:{phone.id}:{holder.id}"
                told = notice_of(
                    self.papers, scheme, holder, carrier, holder.language, msgid, key, now, **fields
                )
                unit.outbox.put(told, now)
