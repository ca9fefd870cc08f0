"""A folded text as tokens: words, numbers and marks, each knowing what it is glued to."""

import re
from dataclasses import dataclass
from typing import Literal

# Vowel signs and tone marks of the scripts of rice countries belong to their word.
_MARK = "\u0300-\u036f\u0610-\u061a\u064b-\u065f\u0670\u0900-\u0963\u0971-\u09e5\u09f0-\u0a65"
_MARK += "\u0a70-\u0ae5\u0af0-\u0b65\u0b70-\u0be5\u0bf0-\u0c65\u0c70-\u0ce5\u0cf0-\u0d65"
_MARK += "\u0d70-\u0de5\u0df0-\u0e4f\u0e5a-\u0ecf\u0eda-\u0eff\u1000-\u103f\u1050-\u109f"
_MARK += "\u1780-\u17df\u17ea-\u17ff"
_WORD = rf"(?:[^\W\d_]|[{_MARK}])+"
_TOKEN = re.compile(
    rf"(?P<number>[0-9]+(?:[.,][0-9]+)*)|(?P<word>{_WORD})|(?P<mark>\n|''|[^\s])|(?P<space>[^\S\n]+)"
)

Shape = Literal["number", "word", "mark"]


@dataclass(frozen=True, slots=True)
class Token:
    """A word, a number as written, or one mark; ``glued``: no space stands before it."""

    shape: Shape
    text: str
    glued: bool


def tokenise(folded: str) -> list[Token]:
    """The tokens of a folded text, in one pass."""
    found: list[Token] = []
    glued = False
    for match in _TOKEN.finditer(folded):
        shape = match.lastgroup
        if shape == "space":
            glued = False
            continue
        text = match.group()
        found.append(Token(shape, text, glued))  # type: ignore[arg-type]
        glued = text != "\n"
    return found
