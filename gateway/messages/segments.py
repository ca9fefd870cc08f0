"""How many segments a text costs, and where it may be cut: 3GPP TS 23.038 and TS 23.040.

A lone segment holds 160 septets or 70 UCS-2 units. Joined ones give 6 octets to the header that
joins them (TS 23.040, 9.2.3.24.1), which leaves 153 septets or 67 units each.
"""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from gateway.messages.gsm import EXTENSION, fold_typography, strange_letters

__all__ = ["SegmentCount", "count_segments", "fold_typography", "is_routine", "split_text"]

Encoding = Literal["gsm7", "ucs2"]
_ALONE: dict[Encoding, int] = {"gsm7": 160, "ucs2": 70}
_JOINED: dict[Encoding, int] = {"gsm7": 153, "ucs2": 67}
_JOINER = "\u200d"

ROUTINE: dict[Encoding, int] = {"gsm7": 1, "ucs2": 2}
"""The segments that a routine text may cost: a script of its own holds fewer letters in each."""


@dataclass(frozen=True, slots=True)
class SegmentCount:
    """``units`` are septets (gsm7) or 16-bit units (ucs2); an empty text still costs a segment."""

    encoding: Encoding
    units: int
    segments: int


def count_segments(text: str) -> SegmentCount:
    """The encoding that the text needs, its size in it, and the segments that it will cost."""
    encoding = _encoding_of(text)
    units = _units(text, encoding)
    if units <= _ALONE[encoding]:
        return SegmentCount(encoding, units, 1)
    return SegmentCount(encoding, units, len(_pack(text, encoding)))


def is_routine(text: str, budget: int = 1) -> bool:
    """Whether the text costs what a routine one may; ``budget``: so many times as much."""
    count = count_segments(text)
    return count.segments <= budget * ROUTINE[count.encoding]


def split_text(text: str) -> list[str]:
    """The parts of a text, one a segment; joined they are the text again.

    An escape pair and a surrogate pair are never parted. A letter and its marks stay together too,
    unless that would cost one more segment.
    """
    encoding = _encoding_of(text)
    if _units(text, encoding) <= _ALONE[encoding]:
        return [text]
    plain = _pack(text, encoding)
    kind = _pack(_clusters(text), encoding)
    return kind if len(kind) == len(plain) and _all_fit(kind, encoding) else plain


def _encoding_of(text: str) -> Encoding:
    return "ucs2" if strange_letters(text) else "gsm7"


def _units(text: str, encoding: Encoding) -> int:
    if encoding == "gsm7":
        return len(text) + sum(map(text.count, EXTENSION))
    return len(text) + sum(letter > "\uffff" for letter in text)


def _pack(pieces: Iterable[str], encoding: Encoding) -> list[str]:
    parts, room = [""], _JOINED[encoding]
    for piece in pieces:
        units = _units(piece, encoding)
        if units > room and parts[-1]:
            parts.append("")
            room = _JOINED[encoding]
        parts[-1] += piece
        room -= units
    return parts


def _all_fit(parts: list[str], encoding: Encoding) -> bool:
    return all(_units(part, encoding) <= _JOINED[encoding] for part in parts)


def _clusters(text: str) -> list[str]:
    clusters: list[str] = []
    for letter in text:
        mark = letter == _JOINER or unicodedata.category(letter)[0] == "M"
        if clusters and (mark or clusters[-1].endswith(_JOINER)):
            clusters[-1] += letter
        else:
            clusters.append(letter)
    return clusters
