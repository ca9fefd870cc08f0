"""Reads flows/vocabulary: what the growers' words mean, language by language."""

import itertools
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import get_args

from gateway.flowfiles.reader import Entry, read_file
from gateway.messages.heard import Kind
from gateway.messages.vocabulary import ROLES, WEAK, Term, Vocabulary, grow, slip_targets

_KINDS = get_args(Kind)
_LENGTHS = ("cm", "mm", "m", "inch", "ft")
_KEYS = (
    *("language", "also", "sets", "skip", "words", "days", "weekdays", "months", "ordinal_ends"),
    *("units", "quantities", "minus", "plus", "numbers", "choices", "meanings", "weeds"),
    *("whole", "join", "language_words", "languages", "question_openers"),
)
_WHOLE = (*_KINDS, "weeds-few", "weeds-many")
_WORD = re.compile(r"[^\s\-/'.,;:?!]+")
_SET = re.compile(r"<([a-z]+)>")
_SCRIPTS = "scripts.yaml"


@dataclass(slots=True)
class _Common:
    """What holds for every language."""

    folding: dict[int, str] = field(default_factory=dict)
    terms: list[tuple[tuple[str, ...], Term]] = field(default_factory=list)
    unspaced: re.Pattern[str] | None = None
    deepest_cm: float = 0.0
    highest_cm: float = 0.0


@dataclass(slots=True)
class _Draft:
    """The words of one file, on their way to a Vocabulary."""

    sets: dict[str, list[str]] = field(default_factory=dict)
    terms: dict[tuple[str, ...], Term] = field(default_factory=dict)
    skip: set[str] = field(default_factory=set)
    maps: dict[str, dict[str, str]] = field(default_factory=dict)
    months: dict[str, int] = field(default_factory=dict)
    signs: dict[str, int] = field(default_factory=dict)
    numbers: dict[str, float] = field(default_factory=dict)
    choices: dict[str, int] = field(default_factory=dict)
    whole: dict[str, tuple[str, str | None]] = field(default_factory=dict)
    alone: dict[str, str] = field(default_factory=dict)


def load_vocabularies(flows: Path) -> dict[str, Vocabulary]:
    """All of ``flows``/vocabulary, by BCP 47 language. A mistake is a FlowError with its cure."""
    folder = flows / "vocabulary"
    common = _common(read_file(folder / _SCRIPTS))
    tops = [read_file(path) for path in sorted(folder.glob("*.yaml")) if path.name != _SCRIPTS]
    files = {top.need("language").text(): top for top in tops}
    return {language: _vocabulary(language, files, common) for language in files}


# -- what holds for every language ----------------------------------------------------------------


def _common(top: Entry) -> _Common:
    keys = top.keys("reach", "minus", "plus", "scripts")
    common = _Common()
    reach = top.need("reach").keys("deepest_cm", "highest_cm")
    common.deepest_cm = reach["deepest_cm"].number(high=0, unit="cm")
    common.highest_cm = reach["highest_cm"].number(low=0, unit="cm")
    for name, sign in (("minus", "-"), ("plus", "+")):
        common.folding |= {ord(e.text()): sign for e in keys[name].list()}
    unspaced: list[str] = []
    for _, script in top.need("scripts").items():
        unspaced += _script(script, common)
    if unspaced:
        longest_first = sorted(unspaced, key=len, reverse=True)
        common.unspaced = re.compile("|".join(map(re.escape, longest_first)))
    return common


def _script(script: Entry, common: _Common) -> list[str]:
    keys = script.keys("digits", "spaces", "below", "above", "surface", "dry")
    digits = script.need("digits").text()
    if len(digits) != 10 or [unicodedata.digit(d, -1) for d in digits] != list(range(10)):
        keys["digits"].fail("need the ten digits from zero to nine, in their order")
    common.folding |= {ord(digit): str(value) for value, digit in enumerate(digits)}
    words: list[str] = []
    for role in ("below", "above", "surface", "dry"):
        for entry in script.need(role).list():
            phrase = _words_of(entry.text())
            common.terms.append((phrase, Term(role)))
            words += phrase
    spaced = keys["spaces"].flag() if "spaces" in keys else True
    return [] if spaced else words


# -- one language ---------------------------------------------------------------------------------


def _vocabulary(language: str, files: dict[str, Entry], common: _Common) -> Vocabulary:
    draft = _Draft()
    for phrase, term in common.terms:
        draft.terms[phrase] = term
    top = files[language]
    also = top.get("also")
    for entry in also.list() if also else []:
        if entry.text() not in files:
            entry.fail(f"need a language that has a file here: {', '.join(files)}")
        _read(files[entry.text()], draft)
    _read(top, draft)
    return _finished(language, draft, common)


def _finished(language: str, draft: _Draft, common: _Common) -> Vocabulary:
    pairs = list(draft.terms.items())
    tables: list[Mapping[str, object]] = [*draft.maps.values(), draft.numbers, draft.signs]
    barred = {word for table in tables for word in table}
    barred |= draft.months.keys() | {w for p in draft.alone for w in p.split()}
    barred |= {w for p in draft.whole for w in p.split() if (w,) not in draft.terms}
    barred |= draft.skip
    words = {w for phrase, _ in pairs for w in phrase}
    return Vocabulary(
        language=language,
        phrases=grow(pairs),
        skip=frozenset(draft.skip),
        units=draft.maps.get("units", {}),
        quantities=draft.maps.get("quantities", {}),
        months=draft.months,
        ordinal_ends=frozenset(draft.maps.get("ordinal_ends", {})),
        signs=draft.signs,
        numbers=draft.numbers,
        choices=draft.choices,
        whole=draft.whole,
        alone=draft.alone,
        join=frozenset(draft.maps.get("join", {})),
        language_words=frozenset(draft.maps.get("language_words", {})),
        languages=draft.maps.get("languages", {}),
        openers=frozenset(draft.maps.get("question_openers", {})),
        folding=common.folding,
        deepest_cm=common.deepest_cm,
        highest_cm=common.highest_cm,
        unspaced=common.unspaced,
        known=frozenset(words | barred | draft.choices.keys()),
        slips=slip_targets(pairs, frozenset(barred)),
    )


