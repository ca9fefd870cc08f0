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
    first = vocabulary.phrases.get(words[at]) if at < len(words) and words[at] else None
    if first is None or at in codes:
        return None, at
    text = _Passable(tokens, words, vocabulary.skip, codes)
    found, end = _longest(first, text, at + 1, 0)
    if found is None:
        found, end = first.get(""), at + 1
    if words[at] in vocabulary.skip:
        behind = _longest(vocabulary.phrases, text, at + 1, 1)
        if behind[0] is not None and (found is None or behind[1] > end):
            return None, at  # the article is passed over, and the phrase begins behind it
    return (found, end) if found is not None else (None, at)


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
