"""The short way for readings that are written plainly: most texts, in a fraction of the time.

It takes only what the long way would take in the same way; everything else is left to it.
"""

import re
from typing import Final

from gateway.messages.heard import Heard, Reading, Sender
from gateway.messages.vocabulary import Vocabulary

_SIGNED: Final = re.compile(r"[-+][0-9]{1,2}(?:\.[0-9])?", re.ASCII)
_NUMBER: Final = re.compile(r"[0-9]{1,2}(?:\.[0-9])?", re.ASCII)
_SIDES: Final = {"below": -1, "above": 1}
_WHY: Final = "plainly a plot and its level"


def plain_reading(text: str, sender: Sender, vocabulary: Vocabulary) -> Heard | None:
    """The reading of a text such as ``H07 -12``, ``H07 12 below``, ``H07 dry`` or ``-12``.

    None where the text is not as plain as that, where a question is open, or where the phone has a
    habit of its own.
    """
    words = text.strip().split(" ", 3)
    if len(words) > 3 or sender.pending is not None or sender.reads:
        return None
    code = words[0] if len(words) > 1 else _only_plot(sender)
    if code not in sender.plots:
        code = (code or "").upper()
        if code not in sender.plots:
            return None
    if len(words) == 3:
        return _sided(code, words[1], words[2], vocabulary)
    return _alone(code, words[-1], vocabulary)


def _only_plot(sender: Sender) -> str | None:
    return sender.plots[0] if len(sender.plots) == 1 else None


def _alone(code: str, word: str, vocabulary: Vocabulary) -> Heard | None:
    if word == "0" or _SIGNED.fullmatch(word):
        return _read(code, float(word) + 0.0, vocabulary)
    if _role(word, vocabulary) == "dry":
        return Heard("accept", (Reading(code, None, dry=True),), why=_WHY)
    return None


def _sided(code: str, first: str, second: str, vocabulary: Vocabulary) -> Heard | None:
    number, word = (first, second) if _NUMBER.fullmatch(first) else (second, first)
    side = _SIDES.get(_role(word, vocabulary) or "")
    if side is None or not _NUMBER.fullmatch(number):
        return None
    return _read(code, side * float(number) + 0.0, vocabulary)


def _read(code: str, level_cm: float, vocabulary: Vocabulary) -> Heard | None:
    if not vocabulary.deepest_cm <= level_cm <= vocabulary.highest_cm:
        return None
    return Heard("accept", (Reading(code, level_cm),), why=_WHY)


def _role(word: str, vocabulary: Vocabulary) -> str | None:
    term = vocabulary.phrases.get(word.lower(), {}).get("")
    return term.role if term else None
