"""The dialogue of joining as values: what is asked in which order, and what an answer says. Pure.

Built from flows/joining.yaml.
"""

import re
import unicodedata
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Final, Literal

Asks = Literal["consent", "name", "plot", "language", "reads"]
NEEDED: Final[tuple[Asks, ...]] = ("consent", "name", "plot")
READS: Final = {1: "soil", 2: "rim", 3: ""}
"""How water is measured, by the number of the choice; the last is not sure."""

LONGEST_NAME: Final = 40
LONGEST_CODE: Final = 8
_BETWEEN: Final = re.compile(r"[\s\-./]+")
_NAME_MARKS: Final = frozenset(" '’.-")


@dataclass(frozen=True, slots=True)
class JoinStep:
    """One question: what it asks for, and its message; ``without_price`` where none is known."""

    asks: Asks
    text: str
    without_price: str | None = None


@dataclass(frozen=True, slots=True)
class HolderTexts:
    """What the phones that read a plot already are asked and told."""

    valid: timedelta
    ask: str
    no: str
    told: str
    replaced: str


@dataclass(frozen=True, slots=True)
class ConsentRules:
    """When consent is asked again, and by which messages."""

    silent: timedelta
    ask: str
    given: str
    look_again: timedelta
    no_subscriber: tuple[str, ...]

    def says_no_subscriber(self, words: str) -> bool:
        """Whether an operator's words say that nobody has the number any more."""
        said = _bare(words)
        return any(f" {_bare(part)} " in f" {said} " for part in self.no_subscriber)


@dataclass(frozen=True, slots=True)
class JoinPapers:
    """The whole of flows/joining.yaml. ``scheme_words`` are casefolded, by the scheme's code."""

    scheme_words: Mapping[str, tuple[str, ...]]
    price: str | None
    steps: tuple[JoinStep, ...]
    unclear: str
    most_misses: int
    ends: Mapping[str, str]
    waits: timedelta
    kept: timedelta
    begun_a_day: int
    holder: HolderTexts
    consent: ConsentRules

    def step(self, asks: str) -> JoinStep:
        """The step that asks for this; the first where an office has since left it out."""
        return next((step for step in self.steps if step.asks == asks), self.steps[0])

    def after(self, asks: str) -> JoinStep | None:
        """The step after that one; None where it was the last."""
        order = [step.asks for step in self.steps]
        place = order.index(self.step(asks).asks) + 1
        return self.steps[place] if place < len(order) else None

    def before(self, asks: str) -> JoinStep:
        """The step before that one, or the first."""
        order = [step.asks for step in self.steps]
        return self.steps[max(order.index(self.step(asks).asks) - 1, 0)]


@dataclass(frozen=True, slots=True)
class Said:
    """An answer as it came, with what the vocabulary made of it."""

    body: str
    kinds: Collection[str] = ()
    language: str | None = None


def answer_of(asks: Asks, said: Said, languages: Sequence[tuple[str, str]]) -> str | None:
    """What an answer says; None where it cannot be used. ``languages``: codes with their names."""
    if asks == "consent":
        return next((word for word in ("yes", "no") if word in said.kinds), None)
    if asks == "name":
        # A yes that was sent twice is nobody's name.
        return None if {"yes", "no"} & set(said.kinds) else name_in(said.body)
    if asks == "plot":
        return code_in(said.body)
    number = _number_in(said.body)
    if asks == "reads":
        return READS.get(number) if number is not None else _reads_in(said.body)
    if number is not None:
        return languages[number - 1][0] if 0 < number <= len(languages) else None
    named = {name.casefold(): code for code, name in languages}
    known = {code for code, _ in languages}
    return said.language if said.language in known else named.get(said.body.strip().casefold())


def name_in(body: str) -> str | None:
    """A name: letters of any script, few, and the marks that stand in names."""
    name = " ".join(unicodedata.normalize("NFC", body).split())
    letters = [one for one in name if one not in _NAME_MARKS]
    fit = letters and all(unicodedata.category(one)[0] in "LM" for one in letters)
    return name if fit and len(name) <= LONGEST_NAME and letters[0].isalpha() else None


def code_in(body: str) -> str | None:
    """A plot's code: letters and digits of any script, at least one digit, nothing between them."""
    digits = (str(unicodedata.decimal(one, one)) for one in unicodedata.normalize("NFKC", body))
    code = _BETWEEN.sub("", "".join(digits)).upper()
    fit = code.isalnum() and any(one.isdecimal() for one in code) and len(code) <= LONGEST_CODE
    return code if fit and code[0].isalpha() else None


def _reads_in(body: str) -> str | None:
    word = body.strip().casefold()
    return word if word in ("soil", "rim") else None


def _number_in(body: str) -> int | None:
    """A single number in the digits of any script."""
    said = body.strip().rstrip(".)")
    return int(said) if said.isdecimal() and len(said) < 3 else None


def _bare(words: str) -> str:
    return " ".join("".join(one if one.isalnum() else " " for one in words).casefold().split())
