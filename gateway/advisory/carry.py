"""Carry what a plot's earlier season taught into the one that has begun, once."""

from dataclasses import replace
from datetime import datetime

from gateway.advisory.papers import Papers
from gateway.advisory.ports import Unit
from gateway.advisory.records import PlotCase
from gateway.agronomy.carrying import habit_after


def carry_over(unit: Unit, papers: Papers, found: PlotCase, as_of: datetime) -> PlotCase:
    """The case with the plot's habit in it; reckoned where the season has none on record yet."""
    if not found.to_carry or found.season_id is None:
        return found
    before = unit.books.case_before(found.plot_id, as_of)
    habit = None if before is None else habit_after(before, papers.rules)
    unit.books.keep_posterior(found.season_id, habit, None)
    return replace(found, case=replace(found.case, habit=habit), to_carry=False)
