"""Checks of a catalogue's letters: its script, its digits, names of days, and its plain form."""

from collections.abc import Collection, Iterator
from datetime import date

from babel.core import get_global

from gateway.flowfiles.po import PoText
from gateway.flowfiles.reader import FlowError
from gateway.messages.catalogue import NAMES, PLACE, names_listed
from gateway.messages.dates import digits_of, word_day
from gateway.messages.gsm import bare_letters, fold_typography, strange_letters
from gateway.messages.letters import CHOICES, Letters, latin_code

_LATIN = "Latn"
_COUNTS = dict(zip(NAMES, (7, 12), strict=True))


def in_latin_script(language: str) -> bool:
    """Whether the language is written in Latin letters: as its code says, else as CLDR does."""
    if _LATIN in language.split("-"):
        return True
    likely: dict[str, str] = dict(get_global("likely_subtags"))
    full = likely.get(language.replace("-", "_")) or likely.get(language.split("-")[0], "")
    return f"_{_LATIN}" in full


def letters_of(po: PoText) -> Letters:
    """What a catalogue is written in: ``X-Letters``, else plain letters in Latin script only.

    Raises FlowError.
    """
    usual = "plain" if in_latin_script(po.language) else "script"
    said, line = po.headers.get("X-Letters", (usual, 1))
    if said not in CHOICES:
        raise po.mistake(line, f"X-Letters: need one of {', '.join(CHOICES)}, got {said!r}")
    return said


def check_forms(po: PoText, folders: Collection[str]) -> Iterator[FlowError]:
    """A script beyond Latin letters needs a catalogue in these beside it; days need names."""
    line = po.headers["Language"][1]
    folder = latin_code(po.language).replace("-", "_")
    if not in_latin_script(po.language) and folder not in folders:
        yield po.mistake(
            line, f"Language: add locales/{folder}, the same texts in the letters of a plain phone"
        )
    have = po.words()
    sample = word_day(date(2026, 3, 9), "EEE d MMM", po.language)
    if letters_of(po) == "plain" and strange_letters(bare_letters(sample)):
        for name in NAMES:
            if name not in have:
                yield po.mistake(
                    line, f"{name}: CLDR has none in these letters; list {_COUNTS[name]} names here"
                )


def letter_cures(words: str, po: PoText) -> Iterator[str]:
    """Letters that a plain text lacks, and digits of another script."""
    bare = PLACE.sub("", words)
    if in_latin_script(po.language):
        plain = bare if letters_of(po) == "plain" else bare_letters(bare)
        if strange := strange_letters(plain):
            yield f"letters that a plain text lacks: {' '.join(strange)}; write without them"
    digits = digits_of(po.language)
    if strange := [one for one in dict.fromkeys(bare) if one.isdecimal() and one not in digits]:
        yield f"digits of another script: {' '.join(strange)}; write {digits}"


def name_cures(name: str, words: str, po: PoText) -> Iterator[str]:
    """The names of days and months, where a catalogue lists its own."""
    have, need = len(names_listed(words)), _COUNTS[name]
    if have != need:
        yield f"need {need} names parted by commas, got {have}"
    yield from letter_cures(fold_typography(words), po)
