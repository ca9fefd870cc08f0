"""The season's calendar as the office wrote it: each duty, when, to whom, in which words.

Built from flows/calendar.yaml. Times of day are in the scheme's own zone.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import time, timedelta
from typing import Final, Literal, get_args

from gateway.agronomy.advice import Action
from gateway.agronomy.rules import WORD_FACTS

Anchor = Literal[
    "planting",
    "drying-opens",
    "many-weeds",
    "split-opens",
    "split-closes",
    "flowering-peak",
    "flowering-opens",
    "flowering-closes",
    "last-irrigation",
    "harvest-expected",
    "harvest-told",
    "look",
    "look-asked",
    "crossing",
    "water-awaited",
]
Audience = Literal["readers", "lead-readers"]
Wanting = tuple[tuple[str, frozenset[str]], ...]

_YES_NO: Final = frozenset({"yes", "no"})
# What a duty's texts may depend on. All are facts of the plot on the day it is owed.
CHEAP_FACTS: Final[Mapping[str, frozenset[str]]] = {
    "stage": WORD_FACTS["stage"],
    "method": frozenset({"planted", "seeded"}),
    "weeds": frozenset({"unanswered", "few", "many"}),
    "soil": frozenset({"checked", "unchecked"}),
    "bar": WORD_FACTS["bar"],
    "heads": frozenset({"told", "untold"}),
    "submerged": WORD_FACTS["submerged"],
    "may_enter": _YES_NO,
    "supply": WORD_FACTS["supply"],
    "nitrogen": WORD_FACTS["nitrogen"],
}
# These need the plot's forecast and judgement, and are asked last.
JUDGED_FACTS: Final[Mapping[str, frozenset[str]]] = {
    "dry_limit": frozenset({"surface", "below"}),
    "action": frozenset(get_args(Action)),
    "dry_by_now": _YES_NO,
}
DUTY_FACTS: Final = {**CHEAP_FACTS, **JUDGED_FACTS}


def holds(wanted: Wanting, facts: Mapping[str, str]) -> bool:
    """Whether each fact has one of the values that are wanted of it."""
    return all(facts[name] in allowed for name, allowed in wanted)


@dataclass(frozen=True, slots=True)
class DutyText:
    """Words for a duty, and the facts under which they are the right ones."""

    text: str
    cheap: Wanting = ()
    judged: Wanting = ()


@dataclass(frozen=True, slots=True)
class DutyRule:
    """One duty. ``days`` count from the anchor's day, negative before it, each owed by itself.

    ``hour`` is the earliest time of its day, and its texts leave within ``spread`` of it.
    ``valid_days`` counts from the day it is owed; where the anchor has an end of its own, that.
    ``asks``: it wants an answer. ``together``: words for several plots of one phone in one text.
    """

    name: str
    title: str
    anchor: Anchor
    days: tuple[int, ...]
    hour: time
    spread: timedelta
    valid_days: int
    to: Audience
    safety: bool
    asks: bool
    texts: tuple[DutyText, ...]
    together: str | None
    why: str

    def texts_for(self, facts: Mapping[str, str]) -> tuple[DutyText, ...]:
        """The texts that are for those of CHEAP_FACTS."""
        return tuple(text for text in self.texts if holds(text.cheap, facts))


Fitting = tuple[tuple[DutyRule, tuple[DutyText, ...]], ...]


@dataclass(frozen=True, slots=True)
class Weekly:
    """The most that one phone gets in any seven days, crop safety and answers apart.

    ``texts``: that the office starts. ``paid_asks``: those that want an answer which the grower
    pays for.
    """

    texts: int
    paid_asks: int


@dataclass(frozen=True, slots=True)
class DutyCalendar:
    """All duties, and the customs around them.

    ``rounds`` are the hours at which every plot is gone through; between them only those of which
    something became known. A process holds a part of a round for ``part_lease`` at most. A sent
    duty is owed again where its day moved by more than ``anchor_moved_days``. Whoever told
    ``faithful_looks`` readings in a row by the day they were told is not asked on that day. So
    many days after a reading was asked in vain the office sees the plot among the silent.
    """

    rounds: tuple[time, ...]
    part_lease: timedelta
    anchor_moved_days: int
    faithful_looks: int
    silent_after_days: int
    weekly: Weekly
    duties: Mapping[str, DutyRule]
    looks: tuple[str, ...] = field(init=False)
    """The names of the duties that ask for a reading which the forecast wants."""

    _fitting: dict[tuple[str, ...], Fitting] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def __post_init__(self) -> None:
        looks = (name for name, rule in self.duties.items() if rule.anchor == "look")
        object.__setattr__(self, "looks", tuple(looks))

    def fitting(self, facts: tuple[str, ...]) -> Fitting:
        """The duties with a text for those facts, in the order of the file, and such texts.

        ``facts``: all of CHEAP_FACTS, in their order. Plots share them, so it is found out once.
        """
        if facts not in self._fitting:
            known = dict(zip(CHEAP_FACTS, facts, strict=True))
            found = ((rule, rule.texts_for(known)) for rule in self.duties.values())
            self._fitting[facts] = tuple((rule, texts) for rule, texts in found if texts)
        return self._fitting[facts]
