"""Spellings of one word: without its accents, a letter by its name, a letter that looks alike."""

import re
import unicodedata

from gateway.messages.tokens import Token
from gateway.messages.vocabulary import Vocabulary

_ACCENTS = re.compile("[\u0300-\u036f]")
_WITHOUT = str.maketrans("đ", "d")
_LATIN = re.compile("[a-z]")


def bare(word: str) -> str:
    """A word of Latin letters without accents and tone marks ("dưới": "duoi")."""
    return _ACCENTS.sub("", unicodedata.normalize("NFD", word)).translate(_WITHOUT)


def spelled(tokens: list[Token], vocabulary: Vocabulary) -> list[Token]:
    """The tokens with each strange word in the one spelling that is known, where there is one.

    A letter's name before a number is that letter ("এইচ ০৭": h 07). A letter of another script
    that looks like a Latin one is that one, within a Latin word or before a number only.
    """
    return [
        token if token.shape != "word" else _spelled(tokens, at, vocabulary)
        for at, token in enumerate(tokens)
    ]


def _spelled(tokens: list[Token], at: int, vocabulary: Vocabulary) -> Token:
    word = tokens[at].text
    known = _known(tokens, at, vocabulary)
    return tokens[at] if known == word else Token("word", known, tokens[at].glued)


def _known(tokens: list[Token], at: int, vocabulary: Vocabulary) -> str:
    word = tokens[at].text
    follows = tokens[at + 1] if at + 1 < len(tokens) else None
    numbered = follows is not None and follows.shape == "number"
    letter = vocabulary.letters.get(word)
    if letter and follows and numbered and (follows.glued or word not in vocabulary.known):
        return letter
    if word in vocabulary.known:
        return word
    latin = word.translate(vocabulary.lookalikes)
    if latin != word and latin.isascii() and (_LATIN.search(word) or (numbered and len(word) < 4)):
        return latin
    if not vocabulary.bare or (numbered and follows and follows.glued):
        return word
    return vocabulary.bare.get(bare(word), word)
