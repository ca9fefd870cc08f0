"""The words of one file, or of several laid over one another, on their way to a Vocabulary."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from gateway.flowfiles.phrasegraph import Pattern
from gateway.flowfiles.reader import Entry


@dataclass(slots=True)
class Draft:
    """Words by what they mean. ``accents``: whether they must be written with their accents;
    ``also``: the languages beside it; ``without``: words of theirs that mean other things."""

    accents: bool = True
    without: tuple[str, ...] = ()
    also: list[Entry] = field(default_factory=list)
    patterns: list[Pattern] = field(default_factory=list)
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
    beginnings: tuple[str, ...] = ()
    endings: tuple[str, ...] = ()
    future_endings: tuple[str, ...] = ()
    idle: set[str] = field(default_factory=set)
    pests: set[str] = field(default_factory=set)

    def tables(self) -> list[dict[str, Any]]:
        """All tables of words but the phrases."""
        found: list[dict[str, Any]] = [*self.maps.values(), self.months, self.signs, self.numbers]
        return [*found, self.choices, self.whole, self.alone]

    def words(self) -> set[str]:
        """Every word of the phrases."""
        return {word for pattern in self.patterns for word in pattern.words()}

    def unsaid(self) -> list[Pattern]:
        """The words of the languages beside it that this one does not have, as a layer."""
        gone = tuple(tuple(word.split()) for word in self.without)
        return [Pattern((gone,), None)] if gone else []

    def lay(self, other: "Draft") -> None:
        """Lay the words of ``other`` over these; where both know a word, the other's stands.

        All phrases are kept: which of two alike stands is seen where they are grown.
        """
        self.accents = other.accents
        self.patterns = [*self.patterns, *other.patterns]
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

    def forget_places(self) -> None:
        """Keep only the phrases: where they stand in their file takes more room than they do."""
        self.patterns = [Pattern(each.parts, each.term) for each in self.patterns]

    def forget(self, words: Iterable[str]) -> None:
        """Take words out, wherever they stand alone."""
        gone = {tuple(word.split()) for word in words}
        self.patterns = [kept for each in self.patterns if (kept := each.but(gone))]
        self.idle.difference_update(words)
        for word in words:
            for table in self.tables():
                table.pop(word, None)
            self.skip.discard(word)
            self.short.pop(word, None)
