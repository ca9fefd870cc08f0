"""What an operator's answer to a handed text means, by the table of its profile."""

from collections.abc import Mapping
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from typing import Final

from gateway.advisory.carrier_profile import AnswerRow, Answers, FieldAt
from gateway.advisory.number import hide_numbers
from gateway.advisory.records import Handing
from gateway.carriers.fields import Fields, FieldTrouble
from gateway.carriers.proof import header_of
from gateway.carriers.wire import Answer

LONGEST_REFERENCE: Final = 200
LONGEST_WORDS: Final = 200


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
