"""Days, times and numbers as the grower's language writes them: CLDR, through Babel."""

from datetime import date, time
from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import format_decimal

from gateway.messages.gsm import fold_typography

_STEP = 0.5


@lru_cache(maxsize=64)
def locale_of(language: str) -> Locale:
    """The CLDR locale of a BCP 47 language code. Raises ValueError where CLDR has none."""
    try:
        return Locale.parse(language, sep="-")
    except UnknownLocaleError as error:
        raise ValueError(f"CLDR knows no language {language!r}") from error


@lru_cache(maxsize=4096)
def word_day(day: date, pattern: str, language: str) -> str:
    """A day by a CLDR date pattern such as ``EEE d MMM``, without dots after short names."""
    words = format_date(day, pattern, locale=locale_of(language))
    return fold_typography(words).replace(".", "")


def word_time(moment: time) -> str:
    """A time of day on the 24-hour clock, such as 06:00."""
    return moment.strftime("%H:%M")


def word_number(value: float, language: str) -> str:
    """A number to the nearest half, without sign: no phone reads a finer one at a field tube."""
    halves = round(abs(value) / _STEP) * _STEP
    return str(format_decimal(halves, "0.#", locale=locale_of(language)))
