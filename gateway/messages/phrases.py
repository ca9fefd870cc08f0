"""Known phrases in a run of words."""

from collections.abc import Mapping
from typing import Any

from gateway.messages.tokens import Token
from gateway.messages.vocabulary import Term, Vocabulary

_JOINS = (":", "=")
_MOST_PASSED = 3


def phrase_at(
    tokens: list[Token], words: list[str], at: int, vocabulary: Vocabulary
) -> tuple[Term | None, int]:
    """The longest known phrase that begins at token ``at``, and the token after it.

    A few words such as articles, and marks that join words, may stand inside the phrase.
    """
    if at < len(words) and words[at] in vocabulary.phrases:
        found, end = _longest(vocabulary.phrases, tokens, words, at, 0, vocabulary.skip)
        if found is not None:
            return found, end
    return None, at


def _longest(
    node: Mapping[str, Any],
    tokens: list[Token],
    words: list[str],
    at: int,
    passed: int,
    skip: frozenset[str],
) -> tuple[Term | None, int]:
    found: Term | None = None
    end = at
    if at >= len(words):
        return found, end
    word = words[at]
    if word and word in node:
        found, end = node[word].get(""), at + 1
        further = _longest(node[word], tokens, words, at + 1, passed, skip)
        found, end = further if further[0] is not None else (found, end)
    if passed < _MOST_PASSED and (word in skip or _joins(tokens, at)):
        around = _longest(node, tokens, words, at + 1, passed + 1, skip)
        if around[0] is not None and (found is None or around[1] > end):
            found, end = around
    return found, end


def _joins(tokens: list[Token], at: int) -> bool:
    token = tokens[at]
    follows = at + 1 < len(tokens) and tokens[at + 1].glued
    return token.text in _JOINS or (token.text == "-" and token.glued and follows)
