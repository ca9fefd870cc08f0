"""The words of one file, or of several laid over one another, on their way to a Vocabulary."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from gateway.flowfiles.spelling import bare_spellings, without_accents
from gateway.messages.vocabulary import Term

Phrase = tuple[str, ...]


@dataclass(slots=True)
class Draft:
    """Words by what they mean. ``accents``: whether they must be written with their accents;
    ``without``: words of the languages beside it that mean something else in this one."""

    accents: bool = True
    without: tuple[str, ...] = ()
    terms: dict[Phrase, Term] = field(default_factory=dict)
    skip: set[str] = field(default_factory=set)
    letters: dict[str, str] = field(default_factory=dict)
    digit_letters: dict[str, tuple[str, ...]] = field(default_factory=dict)
    maps: dict[str, dict[str, str]] = field(default_factory=dict)
    months: dict[str, int] = field(default_factory=dict)
    signs: dict[str, int] = field(default_factory=dict)
    numbers: dict[str, float] = field(default_factory=dict)
    choices: dict[str, int] = field(default_factory=dict)
    whole: dict[str, tuple[str, str | None]] = field(default_factory=dict)
    alone: dict[str, str] = field(default_factory=dict)
    short: dict[str, str] = field(default_factory=dict)
    endings: tuple[str, ...] = ()
    idle: set[str] = field(default_factory=set)
    pests: set[str] = field(default_factory=set)

    def tables(self) -> list[dict[str, Any]]:
        """All tables of words but the phrases."""
        found: list[dict[str, Any]] = [*self.maps.values(), self.months, self.signs, self.numbers]
        return [*found, self.choices, self.whole, self.alone]

    def lay(self, other: "Draft") -> None:
        """Lay the words of ``other`` over these; where both know a word, the other's stands."""
        self.accents = other.accents
        self.terms |= other.terms
        self.skip |= other.skip
        self.letters |= other.letters
        self.digit_letters |= other.digit_letters
        for name, table in other.maps.items():
            self.maps.setdefault(name, {}).update(table)
        self.months |= other.months
        self.signs |= other.signs
        self.numbers |= other.numbers
        self.choices |= other.choices
        self.whole |= other.whole
        self.alone |= other.alone
        self.short |= other.short
        self.idle |= other.idle
        self.pests |= other.pests

    def forget(self, words: Iterable[str]) -> None:
        """Take words out, wherever they stand alone."""
        self.idle.difference_update(words)
        for word in words:
            for table in self.tables():
                table.pop(word, None)
            self.skip.discard(word)
            self.short.pop(word, None)
            self.terms.pop(tuple(word.split()), None)


def spell_bare(draft: Draft) -> dict[str, str]:
    """Let each phrase be written without accents, where it can then mean one thing only.

    Gives the single words that are mended first, each with its spelling.
    """
    if draft.accents:
        return {}
    spoken = {word for phrase in draft.terms for word in phrase} | draft.skip
    spoken |= {word for table in draft.tables() for phrase in table for word in phrase.split()}
    bare = bare_spellings(spoken)
    forms: dict[str, set[object]] = {}
    for number, table in enumerate(draft.tables()):
        for words, value in table.items():
            forms.setdefault(_form(words.split(), bare), set()).add((number, value))
    for phrase, term in draft.terms.items():
        forms.setdefault(_form(phrase, bare), set()).add(term)
    sure = {form for form, meanings in forms.items() if len(meanings) == 1}
    for phrase, term in list(draft.terms.items()):
        if (form := _form(phrase, bare)) in sure:
            draft.terms.setdefault(tuple(form.split()), term)
    for table in draft.tables():
        for words, value in list(table.items()):
            if (form := _form(words.split(), bare)) in sure:
                table.setdefault(form, value)
    return bare


def _form(phrase: Iterable[str], bare: dict[str, str]) -> str:
    return " ".join(without_accents(phrase, bare))
