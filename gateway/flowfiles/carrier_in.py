"""The ``listen`` part of a carrier's file: how callbacks are proven, read and answered."""

import json
import re
from typing import Final, get_args

from gateway.advisory.carrier_profile import (
    DialFields,
    FieldAt,
    Listening,
    Proof,
    ReceiptFields,
    Reply,
    Signature,
    TextFields,
)
from gateway.advisory.records import ReceiptState
from gateway.flowfiles.carrier_parts import basic, field_at, header_name, secret, token
from gateway.flowfiles.reader import Entry

REGION: Final = re.compile(r"[A-Z]{2}")
# What the callbacks' contract allows: a signature older than this is refused whatever a file says.
LONGEST_WINDOW_S: Final = 300
SMALLEST_BODY, LARGEST_BODY = 1024, 1024 * 1024


def listening(entry: Entry) -> Listening:
    """The inbound half of a carrier. Raises FlowError."""
    entry.keys(
        "proof", "methods", "reply", "largest_body_bytes", "region", "text", "receipt", "ussd"
    )
    proof = _proof(entry.need("proof"))
    text, receipt, ussd = (entry.get(key) for key in ("text", "receipt", "ussd"))
    fields = _Fields(isinstance(proof, Signature))
    return Listening(
        proof=proof,
        reply=_reply(entry.need("reply"), with_text=False),
        largest_body_bytes=entry.need("largest_body_bytes").whole(
            SMALLEST_BODY, LARGEST_BODY, "bytes"
        ),
        methods=_methods(entry.need("methods")),
        text=fields.text(text) if text else None,
        receipt=fields.receipt(receipt) if receipt else None,
        ussd=fields.ussd(ussd) if ussd else None,
        region=_region(entry.get("region")),
    )


def _proof(entry: Entry) -> Proof:
    kind = entry.need("kind").choice("token", "basic", "hmac")
    if kind != "hmac":
        return token(entry) if kind == "token" else basic(entry)
    entry.keys(
        "kind", "secret", "signature_header", "timestamp_header", "encoding", "window_s", "prefix"
    )
    prefix = entry.get("prefix")
    return Signature(
        secret=secret(entry, "secret"),
        signature_header=header_name(entry.need("signature_header")),
        timestamp_header=header_name(entry.need("timestamp_header")),
        encoding="hex" if entry.need("encoding").choice("hex", "base64") == "hex" else "base64",
        window_s=entry.need("window_s").whole(1, LONGEST_WINDOW_S, "seconds"),
        prefix=prefix.text() if prefix else "",
    )


def _methods(entry: Entry) -> frozenset[str]:
    methods = frozenset(each.choice("POST", "GET") for each in entry.list())
    return methods or entry.fail("need POST, GET or both, got an empty list")


def _region(entry: Entry | None) -> str | None:
    if entry is None:
        return None
    if not REGION.fullmatch(entry.text()):
        entry.fail("need two capital letters as in ISO 3166, or leave it out")
    return entry.text()


def _reply(entry: Entry, with_text: bool) -> Reply:
    entry.keys("type", "body")
    kind, body = entry.need("type"), entry.need("body")
    if "/" not in kind.text() or not kind.text().isprintable():
        kind.fail("need a content type such as text/plain; charset=utf-8")
    if with_text and body.text().count("{text}") != 1:
        body.fail("need {text} once, where the words of the screen go")
    if "json" in kind.text() and not _is_json(body.text().replace("{text}", "")):
        body.fail("need JSON, with {text} inside quotes, as the type says")
    return Reply(kind.text(), body.text())


def _is_json(text: str) -> bool:
    try:
        json.loads(text)
    except ValueError:
        return False
    return True


class _Fields:
    """The fields of each callback. What is signed is the body alone, so none stands outside it."""

    def __init__(self, signed: bool) -> None:
        self._signed = signed

    def text(self, entry: Entry) -> TextFields:
        entry.keys("from", "text", "reference", "time")
        return TextFields(
            sender=self._at(entry.need("from")),
            body=self._at(entry.need("text")),
            reference=self._maybe(entry, "reference"),
            time=self._maybe(entry, "time"),
        )

    def receipt(self, entry: Entry) -> ReceiptFields:
        entry.keys("reference", "word", "detail", "states")
        return ReceiptFields(
            reference=self._at(entry.need("reference")),
            word=self._at(entry.need("word")),
            states=_states(entry.need("states")),
            detail=self._maybe(entry, "detail"),
        )

    def ussd(self, entry: Entry) -> DialFields:
        entry.keys("session", "from", "entry", "chain", "phase", "continue", "end")
        chain, phase = entry.get("chain"), entry.get("phase")
        if phase:
            phase.keys("field", "begin", "gone")
        return DialFields(
            session=self._at(entry.need("session")),
            sender=self._at(entry.need("from")),
            go_on=_reply(entry.need("continue"), with_text=True),
            end=_reply(entry.need("end"), with_text=True),
            entry=self._at(entry.need("entry")),
            chain=chain.text() if chain else None,
            phase=self._at(phase.need("field")) if phase else None,
            begin_words=_words(phase.need("begin")) if phase else frozenset(),
            gone_words=_words(phase.need("gone")) if phase else frozenset(),
        )

    def _maybe(self, entry: Entry, key: str) -> FieldAt | None:
        found = entry.get(key)
        return self._at(found) if found else None

    def _at(self, entry: Entry) -> FieldAt:
        at = field_at(entry, "form", "query", "json")
        if self._signed and at.place == "query":
            entry.fail("the query is not signed with hmac; need form or json")
        return at


def _words(entry: Entry) -> frozenset[str]:
    return frozenset(each.text().strip().casefold() for each in entry.list())


def _states(entry: Entry) -> dict[str, ReceiptState]:
    known: dict[str, ReceiptState] = {state: state for state in get_args(ReceiptState)}
    states: dict[str, ReceiptState] = {}
    for name, words in entry.keys(*known).items():
        for word in words.list():
            folded = word.text().strip().casefold()
            if folded in states:
                word.fail(f"{word.text()!r} is {states[folded]} already; keep one")
            states[folded] = known[name]
    return states if "delivered" in states.values() else entry.fail("need a word for delivered")
