"""The decision table as a value: the first row that fits, and rows that none can reach."""

import pytest

from gateway.agronomy.rules import Range, Row, RuleTable, overshadowed

MARKS = {"threshold": -15.0, "surface": 0.0, "top-up": 2.0}


def row(name: str, stage: str | None = None, **bounds: float | str) -> Row:
    words = (("stage", frozenset({stage})),) if stage else ()
    ranges = (("level_cm", Range(**bounds)),) if bounds else ()
    return Row(name, "wait", words, ranges)


TABLE = RuleTable(
    (
        row("dry at flowering", "flowering", at_most="surface"),
        row("dry", at_most="threshold"),
        row("low", above="threshold", below=-10),
        row("any"),
    )
)


@pytest.mark.parametrize(
    ("stage", "level", "name"),
    [
        ("flowering", 0.0, "dry at flowering"),
        ("flowering", 0.1, "any"),
        ("tillering", -15.0, "dry"),
        ("tillering", -14.9, "low"),
        ("tillering", -10.0, "any"),
        ("flowering", None, "any"),
    ],
)
def test_the_first_row_that_fits_decides(stage: str, level: float | None, name: str) -> None:
    assert TABLE.first({"stage": stage, "level_cm": level}, MARKS).name == name


def test_the_marks_of_the_plot_decide_not_fixed_numbers() -> None:
    known = {"stage": "tillering", "level_cm": -12.0}
    assert TABLE.first(known, MARKS | {"threshold": -10.0}).name == "dry"


def test_a_table_without_a_last_row_says_so() -> None:
    with pytest.raises(LookupError, match="last row"):
        RuleTable(TABLE.rows[:1]).first({"stage": "tillering", "level_cm": 3.0}, MARKS)


@pytest.mark.parametrize(
    ("earlier", "later", "hidden"),
    [
        (row("a"), row("b", "flowering"), True),
        (row("a", "flowering"), row("b"), False),
        (row("a", at_most="top-up"), row("b", at_most="surface"), True),
        (row("a", at_most="surface"), row("b", at_most="top-up"), False),
        (row("a", below="surface"), row("b", at_most="surface"), False),
        (row("a", at_most="surface"), row("b", below="surface"), True),
        (row("a", above=-5), row("b", at_least=-4, at_most=3), True),
        (row("a", at_least=-5), row("b", above=-5), True),
        (row("a", above=-5), row("b", at_least=-5), False),
        (row("a", at_most=0), row("b", at_most="surface"), False),
        (row("a", "flowering", at_most=0), row("b", "flowering", at_most=-1), True),
        (row("a", "flowering", at_most=0), row("b", "tillering", at_most=-1), False),
    ],
)
def test_a_row_that_an_earlier_one_always_precedes_is_found(
    earlier: Row, later: Row, hidden: bool
) -> None:
    assert bool(overshadowed([earlier, later])) == hidden
