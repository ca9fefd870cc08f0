"""The trial's file, and the seasons that are found for it."""

import shutil
from dataclasses import replace
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

from gateway.agronomy.stages import calendar_of
from gateway.flowfiles.reader import FlowError
from gateway.flowfiles.rules import load_rulebook
from gateway.settings import shipped
from gateway.trial.paper import load_trial
from gateway.trial.scheme import growers_names, number_for, water_of
from gateway.trial.seasons import NoSuchSeason, season_for

FLOWS = shipped("flows")
PAPER = load_trial(FLOWS)
PRACTICE = load_rulebook(FLOWS).practice
TODAY = date(2026, 6, 1)


@pytest.mark.parametrize("along", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("code", PAPER.plots)
def test_a_plot_stands_in_its_stage_from_the_first_share_to_the_last(
    code: str, along: float
) -> None:
    plot = replace(PAPER.plots[code], along=along)
    season = season_for(code, plot, PAPER, PRACTICE, TODAY)
    assert calendar_of(season, PRACTICE, soil=plot.soil).stage_on(TODAY) == plot.stage


def test_a_plot_shown_for_its_fertiliser_stands_in_the_window_of_that_split() -> None:
    shown = [(code, plot) for code, plot in PAPER.plots.items() if plot.split]
    assert shown
    for code, plot in shown:
        season = season_for(code, plot, PAPER, PRACTICE, TODAY)
        split = PAPER.plan.splits[(plot.split or 0) - 1]
        assert split.from_day <= (TODAY - season.established_on).days <= split.to_day


def test_a_stage_in_which_a_split_never_falls_due_is_refused() -> None:
    with pytest.raises(NoSuchSeason, match="plot H07: no planting day puts it into ripening"):
        season_for(
            "H07", replace(PAPER.plots["H07"], stage="ripening", split=1), PAPER, PRACTICE, TODAY
        )


def test_no_two_growers_bear_one_name() -> None:
    names = growers_names(PAPER, len(PAPER.plots))
    assert len(set(names)) == len(PAPER.plots)


def test_a_phone_that_is_not_shared_ends_in_the_number_of_its_plot() -> None:
    assert number_for("H07", PAPER).reveal() == "+12025550107"
    assert number_for("L03", PAPER).reveal() == "+14045550190"


def test_turns_come_round_and_unknown_water_stays_unknown() -> None:
    turns = water_of(PAPER.blocks["L"], PAPER, TODAY)
    assert turns
    assert {(b.from_ - a.from_).days for a, b in pairwise(turns)} == {5}
    assert water_of(PAPER.blocks["H"], PAPER, TODAY) is None


@pytest.mark.parametrize(
    ("old", "new", "cure"),
    [
        ("H05: {stage: tillering", "H05: {stage: sprouting", r"stage: need one of .*tillering"),
        ("manner: lazy}", "manner: sleepy}", r"H05: need one of diligent, usual, lazy as manner"),
        ("variety: Long Trial, soil", "variety: Endless, soil", r"H07: need one of .* as variety"),
        ("split: 2,", "split: 9,", r"K03: need a split from 1 to 3, got 9"),
        ("H12: {stage: panicle", "Q12: {stage: panicle", r"Q12: no block 'Q' stands under blocks"),
        ("soil: sandy-loam,", "soil: moondust,", r"H12: need one of .* as soil, got 'moondust'"),
        ("phone_of: L04", "phone_of: L44", r"incidents: no plot 'L44' stands under plots"),
        ("et0_mm: 4.8", "et0_mm: much", r"et0_mm: need a number of mm, got 'much'"),
        ("seedling_days: 21\n", "", r"the key seedling_days is missing here"),
    ],
)
def test_a_mistake_is_answered_with_file_line_and_cure(
    tmp_path: Path, old: str, new: str, cure: str
) -> None:
    shutil.copytree(FLOWS, tmp_path / "flows")
    path = tmp_path / "flows" / "trial.yaml"
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    with pytest.raises(FlowError, match=r"trial\.yaml:\d+:\d+ .*" + cure):
        load_trial(tmp_path / "flows")
