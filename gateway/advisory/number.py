"""A phone number that does not show itself."""

import re
from typing import Final

import phonenumbers

from gateway.advisory.errors import NotANumber

# Seven digits or more in one run, with the marks that people write between; a date is not one.
LONG_DIGITS: Final = re.compile(r"(?<![\d.])(?!\d{4}-\d\d-\d\d(?!\d))\+?\d(?:[\s().-]{0,3}\d){6,}")


class Number:
    """A number in E.164 form. ``str``, ``repr`` and formats show a mask; ``reveal()`` the number.

    The last two digits stay visible, so that an officer can tell two phones of one plot apart.
    """

    __slots__ = ("_e164",)

    def __init__(self, e164: str) -> None:
        self._e164 = e164

    def reveal(self) -> str:
        """The number itself, for the carrier and the cipher only."""
        return self._e164

    @property
    def masked(self) -> str:
        """The number with all but its last two digits hidden."""
        return "•••••" + self._e164[-2:]

    def __repr__(self) -> str:
        return f"Number({self.masked})"

    def __str__(self) -> str:
        return self.masked

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Number) and other._e164 == self._e164

    def __hash__(self) -> int:
        return hash(self._e164)


def read_number(text: str, region: str | None = None) -> Number:
    """The number in ``text`` as E.164. Local digits and a 00 prefix are read too.

    ``region`` (ISO 3166 two letters) is where a number without a country code is dialled. Numbers
    that are possible but not assigned are taken: plans change faster than tables. Raises
    NotANumber. Source: ITU-T E.164 (15 digits at most), through the phonenumbers library.
    """
    cleaned = text.strip()
    if cleaned.startswith("00"):
        cleaned = "+" + cleaned[2:]
    elif region is None and cleaned[:1].isdigit():
        cleaned = "+" + cleaned
    try:
        parsed = phonenumbers.parse(cleaned, region)
    except phonenumbers.NumberParseException as error:
        raise NotANumber(_cause(error.error_type)) from None
    if parsed.extension:
        raise NotANumber("an extension cannot be texted")
    if not phonenumbers.is_possible_number(parsed):
        raise NotANumber("too short or too long for its country")
    return Number(phonenumbers.format_number(parsed, phonenumbers.PhoneNumberFormat.E164))


def hide_numbers(text: str) -> str:
    """``text`` with every run of seven digits or more masked, for screens and logs."""
    return LONG_DIGITS.sub(lambda found: "•••••" + found.group()[-2:], text)


def _cause(error_type: int) -> str:
    if error_type == phonenumbers.NumberParseException.INVALID_COUNTRY_CODE:
        return "the country code is missing or unknown"
    return "too short, too long, or no digits"


def is_region(region: str) -> bool:
    """Whether numbers can be dialled from a country of that name (ISO 3166, two capitals)."""
    return region in phonenumbers.SUPPORTED_REGIONS
