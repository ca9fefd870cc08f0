"""The table of judgement, cell by cell, as an agronomist would correct it by hand."""

import itertools
from collections import Counter
from pathlib import Path

import pytest

from gateway.agronomy.judge import judge
from tests.agronomy.plots import DAY_OF_STAGE, book, in_stage, with_condition

CONDITIONS = {
    "nitrogen": ("none", "due", "last-days"),
    "weeds": ("few", "many"),
    "spray": ("no", "yes"),
    "bars": ("none", "unasked", "saline", "salty-water"),
    "supply": ("sure", "unsure", "none", "unknown"),
}
LINES = [
    line.split("\t")
    for line in (Path(__file__).parent / "judgement.tsv").read_text(encoding="utf-8").splitlines()
    if not line.startswith("#")
]
HEAD, ROWS = LINES[0], LINES[1:]
FIRST_LEVEL = 1 + len(CONDITIONS)


def _combinations(row: list[str]) -> list[tuple[str, ...]]:
    """The stage and every condition that a line stands for."""
    words = [
        allowed if cell == "*" else tuple(cell.split("|"))
        for cell, allowed in zip(row[1:FIRST_LEVEL], CONDITIONS.values(), strict=True)
    ]
    return [(row[0], *each) for each in itertools.product(*words)]


def test_every_stage_and_condition_stands_in_the_table_exactly_once() -> None:
    wanted = set(itertools.product(DAY_OF_STAGE, *CONDITIONS.values()))
    found = Counter(each for row in ROWS for each in _combinations(row))
    assert set(found) == wanted
    assert [each for each, count in found.items() if count > 1] == []


def test_the_table_has_no_empty_cell() -> None:
    assert HEAD[:FIRST_LEVEL] == ["stage", *CONDITIONS]
    assert all(len(row) == len(HEAD) and all(cell.strip() for cell in row) for row in ROWS)


@pytest.mark.parametrize("row", ROWS, ids=[" ".join(row[:FIRST_LEVEL]) for row in ROWS])
def test_the_advice_is_what_the_table_says(row: list[str]) -> None:
    levels = HEAD[FIRST_LEVEL:]
    for (stage, *condition), (level, cell) in itertools.product(
        _combinations(row), zip(levels, row[FIRST_LEVEL:], strict=True)
    ):
        seen = None if level == "none" else level if level == "dry" else float(level)
        advice = judge(with_condition(in_stage(stage, seen), *condition), book())
        assert f"{advice.action}:{advice.reasons[0]}" == cell, (stage, *condition, level)
        assert advice.stage == stage
