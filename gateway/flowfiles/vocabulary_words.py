"""Reads one file of words into a Draft; a mistake is a FlowError with its place and cure."""

import itertools
import re
from typing import get_args

from gateway.flowfiles.phrasegraph import Part, Pattern, Phrase
from gateway.flowfiles.reader import Entry
from gateway.flowfiles.spelling import Spelling
from gateway.flowfiles.vocabulary_draft import Draft
from gateway.messages.heard import Kind
from gateway.messages.vocabulary import ROLES, Term

_KINDS = get_args(Kind)
_LENGTHS = ("cm", "mm", "m", "inch", "ft")
_KEYS = (
    *("language", "also", "sets", "skip", "words", "days", "weekdays", "months", "ordinal_ends"),
    *("short", "beginnings", "endings", "idle", "pests"),
    *("units", "quantities", "minus", "plus", "numbers", "choices", "meanings", "weeds"),
    *("whole", "join", "language_words", "languages", "question_openers"),
    *("without", "accents", "letters", "digit_letters", "half_before", "half_after", "acts"),
    *("clock_before", "planting", "labels", "future_endings", "ground"),
    *("water", "plots", "titles", "month_days", "beside_leaving"),
)
_WORDS = (
    *("ordinal_ends", "join", "language_words", "question_openers"),
    *("half_before", "half_after", "clock_before", "planting", "labels", "ground"),
    *("water", "plots", "titles", "month_days", "beside_leaving"),
)
_DETAILED = ("weeds-few", "weeds-many", "help-tube")
_WHOLE = (*_KINDS, *_DETAILED)
_SET = re.compile(r"<([a-z]+)>")


