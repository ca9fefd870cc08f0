"""The fields of a callback or an answer: bytes in, texts out. Errors never show a value."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final, NoReturn
from urllib.parse import parse_qs

from gateway.advisory.carrier_profile import FieldAt
from gateway.carriers.proof import header_of

MOST_FIELDS: Final = 200
LONE_SURROGATE: Final = re.compile("[\ud800-\udfff]")


class FieldTrouble(Exception):
    """A field that is not there or cannot be read; the words name it and never show its value."""


@dataclass(frozen=True)
class Fields:
    """What came, by the places a profile may name. Bodies are parsed on first need, as UTF-8."""

    headers: Mapping[str, str]
    query: Mapping[str, str]
    body: bytes

    def need(self, at: FieldAt) -> str:
        """The text of a field that must be there; it may be empty. Raises FieldTrouble."""
        value = self.get(at)
        if value is None:
            raise FieldTrouble(f"{at.place} field {at.name} is missing")
        return value

    def get(self, at: FieldAt | None) -> str | None:
        """The text of a field, or None where it is missing. Raises FieldTrouble."""
        if at is None:
            return None
        found = self._find(at)
        return None if found is None else LONE_SURROGATE.sub("\ufffd", found)

    def _find(self, at: FieldAt) -> str | None:
        if at.place == "query":
            return self.query.get(at.path[0])
        if at.place == "header":
            return header_of(self.headers, at.path[0])
        if at.place == "body":
            return self._text().strip()
        return self._in_form(at) if at.place == "form" else self._in_json(at)

    def _text(self) -> str:
        try:
            return self.body.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise FieldTrouble(f"body is not UTF-8 at byte {error.start}") from None

    @cached_property
    def _json(self) -> Any:
        return _json(self._text())

    def _in_form(self, at: FieldAt) -> str | None:
        try:
            form = parse_qs(
                self._text(), keep_blank_values=True, errors="strict", max_num_fields=MOST_FIELDS
            )
        except UnicodeDecodeError:
            raise FieldTrouble("form is not UTF-8") from None
        except ValueError:
            raise FieldTrouble(f"form has more than {MOST_FIELDS} fields") from None
        values = form.get(at.path[0], [])
        if len(values) > 1:
            raise FieldTrouble(f"form field {at.name} stands {len(values)} times")
        return values[0] if values else None

    def _in_json(self, at: FieldAt) -> str | None:
        value = self._json
        for step in at.path:
            value = _step(value, step)
        if value is None or isinstance(value, str):
            return value
        if isinstance(value, bool):
            return "true" if value else "false"
        raise FieldTrouble(f"json field {at.name} is not a text")


def _json(text: str) -> Any:
    try:
        # Numbers stay as written: a reference of 20 digits may not be rounded.
        return json.loads(text, parse_int=str, parse_float=str, parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise FieldTrouble("body is not JSON") from None


def _no_constant(_: str) -> NoReturn:
    raise ValueError


def _step(value: Any, step: str) -> Any:
    if isinstance(value, dict):
        return value.get(step)
    if isinstance(value, list) and step.isdecimal() and len(step) < 4:
        return value[int(step)] if int(step) < len(value) else None
    return None
