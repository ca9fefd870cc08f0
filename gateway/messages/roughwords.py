"""Words of the office's own for many phones: what growers would misread in them.

The rules are those of the catalogues' checks; here they warn, because the office may know better.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from gateway.messages.catalogue import PLACE
from gateway.messages.gsm import fold_typography
from gateway.messages.segments import count_segments, is_routine

OWN_PLACES = frozenset({"scheme", "plots"})
"""The places that the office's own words may have: its short name, and the phone's plots."""

MOST_QUANTITIES = 3
_SIGN = re.compile(r"[+±\u2212]|(?<!\w)-|-(?=\d)")
_SLASHED_DAY = re.compile(r"\b\d{1,2}/\d{1,2}\b")
_NUMBER = re.compile(r"\d+(?:[.,:]\d+)*")
# A vowel sign joins its word in the scripts of India, though Unicode counts it no letter.
_APART = r"(?<![\w\u0900-\u0D7F]){}(?:s|ed|ing)?(?![\w\u0900-\u0D7F])"

About = Literal["sign", "never-say", "slashed-day", "numbers", "long", "name-late"]


@dataclass(frozen=True, slots=True)
class Rough:
    """What is rough in a text; ``found`` is the piece of it, or its size in segments."""

    about: About
    found: str


def rough_words(text: str, scheme: str, never: Iterable[str] = ()) -> Iterator[Rough]:
    """Everything in a finished text that growers misread, or that costs more than need be.

    ``scheme`` is the office's short name, which opens a text that the office starts; ``never`` are
    words that growers misread.
    """
    folded = fold_typography(text)
    if not folded.startswith(scheme):
        yield Rough("name-late", scheme)
    if sign := _SIGN.search(folded):
        yield Rough("sign", sign[0])
    for word in never:
        if re.search(_APART.format(re.escape(word)), folded, re.IGNORECASE):
            yield Rough("never-say", word)
    if day := _SLASHED_DAY.search(folded):
        yield Rough("slashed-day", day[0])
    if len(numbers := _NUMBER.findall(folded)) > MOST_QUANTITIES:
        yield Rough("numbers", str(len(numbers)))
    if not is_routine(text):
        yield Rough("long", str(count_segments(text).segments))


def unknown_places_in(text: str) -> list[str]:
    """Places of own words that nothing fills, and braces that stand alone."""
    names = [name for name in PLACE.findall(text) if name not in OWN_PLACES]
    rest = PLACE.sub("", text)
    return names + [brace for brace in "{}" if brace in rest]
