"""Finds the season that puts a plot into the stage it must have on the day of the trial."""

from collections.abc import Iterator
from datetime import date, timedelta

from gateway.agronomy.practice import Practice
from gateway.agronomy.season import Season
from gateway.agronomy.stages import calendar_of
from gateway.trial.paper import PlotPaper, TrialPaper


class NoSuchSeason(Exception):
    """No planting day puts a plot into the stage that the paper asks for."""

    def __init__(self, code: str, stage: str) -> None:
        super().__init__(f"plot {code}: no planting day puts it into {stage} on that day")
        self.code, self.stage = code, stage


def season_for(
    code: str, plot: PlotPaper, paper: TrialPaper, practice: Practice, today: date
) -> Season:
    """The season, ``plot.along`` of the way through its stage. Raises NoSuchSeason."""
    found = sorted(_fitting(plot, paper, practice, today), key=lambda s: s.established_on)
    if not found:
        raise NoSuchSeason(code, plot.stage)
    # The earlier the planting, the further into the stage.
    return found[round((1 - plot.along) * (len(found) - 1))]


def _fitting(
    plot: PlotPaper, paper: TrialPaper, practice: Practice, today: date
) -> Iterator[Season]:
    tried = paper.history
    for days_ago in range(-tried.planted_after_days, tried.planted_before_days + 1):
        season = _season(plot, paper, today - timedelta(days=days_ago))
        stage = calendar_of(season, practice, soil=plot.soil).stage_on(today)
        if stage == plot.stage and _split_fits(plot, paper, days_ago):
            yield season


def _season(plot: PlotPaper, paper: TrialPaper, established: date) -> Season:
    planted = plot.method == "transplanted"
    return Season(
        method=plot.method,
        established_on=established,
        sown_on=established - timedelta(days=paper.seedling_days) if planted else None,
        duration_days=None if plot.variety is None else paper.varieties[plot.variety],
    )


def _split_fits(plot: PlotPaper, paper: TrialPaper, days_ago: int) -> bool:
    """A plot that is to be shown has just the split it is shown for, and else none."""
    if plot.split is not None:
        split = paper.plan.splits[plot.split - 1]
        return split.from_day <= days_ago <= split.to_day
    shown = plot.stands_cm is not None
    return not shown or not any(s.from_day <= days_ago <= s.to_day for s in paper.plan.splits)
