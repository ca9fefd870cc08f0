"""The longest that a message can get: each place filled with its longest plausible value."""

from collections.abc import Iterable
from datetime import date, time, timedelta
from functools import lru_cache

from gateway.messages.catalogue import PLACE, Catalogue
from gateway.messages.dates import DayNames, word_day, word_time

CODE = "ABCDEFG8"
"""A plot's code of the longest kind, eight letters."""

MOST_CHOICES = 6
"""So many choices are listed in one text or page at most; more would be read as noise."""

_NUMBERS = {"cm": 20.5, "to": 12.5, "limit": 20.5, "kg": 120.5, "mm": 120.5}
_NUMBERS |= {"looks": 99, "floods": 99}
LONGEST_PRICE = 16
"""So many characters the price of a text may have, as the office writes it."""

_WORDS = {"head": CODE, "plot": CODE, "product": "SULPHATE", "scheme": "WATER OFFICE"}
_WORDS |= {"price": "M" * LONGEST_PRICE, "ending": "07"}
_DAYS = ("by", "look", "until", "free", "harvest", "sprayed", "start", "water", "since")
_HOURS = ("starts",)
_LEVELS = "level."
_CHOICE = "choice."
PARTS = ("plots", "why")
"""Places that are filled with as much as fits, so that they never make a text too long."""


def longest_text(catalogue: Catalogue, msgid: str) -> str:
    """The message with each place at its longest, in the catalogue's own words."""
    return catalogue.say(msgid, **longest_fields(catalogue, catalogue.places(msgid)))


def longest_name() -> int:
    """How many characters the short name of a scheme may have, for the texts to fit."""
    return len(_WORDS["scheme"])


def unknown_places(words: str) -> list[str]:
    """The places in a message's words that no field ever fills."""
    known = {*_NUMBERS, *_WORDS, *_DAYS, *_HOURS, *PARTS, "seen", "what", "choices", "first"}
    return [name for name in dict.fromkeys(PLACE.findall(words)) if name not in known]


def longest_fields(catalogue: Catalogue, names: Iterable[str]) -> dict[str, str | float]:
    """The longest plausible value of each named place."""
    return {name: _longest(catalogue, name) for name in names}


def _longest(catalogue: Catalogue, name: str) -> str | float:
    if name in _DAYS:
        short = catalogue.words["date.short"]
        return longest_day(catalogue.language, short, catalogue.names)
    if name in _HOURS:
        return word_time(time(22, 30), catalogue.language)
    if name in ("seen", "what"):
        return _longest_part(catalogue, _LEVELS)
    if name == "first":
        return _longest_part(catalogue, _CHOICE)
    if name == "choices":
        return ", ".join(
            f"{catalogue.number(number)} = {CODE}" for number in range(1, MOST_CHOICES + 1)
        )
    return _NUMBERS.get(name) or _WORDS.get(name, "")


def _longest_part(catalogue: Catalogue, start: str) -> str:
    said = (catalogue.say(name, **_NUMBERS) for name in catalogue.words if name.startswith(start))
    return max(said, key=len, default="")


@lru_cache(maxsize=64)
def longest_day(language: str, pattern: str, names: DayNames | None = None) -> str:
    """The longest that any day of a year comes out, in a year that has them all: 28 years apart."""
    first = date(2000, 1, 1)
    days = (first + timedelta(days=number) for number in range(0, 366 * 7, 1))
    return max((word_day(day, pattern, language, names) for day in days if day.day > 19), key=len)
