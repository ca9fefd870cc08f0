"""Inbound, by a profile: a proven callback becomes a text, a receipt or a step of a dialogue."""

import json
import re
from collections.abc import Mapping
from typing import Final
from xml.sax.saxutils import escape

from gateway.advisory.carrier_profile import CarrierProfile, FieldAt, Reply
from gateway.advisory.errors import NotANumber, Unreadable
from gateway.advisory.number import Number, hide_numbers, read_number
from gateway.advisory.records import Callback, Dial, Inbound, Receipt, ReceiptState, Screen
from gateway.carriers.fields import Fields, FieldTrouble
from gateway.carriers.proof import prove

LONGEST_REFERENCE: Final = 200
LONGEST_WORDS: Final = 200
CONTROL: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class ProfileListener:
    """A Listener that reads callbacks as a profile says; see ``ports.Listener``."""

    def __init__(self, profile: CarrierProfile, secrets: Mapping[str, str]) -> None:
        self.name = profile.name
        self.methods = profile.listening.methods
        self._listening, self._secrets = profile.listening, secrets

    def text(self, callback: Callback) -> Inbound:
        """An inbound text. A blank one is a text; control characters stay, named in its flaws."""
        fields, wanted = self._open(callback), self._listening.text
        if wanted is None:
            raise Unreadable(self.name, "takes no texts")
        with _Named(self.name):
            body = fields.need(wanted.body)
            return Inbound(
                carrier=self.name,
                sender=self._number(fields, wanted.sender),
                body=body,
                received_at=callback.at,
                reference=_reference(fields, wanted.reference),
                carrier_time=_reference(fields, wanted.time),
                flaws=_flaws(body),
            )

    def receipt(self, callback: Callback) -> Receipt:
        """A receipt. A word that the profile does not know is ``underway``, and kept."""
        fields, wanted = self._open(callback), self._listening.receipt
        if wanted is None:
            raise Unreadable(self.name, "takes no receipts")
        with _Named(self.name):
            reference = _reference(fields, wanted.reference)
            if reference is None:
                raise FieldTrouble(
                    f"{wanted.reference.place} field {wanted.reference.name} is missing"
                )
            word = fields.need(wanted.word).strip()
            state: ReceiptState = wanted.states.get(word.casefold(), "underway")
            words = f"{word} {(fields.get(wanted.detail) or '').strip()}".strip()
            # The operator's words are kept, but a number never lies open beside them.
            return Receipt(
                self.name, reference, state, hide_numbers(words)[:LONGEST_WORDS], callback.at
            )

    def dial(self, callback: Callback) -> Dial:
        """A step of a USSD dialogue."""
        fields, wanted = self._open(callback), self._listening.ussd
        if wanted is None:
            raise Unreadable(self.name, "takes no USSD")
        with _Named(self.name):
            session = _reference(fields, wanted.session)
            if session is None:
                raise FieldTrouble(f"{wanted.session.place} field {wanted.session.name} is missing")
            phase = (fields.get(wanted.phase) or "").strip().casefold()
            entry = fields.get(wanted.entry)
            if entry is not None and wanted.chain:
                entry = entry.rpartition(wanted.chain)[2]
            first = phase in wanted.begin_words if wanted.phase else not entry
            return Dial(
                carrier=self.name,
                session=session,
                sender=self._number(fields, wanted.sender),
                entry=None if first else entry or "",
                at=callback.at,
                gone=phase in wanted.gone_words,
            )

    def reply(self, screen: Screen | None = None) -> tuple[str, str]:
        """What to give back on success: content type and body, escaped for that type."""
        if screen is None:
            return self._listening.reply.type, self._listening.reply.body
        if self._listening.ussd is None:
            raise Unreadable(self.name, "takes no USSD")
        return _filled(
            self._listening.ussd.end if screen.end else self._listening.ussd.go_on, screen
        )

    def _open(self, callback: Callback) -> Fields:
        # Proof comes first: bytes of somebody unproven are never kept, so they may never reach
        # the errors that keep bytes.
        prove(self.name, self._listening.proof, self._secrets, callback)
        if callback.method.upper() not in self._listening.methods:
            raise Unreadable(self.name, f"method is not one of {', '.join(sorted(self.methods))}")
        if len(callback.body) > self._listening.largest_body_bytes:
            most = self._listening.largest_body_bytes
            raise Unreadable(self.name, f"body is larger than {most} bytes")
        return Fields(callback.headers, callback.query, callback.body)

    def _number(self, fields: Fields, at: FieldAt) -> Number:
        try:
            return read_number(fields.need(at), self._listening.region)
        except NotANumber as error:
            raise FieldTrouble(f"{at.place} field {at.name} is {error}") from None


class _Named:
    """Turns a FieldTrouble into an Unreadable of that carrier."""

    def __init__(self, carrier: str) -> None:
        self._carrier = carrier

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        if isinstance(error, FieldTrouble):
            raise Unreadable(self._carrier, str(error)) from None


def _reference(fields: Fields, at: FieldAt | None) -> str | None:
    value = (fields.get(at) or "").strip()
    if at is not None and len(value) > LONGEST_REFERENCE:
        raise FieldTrouble(f"{at.place} field {at.name} is longer than {LONGEST_REFERENCE}")
    return value or None


def _flaws(body: str) -> tuple[str, ...]:
    flaws = ["control-characters"] if CONTROL.search(body) else []
    return (*flaws, "replaced-bytes") if "\ufffd" in body else tuple(flaws)


def _filled(reply: Reply, screen: Screen) -> tuple[str, str]:
    text = screen.text
    if "json" in reply.type:
        text = json.dumps(text, ensure_ascii=False)[1:-1]
    elif "xml" in reply.type or "html" in reply.type:
        text = escape(text, {'"': "&quot;"})
    return reply.type, reply.body.replace("{text}", text)
