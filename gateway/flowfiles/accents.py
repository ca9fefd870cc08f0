"""Words as a text without accents shows them, and phrases that are written so and sure."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Set
from typing import Any

from gateway.flowfiles.phrasegraph import Node, Phrase, PhraseGraph
from gateway.flowfiles.spelling import bare_spellings
from gateway.flowfiles.vocabulary_draft import Draft
from gateway.messages.spellings import bare


class Accents:
    """How the words of a draft may be written; a language that needs its accents has one way only.

    ``bare`` are the single words that are mended first, each with its spelling.
    """

    def __init__(self, draft: Draft) -> None:
        self._draft = draft
        tables = () if draft.accents else draft.tables()
        spoken = set() if draft.accents else draft.words() | draft.skip
        spoken |= {word for table in tables for phrase in table for word in phrase.split()}
        self.bare = bare_spellings(spoken)
        plain = {word: bare(word) for word in spoken if word.isalpha()}
        forms = {word: self.bare.get(form, form) for word, form in plain.items()}
        self.spellings = {word: form for word, form in forms.items() if form != word}

    def form(self, phrase: Iterable[str]) -> Phrase:
        """A phrase as it stands in a text without accents, once single words are mended."""
        return tuple(self.spellings.get(word, word) for word in phrase)

    def also(self, words: Set[str]) -> set[str]:
        """Words, and with them their forms."""
        return {*words, *self.form(words)}

    def ways(self, phrase: Phrase) -> set[Phrase]:
        """The ways to write a phrase: as it stands, and without accents."""
        return {phrase, self.form(phrase)}

    def tables(self) -> Iterator[tuple[Phrase, tuple[int, Any]]]:
        """Each entry of the tables in that form, and what it means there."""
        for number, table in enumerate(self._draft.tables() if self.spellings else ()):
            for words, value in table.items():
                yield self.form(words.split()), (number, value)

    def spell_tables(self, graph: PhraseGraph, root: Node) -> None:
        """Let each entry of the tables be written in that form where it can mean nothing else."""
        found: dict[Phrase, set[tuple[int, Any]]] = defaultdict(set)
        for form, meaning in self.tables():
            found[form].add(meaning)
        tables = self._draft.tables()
        for form, meant in found.items():
            if len(meant) == 1 and graph.meanings(root, form) <= meant:
                ((number, value),) = meant
                tables[number].setdefault(" ".join(form), value)
