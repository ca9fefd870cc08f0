"""Letters: a language's own script, or a plain form within the alphabet of a text message.

A text outside that alphabet goes out in UCS-2, 70 units a segment in place of 160 septets. So a
language may have a plain form beside its script: a catalogue of its own in Latin letters
(``bn-Latn`` beside ``bn``), or the same words without marks (``vi-x-plain``, by rule). Both codes
are BCP 47.
"""

from collections.abc import Iterable
from typing import Final, Literal

Letters = Literal["script", "plain"]
CHOICES: Final[tuple[Letters, ...]] = ("script", "plain")
_BARE: Final = "-x-plain"
_LATIN: Final = "-Latn"


def is_bare(code: str) -> bool:
    """Whether the code names the form without marks of a language's own words."""
    return code.endswith(_BARE)


def bare_code(language: str) -> str:
    """The code of the form without marks."""
    return f"{language}{_BARE}"


def latin_code(language: str) -> str:
    """The code of the form in Latin letters that has a catalogue of its own."""
    return f"{language}{_LATIN}"


def languages_among(codes: Iterable[str]) -> list[str]:
    """The languages among the codes of catalogues, without the plain forms of another one."""
    known = list(codes)
    return [code for code in known if not _is_form(code, known)]


def _is_form(code: str, known: list[str]) -> bool:
    return is_bare(code) or (code.endswith(_LATIN) and code.removesuffix(_LATIN) in known)
