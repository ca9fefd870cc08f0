"""The decision table: rows of named facts, the first that fits gives the action and its reason."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from gateway.agronomy.advice import Action
from gateway.agronomy.practice import Practice

Known = Mapping[str, str | float | None]

_YES_NO = frozenset({"yes", "no"})
# What each fact may be. A fact that is a number is compared with numbers or with named marks.
WORD_FACTS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "stage": frozenset(
            {
                "before-planting",
                "establishment",
                "tillering",
                "panicle",
                "flowering",
                "grain-filling",
                "ripening",
                "harvested",
                "unknown",
            }
        ),
        "season": frozenset({"on-record", "missing"}),
        "evidence": frozenset({"today", "forecast", "overdue", "never"}),
        "doubted": _YES_NO,
        "surely_at_threshold": _YES_NO,
        "too_late_tomorrow": _YES_NO,
        "seedbed": _YES_NO,
        "too_deep": _YES_NO,
        "submerged": frozenset({"no", "under", "recovering"}),
        "spray_hold": _YES_NO,
        "spray_water": _YES_NO,
        "weed_hold": _YES_NO,
        "may_enter": _YES_NO,
        "fertilise_in_holds": frozenset({"wait", "shallow"}),
        "cold": frozenset({"no", "seedlings", "booting"}),
        "heat": _YES_NO,
        "bar": frozenset({"none", "keep-flooded", "ask"}),
        "nitrogen": frozenset({"none", "due", "last-days", "rain-coming", "spread"}),
        "supply": frozenset({"sure", "unsure", "none", "unknown"}),
        "near_harvest": _YES_NO,
        "next_turn": frozenset({"in-time", "last-now", "too-late", "unknown"}),
    }
)
NUMBER_FACTS = frozenset({"level_cm", "lowest_cm"})
# Named levels, from the deepest up; their values come from the practice and the plot.
MARKS = ("too-dry", "threshold", "surface", "top-up", "shallow", "too-deep")
Bound = float | str


@dataclass(frozen=True, slots=True)
class Range:
    """A number between bounds: ``at_least`` and ``at_most`` include theirs, the others do not."""

    at_least: Bound | None = None
    above: Bound | None = None
    at_most: Bound | None = None
    below: Bound | None = None

    def holds(self, value: float, marks: Mapping[str, float]) -> bool:
        """Whether ``value`` lies inside."""

        def of(bound: Bound) -> float:
            return marks[bound] if isinstance(bound, str) else bound

        return (
            (self.at_most is None or value <= of(self.at_most))
            and (self.above is None or value > of(self.above))
            and (self.at_least is None or value >= of(self.at_least))
            and (self.below is None or value < of(self.below))
        )


@dataclass(frozen=True, slots=True)
class Row:
    """A row: its name is the reason code. ``act_within_days`` 0 means on the same day."""

    name: str
    action: Action
    words: tuple[tuple[str, frozenset[str]], ...] = ()
    ranges: tuple[tuple[str, Range], ...] = ()
    act_within_days: int | None = None

    def fits(self, known: Known, marks: Mapping[str, float]) -> bool:
        """Whether the facts fit; a number that is not known fits no range."""
        for fact, allowed in self.words:
            if known[fact] not in allowed:
                return False
        for fact, wanted in self.ranges:
            value = known[fact]
            if not isinstance(value, (int, float)) or not wanted.holds(value, marks):
                return False
        return True


@dataclass(frozen=True, slots=True)
class RuleTable:
    """Rows in their order of concern; the last has no condition."""

    rows: tuple[Row, ...]

    def first(self, known: Known, marks: Mapping[str, float]) -> Row:
        """The first row that fits. Raises LookupError where not even the last one does."""
        for row in self.rows:
            if row.fits(known, marks):
                return row
        raise LookupError("the last row of the decision table must fit every plot")


@dataclass(frozen=True, slots=True)
class RuleBook:
    """All that judgement rests on beside the case.

    ``practices`` holds the practice of each profile by name beside the usual one in ``practice``.
    ``files`` are the texts it was read from, by name; ``digest`` the SHA-256 (hex) over them.
    """

    practice: Practice
    table: RuleTable
    digest: str
    files: Mapping[str, str]
    practices: Mapping[str, Practice]

    def practice_of(self, profile: str | None) -> Practice:
        """The practice of a profile; the usual one where none is named or it is not known."""
        return self.practice if profile is None else self.practices.get(profile, self.practice)


def overshadowed(rows: Iterable[Row]) -> list[tuple[Row, Row]]:
    """Pairs (row, earlier row) where the earlier one fits whenever the row does."""
    seen: list[Row] = []
    found = []
    for row in rows:
        found += [(row, earlier) for earlier in seen if _covers(earlier, row)][:1]
        seen.append(row)
    return found


def _covers(earlier: Row, later: Row) -> bool:
    words, ranges = dict(later.words), dict(later.ranges)
    return all(f in words and words[f] <= allowed for f, allowed in earlier.words) and all(
        f in ranges and _inside(ranges[f], wide) for f, wide in earlier.ranges
    )


def _inside(narrow: Range, wide: Range) -> bool:
    return _low_inside(narrow, wide) and _high_inside(narrow, wide)


def _high_inside(narrow: Range, wide: Range) -> bool:
    if wide.at_most is None and wide.below is None:
        return True
    limit, strict = _high(wide)
    mine, mine_strict = _high(narrow)
    return _ordered(mine, limit, mine_strict or not strict)


def _low_inside(narrow: Range, wide: Range) -> bool:
    if wide.at_least is None and wide.above is None:
        return True
    limit, strict = _low(wide)
    mine, mine_strict = _low(narrow)
    return _ordered(limit, mine, mine_strict or not strict)


def _high(span: Range) -> tuple[Bound | None, bool]:
    return (span.below, True) if span.below is not None else (span.at_most, False)


def _low(span: Range) -> tuple[Bound | None, bool]:
    return (span.above, True) if span.above is not None else (span.at_least, False)


def _ordered(lower: Bound | None, upper: Bound | None, equal_counts: bool) -> bool:
    """Whether ``lower`` lies below ``upper``; a mark compares with marks only."""
    if lower is None or upper is None or isinstance(lower, str) != isinstance(upper, str):
        return False
    a = MARKS.index(lower) if isinstance(lower, str) else lower
    b = MARKS.index(upper) if isinstance(upper, str) else upper
    return a < b or (a == b and equal_counts)
