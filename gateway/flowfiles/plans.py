"""Reads a locally approved nitrogen plan: who approved it, when and on what, and its splits."""

from collections.abc import Iterable
from datetime import date
from itertools import pairwise
from pathlib import Path

from gateway.advisory.records import NitrogenPlan, NitrogenSplit
from gateway.advisory.sheets import PlanBounds, Span
from gateway.flowfiles.reader import Entry, read_file

KEYS = ("name", "product", "n_percent", "approved_by", "approved_on", "source", "splits")


def load_plan(path: Path, bounds: PlanBounds, today: date) -> NitrogenPlan:
    """The plan in a file. Raises FlowError with file, line and cure.

    No plan is taken without the person who approved it, the day, and the source it rests on.
    """
    top = read_file(path)
    top.keys(*KEYS)
    return NitrogenPlan(
        name=_words(top.need("name")),
        product=_words(top.need("product")),
        n_percent=_number(top.need("n_percent"), bounds.n_percent),
        approved_by=_words(top.need("approved_by")),
        approved_on=_approved_on(top.need("approved_on"), today),
        source=_words(top.need("source")),
        splits=_splits(top.need("splits"), bounds),
    )


def _words(entry: Entry) -> str:
    """A name of two letters at least; a mark that stands for nothing is no name."""
    words = " ".join(entry.text().split())
    letters = sum(letter.isalpha() for letter in words)
    return words if letters > 1 else entry.fail(f"need a name, got {entry.text()!r}")


def _number(entry: Entry, span: Span) -> float:
    return entry.number(span.least, span.most)


def _approved_on(entry: Entry, today: date) -> date:
    try:
        day = date.fromisoformat(entry.text())
    except ValueError:
        entry.fail(f"need a day such as 2026-01-05, got {entry.text()!r}")
    return day if day <= today else entry.fail(f"need a day up to today, {today}, got {day}")


def _splits(entry: Entry, bounds: PlanBounds) -> tuple[NitrogenSplit, ...]:
    entries = entry.list()
    if not entries:
        entry.fail("need at least one split")
    splits = tuple(_split(each, bounds) for each in entries)
    _check_order(zip(splits, entries, strict=True))
    return splits


def _split(entry: Entry, bounds: PlanBounds) -> NitrogenSplit:
    entry.keys("from_day", "to_day", "kg_n_ha", "plan_kg")
    least, most = int(bounds.split_days.least), int(bounds.split_days.most)
    first = entry.need("from_day").whole(least, most, "days")
    last = entry.need("to_day").whole(first, most, "days")
    kg_n_ha, aside = _number(entry.need("kg_n_ha"), bounds.kg_n_ha), entry.get("plan_kg")
    return NitrogenSplit(first, last, kg_n_ha, _number(aside, bounds.plan_kg) if aside else None)


def _check_order(splits: Iterable[tuple[NitrogenSplit, Entry]]) -> None:
    for (before, _), (split, entry) in pairwise(splits):
        if split.from_day <= before.to_day:
            entry.need("from_day").fail(
                f"need a day after {before.to_day}, the last day of the split before"
            )
