"""`gateway interpret`: one text with what is known of its sender in, its meaning out."""

import json
from collections.abc import Mapping
from datetime import date
from typing import Any

from gateway.lines.interpretschema import interpret_schema
from gateway.lines.pipe import LineError
from gateway.messages.heard import Ask, Heard, Pending, Sender
from gateway.messages.interpret import interpret
from gateway.messages.vocabulary import Vocabulary

_FIELDS = frozenset(
    ("text", "plots", "language", "reads", "rim_cm", "unsigned", "pending", "today")
)
_PENDING = frozenset(("plot", "candidates", "about", "level_cm", "dry"))
_DEFAULT = "en"

__all__ = ["interpret_line", "interpret_schema"]


def interpret_line(text: str, vocabularies: Mapping[str, Vocabulary]) -> dict[str, Any]:
    """Answer one JSON line of the contract. LineError says what is wrong with a line."""
    try:
        given = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise LineError(f"not JSON: {error}") from error
    if not isinstance(given, dict):
        raise LineError('need an object such as {"text": "B07 -12", "plots": ["B07"]}')
    if not given.keys() <= _FIELDS:
        unknown = ", ".join(sorted(given.keys() - _FIELDS))
        raise LineError(f"unknown field: {unknown}; known here: {', '.join(sorted(_FIELDS))}")
    body = given.get("text")
    if not isinstance(body, str):
        raise LineError('text: need a text, such as "B07 -12"')
    vocabulary, flags = _vocabulary(given, vocabularies)
    return _shown(interpret(body, _sender(given), vocabulary, _today(given)), flags)


def _vocabulary(
    given: dict[str, Any], vocabularies: Mapping[str, Vocabulary]
) -> tuple[Vocabulary, tuple[str, ...]]:
    language = given.get("language")
    if language is None:
        return vocabularies[_DEFAULT], ()
    if not isinstance(language, str):
        raise LineError('language: need a BCP 47 code, such as "en"')
    for code in (language, language.split("-")[0].lower()):
        if code in vocabularies:
            return vocabularies[code], ()
    return vocabularies[_DEFAULT], ("language-unknown",)


def _sender(given: dict[str, Any]) -> Sender:
    plots = given.get("plots")
    if plots is None:
        plots = []
    if not isinstance(plots, list) or not all(isinstance(p, str) and p.strip() for p in plots):
        raise LineError('plots: need a list of codes, such as ["B07", "K12"]')
    if given.keys() <= {"text", "plots"}:
        return Sender(tuple(dict.fromkeys(plots)))
    return Sender(
        tuple(dict.fromkeys(plots)),
        given.get("language") or _DEFAULT,
        _reads(given),
        _rims(given),
        _unsigned(given),
        _pending(given),
    )


def _reads(given: dict[str, Any]) -> tuple[tuple[str, str], ...]:
    reads = given.get("reads")
    if reads is None:
        return ()
    if not isinstance(reads, dict) or not all(r in ("soil", "rim") for r in reads.values()):
        raise LineError('reads: need soil or rim for each plot, such as {"B07": "rim"}')
    return tuple(reads.items())


def _rims(given: dict[str, Any]) -> tuple[tuple[str, float], ...]:
    rims = given.get("rim_cm")
    if rims is None:
        return ()
    if not isinstance(rims, dict):
        raise LineError('rim_cm: need the height of each rim in cm, such as {"B07": 20}')
    known = {plot: rim for plot, rim in rims.items() if rim is not None}
    if not all(_is_number(rim) and rim >= 0 for rim in known.values()):
        raise LineError("rim_cm: need cm above the soil, not below 0")
    return tuple((plot, float(rim)) for plot, rim in known.items())


def _unsigned(given: dict[str, Any]) -> Any:
    unsigned = given.get("unsigned")
    if unsigned not in (None, "ask", "below"):
        raise LineError(f"unsigned: need ask or below, got {unsigned!r}")
    return unsigned or "ask"


def _pending(given: dict[str, Any]) -> Pending | None:
    pending = given.get("pending")
    if pending is None:
        return None
    if not isinstance(pending, dict):
        raise LineError('pending: need {"plot": "B07", "candidates": [-15, 15]}')
    unknown = pending.keys() - _PENDING
    if unknown:
        raise LineError(f"pending: unknown field: {', '.join(sorted(unknown))}")
    plot, level = pending.get("plot"), pending.get("level_cm")
    if plot is not None and not isinstance(plot, str):
        raise LineError("pending.plot: need a code or null")
    if level is not None and not _is_number(level):
        raise LineError("pending.level_cm: need a number of cm or null")
    about, dry = pending.get("about", "sign"), pending.get("dry", False)
    if not isinstance(about, str) or not isinstance(dry, bool):
        raise LineError("pending: about needs a word, dry needs true or false")
    return Pending(plot, _candidates(pending), about, None if level is None else float(level), dry)


def _candidates(pending: dict[str, Any]) -> tuple[float | str, ...]:
    found = pending.get("candidates") or []
    if not isinstance(found, list) or not all(isinstance(c, str) or _is_number(c) for c in found):
        raise LineError("pending.candidates: need a list of levels in cm, or of plot codes")
    return tuple(found)


def _is_number(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return abs(value) < 1e6


def _today(given: dict[str, Any]) -> date | None:
    today = given.get("today")
    if today is None:
        return None
    try:
        return date.fromisoformat(today)
    except (TypeError, ValueError) as error:
        raise LineError('today: need a date, such as "2026-02-14"') from error


# -- the answer -----------------------------------------------------------------------------------


def _shown(heard: Heard, flags: tuple[str, ...]) -> dict[str, Any]:
    return {
        "outcome": heard.outcome,
        "readings": [
            {
                "plot": r.plot,
                "level_cm": _number(r.level_cm),
                "dry": r.dry,
                "on": r.on,
                "supersedes": r.supersedes,
            }
            for r in heard.readings
        ],
        "meanings": [
            {"kind": m.kind, "plot": m.plot, "value": _number(m.value), "unit": m.unit, "on": m.on}
            for m in heard.meanings
        ],
        "ask": [_asked(a) for a in heard.ask],
        "flags": [*heard.flags, *flags],
        "why": heard.why,
    }


def _asked(ask: Ask) -> dict[str, Any]:
    shown: dict[str, Any] = {
        "plot": ask.plot,
        "about": ask.about,
        "candidates": [_number(c) for c in ask.candidates],
    }
    if ask.level_cm is not None or ask.dry:
        shown |= {"level_cm": _number(ask.level_cm), "dry": ask.dry}
    return shown


def _number(value: float | str | None) -> float | str | None:
    """A whole number without ".0", for the reader's sake."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value
