"""Readings that look made up: named beside the advice, for the office to look into."""

from collections.abc import Iterator

from gateway.agronomy.case import Case
from gateway.agronomy.practice import QualityPractice


def flags_of(case: Case, known: QualityPractice) -> Iterator[str]:
    """Reason codes: the same number again and again, or round numbers and nothing else."""
    levels = _levels(case)
    last = levels[-known.same_count :]
    if len(last) == known.same_count and len(set(last)) == 1:
        yield "same-number-again"
    round_ones = levels[-known.round_count :]
    if len(round_ones) == known.round_count and all(n % known.round_cm == 0 for n in round_ones):
        yield "round-numbers-only"
    if any(e.kind == "reading" and e.doubtful and e.on == case.as_of for e in case.events):
        yield "reading-marked-doubtful"


def _levels(case: Case) -> list[float]:
    """The levels read this season, in the order of their days."""
    first = case.season.established_on if case.season else case.as_of
    read = [e for e in case.events if e.kind == "reading" and first <= e.on <= case.as_of]
    return [e.level_cm for e in sorted(read, key=lambda e: e.on) if e.level_cm is not None]
