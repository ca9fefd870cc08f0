"""Grows the phrases of a language into one graph of words, without writing each of them out.

A phrase of a file may offer many words in each of its places, and with them stands for thousands of
phrases. What may still follow is the same after each of those words, so it is grown once.
"""

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from gateway.flowfiles.reader import Entry
from gateway.messages.vocabulary import ROLES, WEAK, Term

Phrase = tuple[str, ...]
Part = tuple[Phrase, ...]
Meaning = Term | tuple[int, object] | None
Item = tuple[Phrase, int, bool]
Node = dict[str, Any]

TABLES: Final = -1
"""The layer of words that mean something elsewhere: they end no phrase, but leave none sure."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """Phrases that mean the same: one of the runs of words of each part, part after part.

    Without a ``term`` they mean nothing, whatever they meant in the layers below.
    """

    parts: tuple[Part, ...]
    term: Term | None
    places: Mapping[Phrase, Entry] = field(default_factory=dict)
    """Where each phrase stands, or under () where all of them do."""

    def place_of(self, phrase: Phrase) -> Entry | None:
        """Where a phrase of these stands in its file, if it came from one."""
        return self.places.get(phrase) or self.places.get(())

    def words(self) -> set[str]:
        """Every word of every phrase."""
        return {word for part in self.parts for run in part for word in run}

    def but(self, phrases: Container[Phrase]) -> "Pattern | None":
        """These phrases without some of one part; None where nothing is left."""
        if len(self.parts) != 1 or not any(run in phrases for run in self.parts[0]):
            return self
        runs = tuple(run for run in self.parts[0] if run not in phrases)
        return replace(self, parts=(runs,)) if runs else None

    def single(self) -> Iterator[Phrase]:
        """The phrases, where there is one part; else the words of all, as if of one phrase."""
        if len(self.parts) == 1:
            yield from self.parts[0]
        else:
            yield tuple(self.words())

    def says(self, phrase: Phrase, at: int = 0) -> bool:
        """Whether the phrase is one of these."""
        if at == len(self.parts):
            return not phrase
        runs = (run for run in self.parts[at] if phrase[: len(run)] == run)
        return any(self.says(phrase[len(run) :], at + 1) for run in runs)


@dataclass
class TwoMeanings(Exception):
    """A phrase to which one layer gives two meanings."""

    phrase: Phrase
    terms: tuple[Term, Term]


class PhraseGraph:
    """A graph of words, grown once. Nobody may change it afterwards.

    ``spellings`` gives words that may also be written otherwise (without accents): a phrase written
    so has its meaning only where all phrases that it can stand for mean the same.
    """

    def __init__(self, spellings: Mapping[str, str]) -> None:
        self.spellings = spellings
        self._parts: dict[Part, int] = {}
        self._openings: list[tuple[dict[str, list[Phrase]], bool]] = []
        self._tails: dict[tuple[Any, ...], int] = {}
        self._following: list[tuple[int, int] | None] = []
        self._endings: list[tuple[int, Meaning]] = []
        self._nodes: dict[frozenset[Item], Node] = {}
        self._pruned: set[int] = set()
        self._meant: dict[int, frozenset[Meaning]] = {}

    def grow(
        self, layers: Sequence[Iterable[Pattern]], tables: Iterable[tuple[Phrase, Meaning]] = ()
    ) -> Node:
        """The first words of all phrases; "" leads to the Term of a phrase that ends there.

        Of one phrase in several ``layers`` the last stands. ``tables``: words with other meanings.
        Raises TwoMeanings.
        """
        start: set[Item] = set()
        for layer, patterns in enumerate(layers):
            for pattern in patterns:
                start.add(((), self._tail(pattern.parts, layer, pattern.term), False))
        for phrase, meaning in tables:
            start.add((phrase, self._tail((), TABLES, meaning), True))
        return self._node(frozenset(start), ())

    def meanings(self, root: Node, phrase: Phrase) -> frozenset[Meaning]:
        """All that a phrase can mean, those of the tables included."""
        node: Node | None = root
        for word in phrase:
            node = None if node is None else node.get(word)
        return frozenset() if node is None else self._meant.get(id(node), frozenset())

    def prune(self, node: Node) -> Node:
        """Take out ways that no phrase ends behind; from then on ``meanings`` knows them not."""
        if id(node) not in self._pruned:
            self._pruned.add(id(node))
            for word, following in list(node.items()):
                if word and not self.prune(following):
                    del node[word]
        return node

    # -- what may follow --------------------------------------------------------------------------

    def _tail(self, parts: Sequence[Part], layer: int, meaning: Meaning) -> int:
        tail = self._known_tail(("end", layer, meaning), None, (layer, meaning))
        for part in reversed(parts):
            number = self._part(part)
            tail = self._known_tail((number, tail), (number, tail), (layer, meaning))
        return tail

    def _known_tail(
        self, key: tuple[Any, ...], following: tuple[int, int] | None, ending: tuple[int, Meaning]
    ) -> int:
        if key not in self._tails:
            self._tails[key] = len(self._following)
            self._following.append(following)
            self._endings.append(ending)
        return self._tails[key]

    def _part(self, part: Part) -> int:
        if part not in self._parts:
            self._parts[part] = len(self._openings)
            first: dict[str, list[Phrase]] = {}
            for run in dict.fromkeys(run for run in part if run):
                first.setdefault(run[0], []).append(run[1:])
            self._openings.append((first, () in part))
        return self._parts[part]

    # -- nodes ------------------------------------------------------------------------------------

    def _node(self, state: frozenset[Item], path: Phrase) -> Node:
        node = self._nodes.get(state)
        if node is None:
            ends: set[tuple[int, Meaning, bool]] = set()
            edges: dict[str, set[Item]] = {}
            for pending, tail, other in state:
                if pending:
                    self._step(edges, pending[0], (pending[1:], tail, other))
                else:
                    self._open(edges, ends, tail, other)
            node = {word: self._node(frozenset(to), (*path, word)) for word, to in edges.items()}
            self._end(node, ends, path)
            self._nodes[state] = node
        return node

    def _open(
        self,
        edges: dict[str, set[Item]],
        ends: set[tuple[int, Meaning, bool]],
        tail: int,
        other: bool,
    ) -> None:
        following = self._following[tail]
        if following is None:
            ends.add((*self._endings[tail], other))
            return
        part, further = following
        first, may_lack = self._openings[part]
        for word, rests in first.items():
            for rest in rests:
                self._step(edges, word, (rest, further, other))
        if may_lack:
            self._open(edges, ends, further, other)

    def _step(self, edges: dict[str, set[Item]], word: str, item: Item) -> None:
        edges.setdefault(word, set()).add(item)
        spelled = self.spellings.get(word)
        if spelled is not None:
            edges.setdefault(spelled, set()).add((item[0], item[1], True))

    def _end(self, node: Node, ends: set[tuple[int, Meaning, bool]], path: Phrase) -> None:
        if not ends:
            return
        exact = [(layer, meaning) for layer, meaning, other in ends if not other]
        top = max((layer for layer, _ in exact), default=TABLES)
        term = _chosen([meaning for layer, meaning in exact if layer == top], path)
        others = {meaning for _, meaning, other in ends if other} - {None}
        if term is None and len(others) == 1:
            term = next((each for each in others if isinstance(each, Term)), None)
        if term is not None:
            node[""] = term
        self._meant[id(node)] = frozenset(others if term is None else others | {term})


def _chosen(meanings: Sequence[Meaning], path: Phrase) -> Term | None:
    """The one meaning of a phrase within its layer: a weak one gives way. Raises TwoMeanings."""
    terms = [meaning for meaning in meanings if isinstance(meaning, Term)]
    strong = [term for term in terms if term.role not in WEAK]
    if len(strong) > 1:
        raise TwoMeanings(path, (strong[0], strong[1]))
    return strong[0] if strong else max(terms, key=_strength, default=None)


def _strength(term: Term) -> tuple[int, str]:
    return ROLES.index(term.role), str(term.value or "")


def words_of(root: Node) -> set[str]:
    """Every word on any way."""
    seen, ahead, words = {id(root)}, [root], set[str]()
    while ahead:
        for word, node in ahead.pop().items():
            if word and id(node) not in seen:
                seen.add(id(node))
                ahead.append(node)
            words.add(word)
    return words - {""}
