"""Reads flows/vocabulary/scripts.yaml: what holds for the words of every language."""

import re
import unicodedata
from dataclasses import dataclass, field

from gateway.flowfiles.phrasegraph import Pattern
from gateway.flowfiles.reader import Entry
from gateway.flowfiles.spelling import Spelling
from gateway.messages.vocabulary import Term

SCRIPTS = "scripts.yaml"


@dataclass(slots=True)
class Common:
    """Digits, signs, letters that pass for each other, and words of every script."""

    folding: dict[int, str] = field(default_factory=dict)
    lookalikes: dict[int, str] = field(default_factory=dict)
    terms: list[tuple[tuple[str, ...], Term]] = field(default_factory=list)
    unspaced: re.Pattern[str] | None = None
    deepest_cm: float = 0.0
    highest_cm: float = 0.0

    @property
    def spelling(self) -> Spelling:
        """How every word is spelled when it is compared."""
        return Spelling(self.folding)

    def patterns(self) -> list[Pattern]:
        """The words of every script; of one that stands twice, the last."""
        return [Pattern(((phrase,),), term) for phrase, term in dict(self.terms).items()]


def read_common(top: Entry) -> Common:
    """What the file says. A mistake is a FlowError with its cure."""
    keys = top.keys("reach", "minus", "plus", "lookalikes", "scripts")
    common = Common()
    reach = top.need("reach").keys("deepest_cm", "highest_cm")
    common.deepest_cm = reach["deepest_cm"].number(high=0, unit="cm")
    common.highest_cm = reach["highest_cm"].number(low=0, unit="cm")
    for name, sign in (("minus", "-"), ("plus", "+")):
        common.folding |= {ord(e.text()): sign for e in keys[name].list()}
    common.lookalikes = _letters(keys["lookalikes"]) if "lookalikes" in keys else {}
    scripts = [script for _, script in top.need("scripts").items()]
    for script in scripts:
        _read_letters(script, common)
    unspaced = [word for script in scripts for word in _read_words(script, common)]
    if unspaced:
        longest_first = sorted(unspaced, key=len, reverse=True)
        common.unspaced = re.compile("|".join(map(re.escape, longest_first)))
    return common


def _letters(entry: Entry) -> dict[int, str]:
    found = {}
    for letter, other in entry.items():
        if len(letter) != 1:
            other.fail(f"need one letter before the colon, got {letter!r}")
        found[ord(letter)] = other.text()
    return found


def _read_letters(script: Entry, common: Common) -> None:
    keys = script.keys("digits", "spaces", "alike", "below", "above", "surface", "dry")
    digits = script.need("digits").text()
    if len(digits) != 10 or [unicodedata.digit(d, -1) for d in digits] != list(range(10)):
        keys["digits"].fail("need the ten digits from zero to nine, in their order")
    common.folding |= {ord(digit): str(value) for value, digit in enumerate(digits)}
    common.folding |= _letters(keys["alike"]) if "alike" in keys else {}


def _read_words(script: Entry, common: Common) -> list[str]:
    """Take the script's words; give those that stand in a text without spaces."""
    words: list[str] = []
    for role in ("below", "above", "surface", "dry"):
        for entry in script.need(role).list():
            phrase = common.spelling.words(entry.text())
            common.terms.append((phrase, Term(role)))
            words += phrase
    spaces = script.get("spaces")
    return [] if spaces is None or spaces.flag() else words
