"""Spellings of a word: without accents, a letter by name or digit, one that only looks alike."""

import re
import unicodedata

from gateway.messages.codes import Codes
from gateway.messages.tokens import Token
from gateway.messages.vocabulary import Vocabulary

_ACCENTS = re.compile("[\u0300-\u036f]")
_WITHOUT = str.maketrans("đ", "d")
_LATIN = re.compile("[a-z]")
_SHORTEST_SIDE = 4
_SOUNDED = re.compile(r"(?<![^\W_])([a-z]+)([0-9])([a-z]+)(?![^\W_])")


def bare(word: str) -> str:
    """A word of Latin letters without accents and tone marks ("dưới": "duoi")."""
    return _ACCENTS.sub("", unicodedata.normalize("NFD", word)).translate(_WITHOUT)


def sounded(folded: str, vocabulary: Vocabulary, codes: Codes) -> str:
    """The text with a digit that stands for a sound within a known word written out ("a6e": ache).

    What begins as one of the sender's own codes does stays as it is.
    """

    def written_out(found: re.Match[str]) -> str:
        before, digit, after = found.groups()
        sounds = () if codes.named(before + digit) else vocabulary.digit_letters.get(digit, ())
        words = (f"{before}{sound}{after}" for sound in sounds)
        return next((word for word in words if word in vocabulary.known), found.group())

    return _SOUNDED.sub(written_out, folded) if vocabulary.digit_letters else folded


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
    follows = _follows(tokens, at, vocabulary)
    numbered = follows is not None and follows.shape == "number"
    letter = vocabulary.letters.get(word)
    if letter and follows and numbered and (follows.glued or word not in vocabulary.known):
        return letter
    if word in vocabulary.known:
        return word
    latin = word.translate(vocabulary.lookalikes)
    if latin != word and latin.isascii() and (_LATIN.search(word) or (numbered and len(word) < 4)):
        return latin
    full = vocabulary.bare.get(bare(word), word) if vocabulary.bare else word
    glued = bool(numbered and follows and follows.glued)
    return word if glued and not _tells_side(word, full, vocabulary) else full


def _tells_side(word: str, full: str, vocabulary: Vocabulary) -> bool:
    """Whether a word glued to a number says where it stands, and is no plot's code ("duoi16")."""
    told = vocabulary.phrases.get(full, {}).get("")
    return len(word) >= _SHORTEST_SIDE and told is not None and told.role in ("below", "above")


def _follows(tokens: list[Token], at: int, vocabulary: Vocabulary) -> Token | None:
    """The token after the word; a dash between a letter's name and its number is passed over."""
    rest = tokens[at + 1 : at + 3]
    dashed = len(rest) == 2 and rest[0].text == "-" and rest[0].glued and rest[1].glued
    joined = dashed and tokens[at].text not in vocabulary.known
    return rest[1] if joined else rest[0] if rest else None
