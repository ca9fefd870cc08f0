"""Values of the lower rooms as plain JSON data, and back: frozen dataclasses, dates, tuples."""

from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from datetime import date, datetime, time
from functools import cache
from types import NoneType, UnionType
from typing import Any, Final, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from gateway.agronomy.season import Split

T = TypeVar("T")
Read = Callable[[Any], Any]
AS_THEY_ARE: Final = frozenset({str, int, float, bool, NoneType})


def to_plain(value: Any) -> Any:
    """``value`` as JSON data: dataclasses by field, dates in ISO 8601, sets in order.

    A field that is None where it need not be anything is left out.
    """
    kind = value.__class__
    if kind in AS_THEY_ARE:
        return value
    if kind is tuple or kind is list:
        return [to_plain(part) for part in value]
    if kind in (date, time, datetime):
        return value.isoformat()
    if isinstance(value, (set, frozenset)):
        return sorted(to_plain(part) for part in value)
    if isinstance(value, (tuple, list)):
        return [to_plain(part) for part in value]
    plain = {}
    for name, may_lack in _names(kind):
        part = getattr(value, name)
        if part is not None:
            plain[name] = part if part.__class__ in AS_THEY_ARE else to_plain(part)
        elif not may_lack:
            plain[name] = None
    return plain


def from_plain(kind: type[T], plain: Any) -> T:
    """The ``kind`` that was made plain; a field that was not there yet takes its default."""
    anything: Any = kind
    value: T = _reader(anything)(plain)
    return value


def split_rows(splits: tuple[Split, ...]) -> Any:
    """A season's own splits as JSON data, None where it has none."""
    return to_plain(splits) or None


def read_splits(plain: Any) -> tuple[Split, ...]:
    """Splits from their JSON data."""
    return tuple(from_plain(Split, each) for each in plain or ())


@cache
def _names(kind: Any) -> tuple[tuple[str, bool], ...]:
    """Each field, and whether None is what it is without being told."""
    return tuple((field.name, field.default is None) for field in fields(kind))


@cache
def _reader(kind: Any) -> Read:
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _optional(get_args(kind))
    if origin in (tuple, frozenset):
        part = _reader(get_args(kind)[0])
        return lambda plain: origin(part(each) for each in plain)
    if origin is Literal or kind in (str, int, float, bool):
        return _as_it_stands
    if kind in (date, datetime, time):
        read: Read = kind.fromisoformat
        return read
    if is_dataclass(kind):
        return _dataclass_reader(kind)
    raise TypeError(f"no plain form of {kind}")


def _optional(kinds: tuple[Any, ...]) -> Read:
    (kind,) = (each for each in kinds if each is not NoneType)
    read = _reader(kind)
    return lambda plain: None if plain is None else read(plain)


def _as_it_stands(plain: Any) -> Any:
    return plain


def _dataclass_reader(kind: Any) -> Read:
    hints = get_type_hints(kind)
    readers = {field.name: _reader(hints[field.name]) for field in fields(kind)}
    needed = [
        field.name
        for field in fields(kind)
        if field.default is MISSING and field.default_factory is MISSING
    ]

    def read(plain: dict[str, Any]) -> Any:
        missing = [name for name in needed if name not in plain]
        if missing:
            raise ValueError(f"{kind.__name__} on record lacks {', '.join(missing)}")
        known = (name for name in plain if name in readers)
        return kind(**{name: readers[name](plain[name]) for name in known})

    return read
