"""A text as the request that a profile describes, and what an answer to it means."""

import base64
import json
from collections.abc import Mapping
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from typing import Any, Final
from urllib.parse import quote, urlencode

from gateway.advisory.carrier_profile import (
    AnswerRow,
    Answers,
    Basic,
    CarrierProfile,
    FieldAt,
    Login,
    Sending,
)
from gateway.advisory.number import hide_numbers
from gateway.advisory.parcels import Parcel
from gateway.advisory.records import Handing
from gateway.carriers.fields import Fields, FieldTrouble
from gateway.carriers.proof import header_of
from gateway.carriers.wire import Answer, Request

LONGEST_REFERENCE: Final = 200
LONGEST_WORDS: Final = 200
CONTENT_TYPES: Final = {
    "json": "application/json",
    "form": "application/x-www-form-urlencoded",
}


# -- the request ----------------------------------------------------------------------------------


def request_for(
    profile: CarrierProfile, sending: Sending, secrets: Mapping[str, str], parcel: Parcel
) -> Request:
    """The request that hands ``parcel`` over."""
    values = _values(profile, sending, parcel)
    headers = {name: _fill(value, values) for name, value in sending.headers}
    body, pairs = _body(sending, values)
    if body is not None:
        headers["Content-Type"] = CONTENT_TYPES[sending.form]
    login_headers, login_pairs = _login(sending.login, secrets)
    return Request(
        method=sending.method,
        url=_with_query(sending.url, {**pairs, **login_pairs}),
        headers={**headers, **login_headers},
        body=body,
        connect_s=sending.connect_s,
        answer_s=sending.answer_s,
        largest_answer_bytes=sending.largest_answer_bytes,
    )


def _values(profile: CarrierProfile, sending: Sending, parcel: Parcel) -> dict[str, str]:
    to = parcel.to.reveal()
    return {
        "to": to if sending.number_form == "plus" else to.removeprefix("+"),
        "text": parcel.text,
        "from": profile.sender,
        "id": str(parcel.id),
    }


def _body(sending: Sending, values: Mapping[str, str]) -> tuple[bytes | None, dict[str, str]]:
    filled = _filled(sending.body, values)
    if sending.form == "json":
        return json.dumps(filled).encode("ascii"), {}
    if sending.form == "form":
        return _encoded(filled).encode("ascii"), {}
    return None, filled


def _filled(tree: Any, values: Mapping[str, str]) -> Any:
    if isinstance(tree, Mapping):
        return {key: _filled(value, values) for key, value in tree.items()}
    if isinstance(tree, list):
        return [_filled(value, values) for value in tree]
    return _fill(tree, values) if isinstance(tree, str) else tree


def _fill(template: str, values: Mapping[str, str]) -> str:
    # In one pass: a grower's text that holds "{to}" stays what it is.
    head, *rest = template.split("{")
    pieces = [head]
    for piece in rest:
        name, closed, tail = piece.partition("}")
        pieces.append(values[name] + tail if closed else "{" + piece)
    return "".join(pieces)


def _encoded(pairs: Mapping[str, str]) -> str:
    return urlencode(pairs, quote_via=quote, errors="replace")


def _with_query(url: str, pairs: Mapping[str, str]) -> str:
    if not pairs:
        return url
    return f"{url}{'&' if '?' in url else '?'}{_encoded(pairs)}"


def _login(
    login: Login | None, secrets: Mapping[str, str]
) -> tuple[dict[str, str], dict[str, str]]:
    if login is None:
        return {}, {}
    if isinstance(login, Basic):
        pair = f"{secrets[login.user]}:{secrets[login.password]}".encode()
        return {"Authorization": "Basic " + base64.b64encode(pair).decode("ascii")}, {}
    if login.place == "query":
        return {}, {login.name: secrets[login.secret]}
    return {login.name: login.prefix + secrets[login.secret]}, {}


# -- the answer -----------------------------------------------------------------------------------


def handing_of(answers: Answers, link_wait_s: float, answer: Answer) -> Handing:
    """What an answer means: the first row that fits; where none does, the text is in doubt."""
    fields = Fields(answer.headers, {}, answer.body)
    word = _quietly(fields, answers.word)
    shown = hide_numbers(f"{answer.status} {word}".strip())[:LONGEST_WORDS]
    row = next((r for r in answers.rows if _fits(r, answer.status, word)), None)
    if row is None:
        return Handing("in-doubt", words=shown)
    if row.outcome == "handed-over":
        reference = _quietly(fields, answers.reference)
        kept = reference if 0 < len(reference) <= LONGEST_REFERENCE else None
        return Handing("handed-over", reference=kept, words=shown)
    return Handing(row.outcome, words=shown, wait_s=_wait_s(row, answers, link_wait_s, answer))


def _fits(row: AnswerRow, status: int, word: str) -> bool:
    within = row.from_status <= status <= row.to_status
    return within and (row.words is None or word.casefold() in row.words)


def _quietly(fields: Fields, at: FieldAt | None) -> str:
    # An answer that cannot be read is an answer without a word: the table decides what that means.
    try:
        return (fields.get(at) or "").strip()
    except FieldTrouble:
        return ""


def _wait_s(row: AnswerRow, answers: Answers, link_wait_s: float, answer: Answer) -> float | None:
    if row.outcome not in ("try-again", "link-down"):
        return None
    asked = _retry_after_s(answer.headers)
    usual = link_wait_s if row.outcome == "link-down" and row.wait_s is None else row.wait_s
    wait = usual if asked is None else asked
    return None if wait is None else min(wait, answers.wait_at_most_s)


def _retry_after_s(headers: Mapping[str, str]) -> float | None:
    """Retry-After in seconds, from either of its forms. Source: RFC 9110, 10.2.3."""
    value = (header_of(headers, "Retry-After") or "").strip()
    if value.isascii() and value.isdecimal():
        return float(value)
    until = _moment(value)
    if until is None:
        return None
    # Against the operator's own clock where it tells it: ours may be off.
    now = _moment(header_of(headers, "Date") or "") or datetime.now(UTC)
    return max(0.0, (until - now).total_seconds())


def _moment(value: str) -> datetime | None:
    try:
        moment = parsedate_to_datetime(value)
    except (ValueError, TypeError, IndexError):
        return None
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
