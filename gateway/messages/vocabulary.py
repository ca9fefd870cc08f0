"""The words of one language and what each of them means, as plain values.

The words themselves stand in files; this room only knows the roles that a word can play.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

WEAK = ("plain", "action", "filler", "polite")
ROLES = (
    *WEAK,
    "below",
    "above",
    "stands",
    "surface",
    "rim",
    "stick",
    "size",
    "thing",
    "modal",
    "inside",
    "dry",
    "vague",
    "filling",
    "change",
    "lately",
    "compare",
    "deep",
    "to",
    "to-before",
    "or",
    "and",
    "not",
    "not-before",
    "no",
    "sorry",
    "mend",
    "should",
    "wrong",
    "missent",
    "undo",
    "unsure",
    "back",
    "both",
    "each",
    "all",
    "in-order",
    "plot",
    "neighbour",
    "elsewhere",
    "question",
    "question-first",
    "question-before",
    "condition",
    "future",
    "future-own",
    "partly",
    "stock",
    "want",
    "person",
    "office",
    "wish",
    "order",
    "advert",
)
STRICT = (
    "below",
    "above",
    "surface",
    "dry",
    "rim",
    "not",
    "not-before",
    "to",
    "both",
    "each",
    "all",
)
NEVER_BY_SLIP = (
    "wrong",
    "missent",
    "undo",
    "sorry",
    "mend",
    "order",
    "advert",
    "not",
    "not-before",
    "no",
    "or",
)


@dataclass(frozen=True, slots=True)
class Term:
    """What a word or phrase means: its role, and where it has one the value that it names.

    Roles are those of ROLES, and ``day`` (value: today, yesterday, days back as "-2", ago
    after a number of days, ago-before before one),
    ``weekday`` (0 is Monday) and ``event`` (value: the kind, detail: few or many). ``not``
    denies what stands after it, ``not-before`` what stands before it; ``question-before`` makes a
    question of its whole clause; ``to-before`` says up to the number before it; ``stands`` is
    above where its clause says nothing else ("stands 5 cm", "stands 7 cm below").

    ``size`` says that a number beside it measures another thing ("40 cm long"), ``future-own``
    what one plans, ``partly`` that an act is not done with, ``stock`` that something was got, not
    used, ``missent`` that a text should not have been sent, ``in-order`` that numbers are of plots
    in their order, ``office`` who is addressed or called for, ``wish`` something kind,
    ``condition`` when something should be done, ``modal`` and ``should`` how it should be,
    ``thing`` what may stand or lie where water does. The day ``either`` is yesterday or tomorrow,
    as its verb says.
    """

    role: str
    value: str | float | None = None
    detail: str | None = None


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All words of one language (BCP 47), with those that hold in every script.

    ``phrases`` is a tree of words whose "" leads to the Term that ends there. ``folding`` maps
    code points of digits, minus and plus signs to ASCII. ``unspaced`` finds known words in
    scripts that write no spaces. ``half_before`` and ``half_after`` are words that add a half to
    the number that they stand beside, ``clock_before`` what names an hour after it, ``labels``
    what a number after it only names ("group 4"), ``month_days`` what stands before a day of the
    month ("tgl 5"), ``titles`` what stands before a name that may be a number ("chú Tư"),
    ``future_endings`` ends of verbs to come, ``ground`` what a level is told from, ``water`` what
    has it, ``plots`` what a number counts, ``planting`` what a day beside it is of.
    ``letters`` are names of letters, ``digit_letters`` the
    sounds that a digit within a word may stand for, ``lookalikes`` letters of other
    scripts that look like Latin ones, ``bare`` words without accents. ``deepest_cm`` and
    ``highest_cm`` bound what a tube can show.

    ``alone`` are whole texts to leave or return by, ``leaving`` the same without words that are
    ``idle`` beside them, ``beside_leaving`` what may go with them ("remove my number"). ``pests``
    are what a spray may be against. ``short`` holds short forms with what they stand for,
    ``beginnings`` and ``endings`` what any word may carry.
    """

    language: str
    phrases: Mapping[str, Any]
    skip: frozenset[str]
    units: Mapping[str, str]
    quantities: Mapping[str, str]
    months: Mapping[str, int]
    ordinal_ends: frozenset[str]
    signs: Mapping[str, int]
    numbers: Mapping[str, float]
    choices: Mapping[str, int]
    whole: Mapping[str, tuple[str, str | None]]
    alone: Mapping[str, str]
    leaving: Mapping[str, str]
    idle: frozenset[str]
    pests: frozenset[str]
    join: frozenset[str]
    language_words: frozenset[str]
    languages: Mapping[str, str]
    openers: frozenset[str]
    folding: Mapping[int, str]
    deepest_cm: float
    highest_cm: float
    unspaced: re.Pattern[str] | None = None
    half_before: frozenset[str] = frozenset()
    half_after: frozenset[str] = frozenset()
    clock_before: frozenset[str] = frozenset()
    labels: frozenset[str] = frozenset()
    month_days: frozenset[str] = frozenset()
    beside_leaving: frozenset[str] = frozenset()
    future_endings: tuple[str, ...] = ()
    ground: frozenset[str] = frozenset()
    water: frozenset[str] = frozenset()
    titles: frozenset[str] = frozenset()
    plots: frozenset[str] = frozenset()
    planting: frozenset[str] = frozenset()
    letters: Mapping[str, str] = field(default_factory=dict)
    digit_letters: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    lookalikes: Mapping[int, str] = field(default_factory=dict)
    bare: Mapping[str, str] = field(default_factory=dict)
    short: Mapping[str, str] = field(default_factory=dict)
    beginnings: tuple[str, ...] = ()
    endings: tuple[str, ...] = ()
    known: frozenset[str] = frozenset()
    slips: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def slip_targets(
    pairs: Iterable[tuple[tuple[str, ...], Term]], others: frozenset[str]
) -> dict[str, tuple[str, ...]]:
    """Words of five letters and more that a slip of the pen may have meant, by first letter.

    ``others`` are words that a slip never leads to; they stay in, marked by a leading blank, so
    that a word near to one of them is left alone.
    """
    found: dict[str, set[str]] = {}
    terms = list(pairs)
    alone = {words[0] for words, term in terms if term.role in NEVER_BY_SLIP and len(words) == 1}
    shunned = {w for words, term in terms if term.role in NEVER_BY_SLIP for w in words}
    free = {w for words, term in terms if term.role not in NEVER_BY_SLIP for w in words}
    barred = others | alone | (shunned - free)
    for word in {w for words, _ in terms for w in words} | barred:
        if len(word) >= 4:
            found.setdefault(word[0], set()).add(" " + word if word in barred else word)
    return {letter: tuple(sorted(words)) for letter, words in found.items()}