class WordFile:
    """One file of words, read with the spelling that all texts are compared in."""

    def __init__(self, top: Entry, spelling: Spelling) -> None:
        self.keys = top.keys(*_KEYS)
        self.spelling = spelling
        sets = self.keys["sets"].items() if "sets" in self.keys else ()
        self.sets = {name: tuple(spelling.words(t) for t in _texts(entry)) for name, entry in sets}
        self.draft = Draft()

    def read(self) -> Draft:
        """All that the file says."""
        draft, keys = self.draft, self.keys
        draft.also = self._list("also")
        draft.without = tuple(self._joined("without"))
        draft.skip.update(self._joined("skip"))
        letters = keys["letters"].items() if "letters" in keys else ()
        draft.letters = {self.spelling.joined(name): entry.text() for name, entry in letters}
        sounds = keys["digit_letters"].items() if "digit_letters" in keys else ()
        draft.digit_letters = {digit: tuple(_texts(entry)) for digit, entry in sounds}
        needed = "accents" not in keys or keys["accents"].choice("needed", "optional") == "needed"
        draft.accents = needed
        self._read_terms()
        self._read_maps()
        self._read_numbers()
        self._read_whole()
        self._read_short()
        return draft

    def _joined(self, key: str) -> list[str]:
        return [self.spelling.joined(t) for t in _texts(self.keys[key])] if key in self.keys else []

    # -- phrases that play a role -----------------------------------------------------------------

    def _read_terms(self) -> None:
        groups = dict(self._items("words"))
        for role in sorted(groups, key=lambda r: ROLES.index(r) if r in ROLES else len(ROLES)):
            if role not in ROLES:
                groups[role].fail(f"need one of {', '.join(ROLES)}")
            self._add(groups[role], Term(role))
        for value, entry in self._items("days"):
            self._add(entry, Term("day", value))
        for number, entry in enumerate(self._list("weekdays")):
            self._add(entry, Term("weekday", number))
        for kind, entry in self._items("meanings"):
            if kind not in _KINDS:
                entry.fail(f"need one of {', '.join(_KINDS)}")
            self._add(entry, Term("event", kind))
        for kind, entry in self._items("acts"):
            if kind not in _KINDS:
                entry.fail(f"need one of {', '.join(_KINDS)}")
            self._add(entry, Term("action", kind))
        for detail, entry in self._items("weeds"):
            if detail not in ("few", "many"):
                entry.fail("need few or many")
            self._add(entry, Term("event", "weeds", detail))

    def _add(self, entry: Entry, term: Term) -> None:
        plain: dict[Phrase, Entry] = {}  # phrases without sets are grown as one: far fewer ways
        for place in entry.list():
            parts = self._parts(place)
            if all(len(part) == 1 for part in parts):
                plain.setdefault(tuple(itertools.chain(*(part[0] for part in parts))), place)
            elif parts:
                self.draft.patterns.append(Pattern(parts, term, {(): place}))
        plain.pop((), None)
        if plain:
            self.draft.patterns.append(Pattern((tuple(plain),), term, plain))

    def _parts(self, place: Entry) -> tuple[Part, ...]:
        parts = (self._part(word, place) for word in place.text().split())
        return tuple(part for part in parts if part != ((),))

    def _phrases(self, entry: Entry) -> list[Phrase]:
        """Every phrase of a list, written out."""
        found = []
        for place in entry.list():
            for choice in itertools.product(*self._parts(place)):
                if words := tuple(itertools.chain(*choice)):
                    found.append(words)
        return found

    def _part(self, word: str, place: Entry) -> Part:
        """A word as it stands, or all that a set of that name holds."""
        name = _SET.fullmatch(word)
        if name is None:
            return (self.spelling.words(word),)
        if name.group(1) not in self.sets:
            known = ", ".join(self.sets) or "none"
            place.fail(f"no set {name.group(1)!r} above; known: {known}")
        return self.sets[name.group(1)]

    # -- tables of words --------------------------------------------------------------------------

    def _read_maps(self) -> None:
        maps = self.draft.maps
        for name in ("units", "quantities", "languages"):
            for value, entry in self._items(name):
                if name == "units" and value not in _LENGTHS:
                    entry.fail(f"need one of {', '.join(_LENGTHS)}")
                words = map(self.spelling.joined, _texts(entry))
                maps.setdefault(name, {}).update(dict.fromkeys(words, value))
        for name in _WORDS:
            maps.setdefault(name, {}).update(dict.fromkeys(self._joined(name), name))

    def _read_numbers(self) -> None:
        draft, joined = self.draft, self.spelling.joined
        draft.signs |= dict.fromkeys(self._joined("minus"), -1)
        draft.signs |= dict.fromkeys(self._joined("plus"), 1)
        for number, entry in enumerate(self._list("months"), start=1):
            draft.months |= {joined(t): number for t in _texts(entry)}
        draft.numbers |= {joined(w): e.number(low=0) for w, e in self._items("numbers")}
        draft.choices |= {joined(w): e.whole(low=0) for w, e in self._items("choices")}

    def _read_whole(self) -> None:
        for name, entry in self._items("whole"):
            if name not in _WHOLE:
                entry.fail(f"need one of {', '.join(_WHOLE)}")
            kind, _, detail = name.partition("-") if name in _DETAILED else (name, "", "")
            phrases = [" ".join(phrase) for phrase in self._phrases(entry)]
            if kind in ("leave", "return"):
                self.draft.alone |= dict.fromkeys(phrases, kind)
            else:
                self.draft.whole |= dict.fromkeys(phrases, (kind, detail or None))

    def _read_short(self) -> None:
        """Short forms by what they stand for, endings, and words that say nothing beside leave."""
        for full, entry in self._items("short"):
            for place in entry.list():
                form, written = place.text().casefold(), self.spelling.joined(full)
                if self.draft.short.setdefault(form, written) != written:
                    place.fail(f"{form!r} stands for {self.draft.short[form]!r} too, keep one")
        self.draft.beginnings = tuple(self._joined("beginnings"))
        self.draft.endings = tuple(self._joined("endings"))
        self.draft.future_endings = tuple(self._joined("future_endings"))
        self.draft.idle.update(self._joined("idle"))
        self.draft.pests.update(self._joined("pests"))

    def _items(self, key: str) -> list[tuple[str, Entry]]:
        return list(self.keys[key].items()) if key in self.keys else []

    def _list(self, key: str) -> list[Entry]:
        return self.keys[key].list() if key in self.keys else []


def _texts(entry: Entry) -> list[str]:
    return [place.text() for place in entry.list()]
