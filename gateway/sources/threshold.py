"""The dry limit of a plot's own: the cells that tell it, and who allowed a deeper one."""

from collections.abc import Callable, Iterable, Mapping, Set
from datetime import date
from typing import Any

from gateway.advisory.register import PlotOnRecord
from gateway.advisory.sheets import Known, ThresholdRules
from gateway.agronomy.plot import Plot, ThresholdRaised
from gateway.sources.cells import Cells

RAISED = ("raised_by", "raised_on", "raised_reason")
COLUMNS = ("threshold_cm", *RAISED)
Fail = Callable[[str, str], None]


def read_threshold(cells: Cells, known: Known) -> dict[str, Any]:
    """What a line tells of the dry limit, by column; empty or wrong cells are left out."""
    told: dict[str, Any] = {
        "threshold_cm": cells.number("threshold_cm", known.bounds.plots.threshold_cm, "cm"),
        "raised_by": cells.words("raised_by"),
        "raised_on": cells.day("raised_on", known.today, known.bounds.days.raised),
        "raised_reason": cells.words("raised_reason"),
    }
    for column in ("raised_by", "raised_reason"):  # a mark that stands for nothing names nobody
        if sum(letter.isalpha() for letter in told[column] or "xx") < 2:
            cells.fail(column, "need words, not a mark")
            told[column] = None
    return {column: value for column, value in told.items() if value is not None}


def threshold_of(
    told: Mapping[str, Any],
    wrong: Set[str],
    plot: Plot,
    before: PlotOnRecord | None,
    starts: Iterable[date],
    rules: ThresholdRules,
    fail: Fail,
) -> dict[str, Any]:
    """The fields of ``Plot`` that the cells add up to; mistakes go to ``fail`` by column.

    ``plot`` is the plot as the sheet leaves it, ``before`` as it is on record; ``starts`` are the
    first days of its seasons.
    """
    level, raised = told.get("threshold_cm"), [column for column in RAISED if column in told]
    if wrong & set(COLUMNS):
        return {}
    if level is None:
        for column in raised[:1]:
            fail(column, "belongs to a dry limit, and threshold_cm is empty")
        return {}
    if level >= rules.usual_cm:
        for column in raised[:1]:
            fail(
                column, f"{level:g} is no deeper than the usual {rules.usual_cm:g}; leave it empty"
            )
        return {"threshold_cm": level}
    if not raised and _stands(level, before):
        return {}
    missing = [column for column in RAISED if column not in told]
    for column in missing:
        fail(column, f"deeper than {rules.usual_cm:g} needs an officer's name, a day and a reason")
    if missing or _forbidden(level, plot, rules, fail):
        return {}
    return _raise(told, before, starts, rules, fail)


def _stands(level: float, before: PlotOnRecord | None) -> bool:
    return before is not None and before.plot.threshold_cm == level


def _forbidden(level: float, plot: Plot, rules: ThresholdRules, fail: Fail) -> bool:
    """Whether the tube, the soil or the profile forbids this depth, whoever allows it."""
    bottom = rules.bottom_cm if plot.tube_bottom_cm is None else plot.tube_bottom_cm
    barred = sorted((plot.bars or frozenset()) & rules.barring)
    if level < bottom:
        cure = f"{level:g} lies deeper than the tube's bottom at {bottom:g}"
        fail("threshold_cm", f"{cure}; need a level that it can show, or a longer tube")
    elif barred:
        fail("threshold_cm", f"{barred[0]} forbids drying; leave it empty")
    elif plot.profile in rules.closed:
        cure = f"the profile {plot.profile} allows none deeper than {rules.usual_cm:g}"
        fail("threshold_cm", f"{cure}; wait for the season after it")
    else:
        return False
    return True


def _raise(
    told: Mapping[str, Any],
    before: PlotOnRecord | None,
    starts: Iterable[date],
    rules: ThresholdRules,
    fail: Fail,
) -> dict[str, Any]:
    """One step a season, counted from the depth of the season before."""
    level, on = told["threshold_cm"], told["raised_on"]
    last = before.plot.threshold_raised if before else None
    own = before.plot.threshold_cm if before else None
    corrected = last is not None and own == level
    first = last.from_cm if last and corrected else rules.usual_cm if own is None else own
    if first is not None and level < first - rules.step_cm:
        cure = f"from {first:g} one season may go {rules.step_cm:g} cm deeper"
        fail("threshold_cm", f"{cure}; need {first - rules.step_cm:g} or a level no deeper")
        return {}
    if last and own is not None and level < own and not _new_season(last.on, on, starts):
        fail("raised_on", f"{last.by} went deeper on {last.on}, one step a season is the most")
        return {}
    raised = ThresholdRaised(told["raised_by"], on, told["raised_reason"], first)
    return {"threshold_cm": level, "threshold_raised": raised}


def _new_season(last: date, on: date, starts: Iterable[date]) -> bool:
    """Whether a season began on the plot after the last step and up to this one."""
    return any(last < start <= on for start in starts)
