"""Checks of the catalogues: what an officer's edit may break, found before a grower does."""

import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from babel.messages.catalog import Message

from gateway.flowfiles.catalogue_letters import (
    check_forms,
    in_latin_script,
    letter_cures,
    letters_of,
    name_cures,
)
from gateway.flowfiles.po import PoText, parse_po, read_text
from gateway.flowfiles.reader import FlowError
from gateway.messages.catalogue import NAMES, PLACE, Catalogue
from gateway.messages.dates import locale_of
from gateway.messages.gsm import fold_typography
from gateway.messages.letters import bare_code
from gateway.messages.segments import ROUTINE, count_segments
from gateway.messages.worst import longest_text, unknown_places

SOURCE = "en"
SOURCE_SEPTETS = 150
"""English leaves room in its one segment, so that longer languages can follow it."""

PAGE_SEPTETS, PAGE_UNITS = 150, 65
_SIGN = re.compile(r"[+±\u2212]|(?<!\w)-|-(?=[\d{])")
# A vowel sign joins its word in the scripts of India, though Unicode counts it no letter.
_NOT_IN_WORD = r"(?<![\w\u0900-\u0D7F]){}(?:s|ed|ing)?(?![\w\u0900-\u0D7F])"
_BUDGET = re.compile(r"budget: *(\d)")


def check_catalogues(locales: Path) -> list[str]:
    """Every mistake in the catalogues of a folder, as ``path:line:1 name: cure``, file by file."""
    mistakes: list[FlowError] = []
    files: dict[Path, PoText] = {}
    for path in sorted(locales.glob("*/LC_MESSAGES/gateway.po")):
        try:
            files[path] = parse_po(path, read_text(path))
        except FlowError as mistake:
            mistakes.append(mistake)
    source = files.get(locales / SOURCE / "LC_MESSAGES" / "gateway.po")
    if source is None:
        return [*map(str, mistakes), f"{locales / SOURCE}:1:1 the catalogue {SOURCE} is missing"]
    folders = {path.parent.parent.name for path in files}
    for po in files.values():
        mistakes += _mistakes_of(po, source, folders)
    return [str(mistake) for mistake in mistakes]


def _mistakes_of(po: PoText, source: PoText, folders: set[str]) -> Iterator[FlowError]:
    try:
        po.read_aloud()
        locale_of(po.language)
        letters_of(po)
    except FlowError as mistake:
        yield mistake
        return
    except ValueError as error:
        yield po.mistake(po.headers["Language"][1], f"Language: {error}")
        return
    yield from check_forms(po, folders)
    yield from _missing(po, source)
    for name, entry in po.messages().items():
        for cure in _cures(name, entry, po, source):
            yield po.mistake(entry.lineno or 1, f"{name}: {cure}")


def _missing(po: PoText, source: PoText) -> Iterator[FlowError]:
    have = po.words()
    for name, entry in source.messages().items():
        if name not in have:
            there = po.messages().get(name)
            line = (there.lineno if there else 0) or po.text.count("\n") + 1
            state = "has no words or is marked fuzzy" if there else "is missing"
            yield po.mistake(line, f"{name}: {state}; in {SOURCE} it is {entry.string!r}")


def _cures(name: str, entry: Message, po: PoText, source: PoText) -> Iterator[str]:
    model = source.messages().get(name)
    if name in NAMES:
        yield from name_cures(name, str(entry.string), po)
        return
    if model is None:
        yield f"no message of that name in {SOURCE}; remove it or mend the name"
        return
    if not entry.string or entry.fuzzy:
        return
    if entry.pluralizable:
        yield "plural forms are not read; our units (cm, kg, h) do not bend with their number"
        return
    words = fold_typography(str(entry.string))
    yield from _place_cures(words, str(model.string))
    yield from letter_cures(words, po)
    yield from _word_cures(words, never_said(po, source))
    yield from _neglect_cures(name, entry, model, po)
    if not unknown_places(words):
        yield from _length_cures(name, model, po, source)


def _place_cures(words: str, model: str) -> Iterator[str]:
    have, need = set(PLACE.findall(words)), set(PLACE.findall(model))
    for name in sorted(need - have):
        yield f"the place {{{name}}} is missing; {SOURCE} has it"
    for name in sorted(have - need):
        yield f"the place {{{name}}} is never filled here; {SOURCE} does not have it"
    for name in unknown_places(model) if words == model else []:
        yield f"the place {{{name}}} is not known; mend its name"
    if PLACE.sub("", words).count("{") or PLACE.sub("", words).count("}"):
        yield "a brace stands alone; places are written {like_this}"


def _word_cures(words: str, never: list[str]) -> Iterator[str]:
    for word in never:
        if re.search(_NOT_IN_WORD.format(re.escape(word)), words, re.IGNORECASE):
            yield f"growers misread {word!r}; say it otherwise"
    if found := _SIGN.search(words):
        yield f"a sign {found[0]!r} that growers misread; say BELOW, ABOVE or 'to' in words"


def _neglect_cures(name: str, entry: Message, model: Message, po: PoText) -> Iterator[str]:
    same = str(entry.string) == str(model.string)
    meant = any("same as English" in comment for comment in entry.user_comments)
    if same and po.language != SOURCE and not meant:
        yield "still the English words; translate it, or write above it: # same as English"


def _length_cures(name: str, model: Message, po: PoText, source: PoText) -> Iterator[str]:
    if _is(model, "part"):
        return
    for trial in _trials(po, source):
        yield from _cost_cures(longest_text(trial, name), model, po.language)


def _cost_cures(text: str, model: Message, language: str) -> Iterator[str]:
    count = count_segments(text)
    most = _budget(model) * ROUTINE[count.encoding]
    if _is(model, "page"):
        page = PAGE_SEPTETS if count.encoding == "gsm7" else PAGE_UNITS
        if count.units > page:
            yield f"at its longest {count.units} units, a page holds {page}: {text}"
    elif count.segments > most:
        size = f"{count.segments} segments ({count.units} units)"
        yield f"at its longest {size}, need {most}: {text}"
    elif language == SOURCE and most == 1 and count.units > SOURCE_SEPTETS:
        yield f"at its longest {count.units} septets, need {SOURCE_SEPTETS}: {text}"


@lru_cache(maxsize=2)
def _trials(po: PoText, source: PoText) -> tuple[Catalogue, ...]:
    """The catalogue in each form that a phone may get: as written, and without marks."""
    words = {**source.words(), **po.words()}
    codes = [po.language]
    if letters_of(po) == "script" and in_latin_script(po.language):
        codes.append(bare_code(po.language))
    return tuple(Catalogue(code, words, True, None, None, po.digest) for code in codes)


def _is(model: Message, mark: str) -> bool:
    comments = " ".join(model.auto_comments)
    return mark in re.split(r"[;\s]+", comments)


def _budget(model: Message) -> int:
    found = _BUDGET.search(" ".join(model.auto_comments))
    return int(found[1]) if found else 1


def never_said(po: PoText, source: PoText) -> list[str]:
    """The words that no text of the catalogue may use: its own header's, and the source's."""
    both = (one.headers.get("X-Never-Say", ("", 1))[0] for one in (source, po))
    listed = (word.strip() for value in both for word in value.split(","))
    return list(dict.fromkeys(filter(None, listed)))
