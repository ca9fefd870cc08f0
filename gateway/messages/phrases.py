"""Known phrases in a run of words."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gateway.messages.tokens import Token
from gateway.messages.vocabulary import Term, Vocabulary

_JOINS = (":", "=")
_MOST_PASSED = 3


def phrase_at(
    tokens: list[Token],
    words: list[str],
    at: int,
    vocabulary: Vocabulary,
    codes: frozenset[int] = frozenset(),
) -> tuple[Term | None, int]:
    """The longest known phrase that begins at token ``at``, and the token after it.

    A few words such as articles, marks that join words, and the sender's own codes (``codes`` are
    the places of their tokens) may stand inside the phrase: "no water in B07 tube".
    """
    if at < len(words) and words[at] in vocabulary.phrases:
        passable = _Passable(tokens, words, vocabulary.skip, codes)
        found, end = _longest(vocabulary.phrases, passable, at, 0)
        if found is not None:
            return found, end
    return None, at


@dataclass(frozen=True, slots=True)
class _Passable:
    """The tokens of a text, and which of them a phrase may pass over."""

    tokens: list[Token]
    words: list[str]
    skip: frozenset[str]
    codes: frozenset[int]

    def passes(self, at: int) -> bool:
        token = self.tokens[at]
        follows = at + 1 < len(self.tokens) and self.tokens[at + 1].glued
        joins = token.text in _JOINS or (token.text == "-" and token.glued and follows)
        return joins or self.words[at] in self.skip or at in self.codes


def _longest(
    node: Mapping[str, Any], text: _Passable, at: int, passed: int
) -> tuple[Term | None, int]:
    found: Term | None = None
    end = at
    if at >= len(text.words):
        return found, end
    word = text.words[at]
    if word and word in node and at not in text.codes:
        found, end = node[word].get(""), at + 1
        further = _longest(node[word], text, at + 1, passed)
        found, end = further if further[0] is not None else (found, end)
    if passed < _MOST_PASSED and text.passes(at):
        around = _longest(node, text, at + 1, passed + 1)
        if around[0] is not None and (found is None or around[1] > end):
            found, end = around
    return found, end
