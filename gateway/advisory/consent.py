"""Consent, asked again of a phone that may have another owner by now, and heard."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from gateway.advisory.act import EVENTS, say_notice
from gateway.advisory.joins import Heard as HeardOf
from gateway.advisory.papers import Papers
from gateway.advisory.parcels import NewParcel, Parcel
from gateway.advisory.ports import Unit
from gateway.advisory.records import Understood
from gateway.advisory.talk import Talk
from gateway.messages.heard import Heard, Meaning

SILENT, NO_SUBSCRIBER = "silent", "no-subscriber"
TOPIC: Final = "consent"


@dataclass(frozen=True, slots=True)
class Doubt:
    """Whether a text that the office starts must wait until its phone says yes anew."""

    papers: Papers

    def __call__(self, unit: Unit, parcel: Parcel, now: datetime) -> datetime | None:
        """Until when to hold it; None where it may go. The phone is asked the first time."""
        heard = unit.consents.heard(parcel.phone_id)
        why = heard.why if heard.asked else self._reason(heard, now)
        if why is None:
            return None
        if not heard.asked:
            self._ask(unit, parcel, heard, why, now)
        if parcel.safety and why == SILENT:
            return None
        return now + self.papers.joining.consent.look_again

    def _reason(self, heard: HeardOf, now: datetime) -> str | None:
        rules = self.papers.joining.consent
        refused = heard.refused_at is not None and heard.refused_at > heard.heard_at
        if refused and rules.says_no_subscriber(heard.words):
            return NO_SUBSCRIBER
        return SILENT if now - heard.heard_at >= rules.silent else None

    def _ask(self, unit: Unit, parcel: Parcel, heard: HeardOf, why: str, now: datetime) -> None:
        rules = self.papers.joining.consent
        unit.consents.note(parcel.phone_id, "asked", {"why": why}, now)
        words = self.papers.catalogue(heard.language, heard.letters)
        asked = NewParcel(
            scheme_id=parcel.scheme_id,
            phone_id=parcel.phone_id,
            carrier=parcel.carrier,
            text=words.say(rules.ask, scheme=heard.short_name),
            language=words.language,
            kind="notice",
            not_before=now,
            valid_until=now + self.papers.joining.kept,
            topic=TOPIC,
            asks=True,
        )
        unit.outbox.put(asked, now)


def hear_consent(talk: Talk, heard: Heard) -> Understood | None:
    """Hear what a phone says that was asked anew; None where the text has its usual way as well.

    Yes, coming back and a report of its own plot are consent; no is leaving. Any other text is
    not: whoever has the number now may ask who we are.
    """
    phone, kinds = talk.kept.phone, {meaning.kind for meaning in heard.meanings}
    if not kinds & {"yes", "no", "return"} and not _reports(talk, heard):
        return None
    if not talk.kept.unsettled.consent:
        return None
    if "no" in kinds:
        talk.unit.people.set_left(phone.id, True, talk.now)
        say_notice("notice.left")(talk, Meaning("leave"))
        return Understood("accept", "wants no more texts")
    talk.unit.consents.note(phone.id, "given", {}, talk.now)
    if "yes" not in kinds:
        return None
    words = talk.catalogue.say(
        talk.papers.joining.consent.given, scheme=talk.kept.scheme.short_name
    )
    talk.say(words, TOPIC)
    return Understood("accept", "still wants texts")


def _reports(talk: Talk, heard: Heard) -> bool:
    told = heard.readings or any(m.kind in EVENTS and m.plot for m in heard.meanings)
    return bool(talk.plots and told)
