"""Call texts back: who got advice that rested on something wrong gets one correction, once."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from gateway.advisory.mending import Concern, Misled, Suspect
from gateway.advisory.papers import Papers
from gateway.advisory.parcels import NewParcel
from gateway.advisory.ports import Clock, Store
from gateway.advisory.records import Scheme
from gateway.messages.letters import Letters
from gateway.messages.segments import count_segments
from gateway.messages.wording import word_notice

MSGID: Final = "notice.correction"
SUSPECTS: Final = 8


@dataclass(frozen=True, slots=True)
class Correction:
    """What one phone would get, and about which plots. It is never more than one text."""

    misled: Misled
    text: str
    language: str
    segments: int


@dataclass(frozen=True, slots=True)
class Recall:
    """Corrections, shown before they are sent; phones that left are not written to."""

    store: Store
    clock: Clock
    papers: Papers
    carrier_of: Callable[[Scheme], str]
    wake: Callable[[], None]

    def suspects(self, scheme: Scheme) -> list[Suspect]:
        """What texts may have to be called back for, the newest of each kind."""
        with self.store.begin(write=False) as unit:
            return unit.recalls.suspects(scheme.id, SUSPECTS)

    def preview(self, scheme: Scheme, about: Concern, name: str) -> list[Correction]:
        """What would be sent, phone by phone. Raises NotOnRecord."""
        with self.store.begin(write=False) as unit:
            misled = unit.recalls.misled(scheme.id, about, name)
        return [self._correction(scheme, each) for each in misled if not each.left]

    def __call__(self, scheme: Scheme, who: str, about: Concern, name: str) -> int | None:
        """Put one correction for each phone; how many. None where that was done already.

        Raises NotOnRecord.
        """
        corrections = self.preview(scheme, about, name)
        with self.store.begin() as unit:
            now = self.clock.now()
            recall_id = unit.recalls.add(scheme.id, about, name, who, now)
            if recall_id is None:
                return None
            put = [
                unit.outbox.put(self._parcel(scheme, recall_id, each, now), now)
                for each in corrections
            ]
            noted = {"about": about, "name": name, "phones": len(put)}
            unit.office.audit(scheme.id, who, "texts called back", noted, now)
            unit.commit()
        self.wake()
        return len(put)

    def _correction(self, scheme: Scheme, misled: Misled) -> Correction:
        letters: Letters | None = misled.letters  # type: ignore[assignment]
        words = self.papers.catalogue(misled.language, letters)
        text = word_notice(
            MSGID,
            words,
            scheme=scheme.short_name,
            plots=misled.plots,
            plot=misled.plots[0],
            since=misled.since.astimezone(ZoneInfo(scheme.zone)).date(),
        )
        return Correction(misled, text, words.language, count_segments(text).segments)

    def _parcel(
        self, scheme: Scheme, recall_id: int, correction: Correction, now: datetime
    ) -> NewParcel:
        """A notice: it is never sent twice, counts to no weekly limit, and keeps quiet hours."""
        opens = self.papers.customs.next_open(now, scheme.zone)
        phone_id = correction.misled.phone_id
        return NewParcel(
            scheme_id=scheme.id,
            phone_id=phone_id,
            carrier=self.carrier_of(scheme),
            text=correction.text,
            language=correction.language,
            kind="notice",
            not_before=opens,
            valid_until=opens + self.papers.customs.answer_valid,
            topic=MSGID,
            asks=True,
            key=f"recall:{recall_id}:{phone_id}",
        )
