"""Days, times and numbers as the grower's language writes them: CLDR, through Babel."""

import re
from datetime import date, time
from functools import lru_cache
from typing import Final, NamedTuple

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import format_decimal

from gateway.messages.gsm import fold_typography

_STEP = 0.5
_PRIVATE: Final = "-x-"
_LATIN: Final = "-Latn"
_FIELD: Final = re.compile(r"E+|M+|d+|'([^']*)'")

# Unicode: where the ten digits of a CLDR numbering system begin.
_ZEROS: Final = {
    "arab": 0x0660,
    "arabext": 0x06F0,
    "beng": 0x09E6,
    "deva": 0x0966,
    "khmr": 0x17E0,
    "laoo": 0x0ED0,
    "mymr": 0x1040,
    "thai": 0x0E50,
}


class DayNames(NamedTuple):
    """Short names of the seven days from Monday and the twelve months, where CLDR has none."""

    weekdays: tuple[str, ...]
    months: tuple[str, ...]


@lru_cache(maxsize=64)
def locale_of(language: str) -> Locale:
    """The CLDR locale of a BCP 47 language code. Raises ValueError where CLDR has none.

    What follows -x- is for private use (RFC 5646, 2.2.7) and says nothing to CLDR.
    """
    try:
        return Locale.parse(language.split(_PRIVATE)[0], sep="-")
    except UnknownLocaleError as error:
        raise ValueError(f"CLDR knows no language {language!r}") from error


def language_name(language: str) -> str:
    """What a language is called in English by CLDR; its code where CLDR has no name."""
    return locale_of(language).get_language_name("en") or language


@lru_cache(maxsize=64)
def digits_of(language: str) -> str:
    """The ten digits that CLDR writes the language in by default, from 0 to 9.

    In Latin letters, and where the digits are not known here, they are those of a phone's keys.
    """
    system = locale_of(language).default_numbering_system
    zero = ord("0") if _LATIN in language else _ZEROS.get(system, ord("0"))
    return "".join(chr(zero + digit) for digit in range(10))


def in_digits(text: str, language: str) -> str:
    """The text with its digits as the language writes them."""
    digits = digits_of(language)
    return text if digits[0] == "0" else text.translate(str.maketrans("0123456789", digits))


@lru_cache(maxsize=4096)
def word_day(day: date, pattern: str, language: str, names: DayNames | None = None) -> str:
    """A day by a CLDR date pattern such as ``EEE d MMM``, without dots after short names."""
    if names is None:
        words = format_date(day, pattern, locale=locale_of(language))
    else:
        words = _FIELD.sub(lambda field: _by_names(day, field, names), pattern)
    return in_digits(fold_typography(words).replace(".", "").replace("\u0970", ""), language)


def _by_names(day: date, field: re.Match[str], names: DayNames) -> str:
    if field[0][0] == "E":
        return names.weekdays[day.weekday()]
    if field[0][0] == "M":
        return names.months[day.month - 1]
    return field[1] if field[1] is not None else str(day.day)


def word_time(moment: time, language: str = "en") -> str:
    """A time of day on the 24-hour clock, such as 06:00."""
    return in_digits(moment.strftime("%H:%M"), language)


@lru_cache(maxsize=4096)
def word_number(value: float, language: str) -> str:
    """A number to the nearest half, without sign: no phone reads a finer one at a field tube."""
    halves = round(abs(value) / _STEP) * _STEP
    return in_digits(str(format_decimal(halves, "0.#", locale=locale_of(language))), language)