def _read(top: Entry, draft: _Draft) -> None:
    keys = top.keys(*_KEYS)
    if "sets" in keys:
        draft.sets |= {name: _texts(entry) for name, entry in keys["sets"].items()}
    if "skip" in keys:
        draft.skip |= {_joined(text) for text in _texts(keys["skip"])}
    own: dict[tuple[str, ...], Term] = {}
    _read_terms(keys, draft, own)
    draft.terms |= own
    _read_maps(keys, draft)
    _read_whole(keys, draft)


def _read_terms(keys: dict[str, Entry], draft: _Draft, own: dict[tuple[str, ...], Term]) -> None:
    groups = dict(keys["words"].items()) if "words" in keys else {}
    for role in sorted(groups, key=lambda r: ROLES.index(r) if r in ROLES else len(ROLES)):
        if role not in ROLES:
            groups[role].fail(f"need one of {', '.join(ROLES)}")
        _add(groups[role], Term(role), draft, own)
    for value, entry in keys["days"].items() if "days" in keys else ():
        _add(entry, Term("day", value), draft, own)
    for number, entry in enumerate(keys["weekdays"].list() if "weekdays" in keys else ()):
        _add(entry, Term("weekday", number), draft, own)
    for kind, entry in keys["meanings"].items() if "meanings" in keys else ():
        if kind not in _KINDS:
            entry.fail(f"need one of {', '.join(_KINDS)}")
        _add(entry, Term("event", kind), draft, own)
    for detail, entry in keys["weeds"].items() if "weeds" in keys else ():
        if detail not in ("few", "many"):
            entry.fail("need few or many")
        _add(entry, Term("event", "weeds", detail), draft, own)


def _add(entry: Entry, term: Term, draft: _Draft, own: dict[tuple[str, ...], Term]) -> None:
    for phrase, place in _phrases(entry, draft.sets):
        before = own.get(phrase)
        if before is None or before.role in WEAK:
            own[phrase] = term
        elif before != term and term.role not in WEAK:
            name = before.value or before.role
            place.fail(f"{' '.join(phrase)!r} stands under {name} too, keep it in one place")


def _read_maps(keys: dict[str, Entry], draft: _Draft) -> None:
    for name in ("units", "quantities", "languages"):
        for value, entry in keys[name].items() if name in keys else ():
            if name == "units" and value not in _LENGTHS:
                entry.fail(f"need one of {', '.join(_LENGTHS)}")
            draft.maps.setdefault(name, {}).update({_joined(t): value for t in _texts(entry)})
    for name in ("ordinal_ends", "join", "language_words", "question_openers"):
        texts = _texts(keys[name]) if name in keys else []
        draft.maps.setdefault(name, {}).update({_joined(t): name for t in texts})
    for sign, name in ((-1, "minus"), (1, "plus")):
        draft.signs |= {_joined(t): sign for t in (_texts(keys[name]) if name in keys else [])}
    for number, entry in enumerate(keys["months"].list() if "months" in keys else ()):
        draft.months |= {_joined(t): number + 1 for t in _texts(entry)}
    for word, entry in keys["numbers"].items() if "numbers" in keys else ():
        draft.numbers[_joined(word)] = entry.number(low=0)
    for word, entry in keys["choices"].items() if "choices" in keys else ():
        draft.choices[_joined(word)] = entry.whole(low=0)


def _read_whole(keys: dict[str, Entry], draft: _Draft) -> None:
    for name, entry in keys["whole"].items() if "whole" in keys else ():
        if name not in _WHOLE:
            entry.fail(f"need one of {', '.join(_WHOLE)}")
        kind, _, detail = name.partition("-") if name.startswith("weeds-") else (name, "", "")
        phrases = [" ".join(phrase) for phrase, _ in _phrases(entry, draft.sets)]
        if kind in ("leave", "return"):
            draft.alone |= dict.fromkeys(phrases, kind)
        else:
            draft.whole |= dict.fromkeys(phrases, (kind, detail or None))


# -- phrases --------------------------------------------------------------------------------------


def _phrases(entry: Entry, sets: dict[str, list[str]]) -> list[tuple[tuple[str, ...], Entry]]:
    found = []
    for place in entry.list():
        text = place.text()
        for name in _SET.findall(text):
            if name not in sets:
                place.fail(f"no set {name!r} above; known: {', '.join(sets) or 'none'}")
        for choice in itertools.product(*(sets[name] for name in _SET.findall(text))):
            filled = iter(choice)
            words = _words_of(_SET.sub(lambda _, filled=filled: next(filled), text))  # type: ignore[misc]
            if words:
                found.append((words, place))
    return found


def _texts(entry: Entry) -> list[str]:
    return [place.text() for place in entry.list()]


def _words_of(text: str) -> tuple[str, ...]:
    plain = unicodedata.normalize("NFC", unicodedata.normalize("NFKC", text).casefold())
    return tuple(_WORD.findall(plain.replace("'", "").replace("\u200c", "").replace("\u200d", "")))


def _joined(text: str) -> str:
    return " ".join(_words_of(text))
