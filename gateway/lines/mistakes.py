"""What is wrong with a line, in words: the key, what is needed, what was found."""

from typing import TypeVar

from pydantic import BaseModel, ValidationError

from gateway.agronomy.book import EVENT_KINDS
from gateway.lines.pipe import LineError

M = TypeVar("M", bound=BaseModel)
MOST = 5  # so many mistakes are named in one answer
_NEED = {
    "missing": "is missing",
    "extra_forbidden": "unknown key; see --schema for those that are known",
    "finite_number": "need a finite number",
    "float_type": "need a number",
    "float_parsing": "need a number",
    "int_type": "need a whole number",
    "int_from_float": "need a whole number",
    "string_type": "need a text",
    "bool_type": "need true or false",
    "list_type": "need a list",
    "model_type": "need an object",
    "model_attributes_type": "need an object",
    "date_type": "need a date as 2026-02-14",
    "date_parsing": "need a real date as 2026-02-14",
    "date_from_datetime_parsing": "need a real date as 2026-02-14",
    "date_from_datetime_inexact": "need a date without a time, as 2026-02-14",
    "string_pattern_mismatch": "need a time as 06:30",
    "union_tag_not_found": "the key kind is missing",
    "union_tag_invalid": "kind: need one of {expected_tags}",
    "greater_than": "need more than {gt}",
    "greater_than_equal": "need at least {ge}",
    "less_than": "need less than {lt}",
    "less_than_equal": "need at most {le}",
    "literal_error": "need one of {expected}",
}
_ALL_SAID = frozenset({"missing", "extra_forbidden", "union_tag_not_found"})


def read_json(model: type[M], text: str) -> M:
    """The model from JSON text. Raises LineError that names each key at fault and its cure."""
    try:
        return model.model_validate_json(text)
    except ValidationError as error:
        raise LineError(_words(error)) from error
    except (ValueError, RecursionError) as error:
        raise LineError(f"not a JSON object that can be read: {error}") from error


def _words(error: ValidationError) -> str:
    found = error.errors(include_url=False)
    told = [_mistake(one) for one in found[:MOST]]  # type: ignore[arg-type]
    more = [f"and {len(found) - MOST} more"] if len(found) > MOST else []
    return "; ".join([*told, *more])


def _mistake(one: dict[str, object]) -> str:
    kind, value = str(one["type"]), one.get("input")
    if kind == "json_invalid":
        return f"not JSON: {str(one['msg']).removeprefix('Invalid JSON: ')}"
    place = _place(one["loc"])  # type: ignore[arg-type]
    if kind == "value_error":
        key, _, cure = str(one["msg"]).removeprefix("Value error, ").partition(": ")
        return f"{place + '.' if place else ''}{key}: {cure}"
    facts: dict[str, object] = one.get("ctx") or {}  # type: ignore[assignment]
    need = _NEED.get(kind, str(one["msg"]).replace("Input should be", "need"))
    need = need.format(**facts) if kind in _NEED else need
    value = facts.get("tag", value)
    shown = "" if kind in _ALL_SAID else f", got {_shown(value)}"
    return f"{place}: {need}{shown}" if place else f"the line: {need}{shown}"


def _place(loc: tuple[str | int, ...]) -> str:
    """events[3].level_cm; the kind of an event that pydantic puts between is left out."""
    words = ""
    for before, part in zip((None, *loc), loc, strict=False):
        if isinstance(part, int):
            words += f"[{part}]"
        elif not (isinstance(before, int) and loc[0] == "events" and part in EVENT_KINDS):
            words += f".{part}" if words else part
    return words


def _shown(value: object) -> str:
    if isinstance(value, (dict, list)):
        return "an object" if isinstance(value, dict) else "a list"
    text = repr(value) if isinstance(value, str) else str(value)
    return text if len(text) <= 40 else f"{text[:40]}..."
