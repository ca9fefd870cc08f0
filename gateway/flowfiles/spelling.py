"""How words of the growers' files are spelled when a text is compared with them."""

import re
import unicodedata
from collections.abc import Iterable, Mapping

from gateway.messages.spellings import bare

_WORD = re.compile(r"[^\s\-/'.,;:?!]+")


class Spelling:
    """Words in NFKC and lower case, with the letters of one script that pass for each other
    written as one (``folding``, code points to text)."""

    def __init__(self, folding: Mapping[int, str]) -> None:
        self.folding = folding

    def words(self, text: str) -> tuple[str, ...]:
        """The words of a phrase as a folded text would show them."""
        if text.isascii():
            return tuple(_WORD.findall(text.casefold().replace("'", "")))
        plain = unicodedata.normalize("NFKC", text).translate(self.folding).casefold()
        plain = unicodedata.normalize("NFC", plain)
        plain = plain.replace("'", "").replace("\u200c", "").replace("\u200d", "")
        return tuple(_WORD.findall(plain))

    def joined(self, text: str) -> str:
        """The same with one space between the words."""
        return " ".join(self.words(text))


def bare_spellings(words: Iterable[str]) -> dict[str, str]:
    """Words of Latin letters without their accents, each with the only word it can stand for.

    Where it could stand for two ("co": grass or to have), or is a word itself, it is left out, so
    that nothing is guessed.
    """
    found: dict[str, set[str]] = {}
    for word in words:
        found.setdefault(bare(word), set()).add(word)
    alone = {plain: own.pop() for plain, own in found.items() if len(own) == 1 and plain.isascii()}
    return {plain: word for plain, word in alone.items() if plain != word}
