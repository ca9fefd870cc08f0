"""Builds frozen dataclasses from YAML by their field types; a field's name tells its unit."""

from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from types import UnionType
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from gateway.agronomy.forecast_practice import ForecastPractice
from gateway.flowfiles.forecast import forecast_of
from gateway.flowfiles.reader import Entry

T = TypeVar("T")
_OWN_READER = {ForecastPractice: forecast_of}
# The bounds of a sane value by unit: wide enough for any scheme, narrow enough for a slip.
_BOUNDS: dict[str, tuple[float, float, str]] = {
    "days": (0, 400, "days"),
    "hours": (0, 2000, "hours"),
    "cm": (-200, 200, "cm"),
    "mm": (0, 2000, "mm"),
    "kg": (0.001, 1000, "kg"),
    "c": (-40, 60, "degrees C"),
    "share": (0.05, 1, ""),
    "count": (2, 100, ""),
    "excess": (1, 10, ""),
    "m": (0.1, 50, "dS/m"),
}


def build(cls: type[T], entry: Entry, base: T | None = None, **given: Any) -> T:
    """The dataclass ``cls`` from a mapping; a missing key comes from ``base`` or is a mistake.

    ``given`` holds the fields that do not stand in the file.
    """
    hints, parts = get_type_hints(cls), [f for f in fields(cls) if f.name not in given]  # type: ignore[arg-type]
    found = entry.keys(*(part.name for part in parts))
    values = {
        part.name: _field(part, hints[part.name], found.get(part.name), entry, base)
        for part in parts
    }
    return cls(**values, **given)


def _field(part: "Field[Any]", kind: Any, at: Entry | None, entry: Entry, base: Any) -> Any:
    old = getattr(base, part.name, None)
    if at is not None:
        return value_of(kind, at, old)
    if base is not None:
        return old
    if part.default is not MISSING:
        return part.default
    return entry.fail(f"the key {part.name} is missing here")


def value_of(kind: Any, at: Entry, base: Any = None) -> Any:
    """The value of type ``kind`` that stands at ``at``; raises FlowError with the cure."""
    origin, inner = get_origin(kind), get_args(kind)
    if kind in _OWN_READER:
        return _OWN_READER[kind](at)
    if is_dataclass(kind):
        return build(kind, at, base)  # type: ignore[arg-type]
    if origin is Literal:
        return at.choice(*inner)
    if origin in (Union, UnionType):
        return None if at.is_null() else value_of(inner[0], at, base)
    if origin is not None and issubclass(origin, Mapping):
        return dict(base or {}) | {name: value_of(inner[1], e) for name, e in at.items()}
    if origin is tuple:
        return tuple(value_of(inner[0], each) for each in at.list())
    return _scalar(kind, at)


def _scalar(kind: Any, at: Entry) -> Any:
    low, high, unit = _BOUNDS.get(at.name.rsplit("_", 1)[-1], (None, None, ""))
    if kind is bool:
        return at.flag()
    if kind is int:
        return at.whole(
            None if low is None else int(low), None if high is None else int(high), unit
        )
    return at.number(low, high, unit) if kind is float else at.text()
