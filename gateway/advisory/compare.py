"""Compare two rule books: which of the plots of this day would get other advice."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from gateway.advisory.ports import Clock, Store
from gateway.agronomy.advice import Advice
from gateway.agronomy.case import Case
from gateway.agronomy.judge import judge
from gateway.agronomy.rules import RuleBook

NAMES_LIMIT: Final = frozenset({"wait", "ask"})
"""Advice that names the depth at which to irrigate without asking again."""


@dataclass(frozen=True, slots=True)
class Change:
    """The advice that a plot gets by the one rule book, and by the other."""

    before: Advice
    after: Advice


@dataclass(frozen=True, slots=True)
class Comparison:
    """How many plots were judged by both rule books, and those whose advice differs."""

    plots: int
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Compare:
    """Judges every plot with a crop by both rule books. Nothing is kept and nothing is sent."""

    store: Store
    clock: Clock

    def __call__(self, scheme_id: int, before: RuleBook, after: RuleBook) -> Comparison:
        """The comparison for the plots of a scheme as they stand now."""
        with self.store.begin(write=False) as unit:
            found = unit.books.active_cases(scheme_id, self.clock.now())
            cases = [each.case for each in found if each.case.season is not None]
        changes = sorted(changes_of(cases, before, after), key=lambda each: each.before.plot)
        return Comparison(len(cases), tuple(changes))


def changes_of(cases: Iterable[Case], before: RuleBook, after: RuleBook) -> Iterator[Change]:
    """The cases that the two rule books advise differently on."""
    for case in cases:
        change = Change(judge(case, before), judge(case, after))
        if is_other(change.before, change.after):
            yield change


def is_other(before: Advice, after: Advice) -> bool:
    """Whether a grower is told something else: an act, a depth, a day, a weight or its reason."""
    return _told(before) != _told(after)


def _told(advice: Advice) -> tuple[object, ...]:
    detail = advice.detail
    if advice.action == "none":  # outside the season no day or depth is told
        return (advice.stage, advice.action, advice.reasons[:1])
    return (
        advice.stage,
        advice.action,
        advice.reasons[:1],
        advice.flood_to_cm,
        advice.next_reading_on,
        detail.act_by,
        detail.keep_until,
        detail.not_before,
        detail.threshold_cm if advice.action in NAMES_LIMIT else None,
        detail.product_kg,
        detail.harvest_on,
        detail.too_dry if advice.action == "reflood" else None,
    )
