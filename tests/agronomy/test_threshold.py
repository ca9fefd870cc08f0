"""The threshold of a plot: what may lower it, and what forbids that."""

from dataclasses import replace
from typing import Any

import pytest

from gateway.agronomy.plot import ThresholdRaised
from gateway.agronomy.threshold import Threshold, threshold_of
from tests.agronomy.plots import PLOT, book, days, in_stage

DAY = in_stage("tillering").as_of
BY = ThresholdRaised("A. Officer", DAY - days(9), "levelled, sure water, a season that went well")


def of(stage: str = "tillering", **plot: Any) -> Threshold:
    case = replace(in_stage("tillering"), plot=replace(PLOT, **plot))
    return threshold_of(case, book().practice_of(case.plot.profile), stage)  # type: ignore[arg-type]


def test_the_safe_threshold_is_15_below() -> None:
    """Bouman, Lampayan and Tuong 2007 (from memory): reflood at 15 cm below the surface."""
    assert of() == Threshold(-15)


@pytest.mark.parametrize(
    ("plot", "stage", "level", "reason"),
    [
        ({"threshold_cm": -10}, "tillering", -10, None),
        ({"threshold_cm": -20, "threshold_raised": BY}, "tillering", -20, None),
        ({"threshold_cm": -20, "threshold_raised": BY}, "grain-filling", -20, None),
        (
            {"threshold_cm": -20, "threshold_raised": BY},
            "panicle",
            -15,
            "threshold-limited-at-booting",
        ),
        ({"threshold_cm": -20}, "tillering", -15, "raised-threshold-not-in-force"),
        (
            {"threshold_cm": -20, "threshold_raised": replace(BY, on=DAY + days(1))},
            "tillering",
            -15,
            "raised-threshold-not-in-force",
        ),
        (
            {"threshold_cm": -20, "threshold_raised": BY, "profile": "first-season"},
            "tillering",
            -15,
            "raised-threshold-not-in-force",
        ),
        ({"profile": "first-season"}, "panicle", -10, "threshold-limited-at-booting"),
        ({"profile": "first-season"}, "tillering", -15, None),
        ({"bars": frozenset({"cracking"})}, "tillering", -10, "threshold-limited-by-soil"),
        ({"bars": frozenset({"fast-draining"})}, "tillering", -10, "threshold-limited-by-soil"),
        (
            {"bars": frozenset({"cracking"}), "threshold_cm": -20, "threshold_raised": BY},
            "tillering",
            -20,
            "raised-step-not-known",
        ),
        ({"bars": frozenset({"cracking"}), "threshold_cm": -5}, "tillering", -5, None),
        ({"bars": frozenset({"unlevelled"})}, "tillering", -15, None),
        ({"tube_bottom_cm": -12}, "tillering", -12, "tube-too-short"),
        (
            {"tube_bottom_cm": -18, "threshold_cm": -20, "threshold_raised": BY},
            "tillering",
            -18,
            "tube-too-short",
        ),
    ],
    ids=[
        "shallower by choice",
        "raised by an officer",
        "raised after flowering",
        "never from panicle initiation on",
        "deeper without an officer",
        "not in force yet",
        "not in a first season",
        "first season at booting",
        "first season before",
        "cracking soil",
        "fast draining soil",
        "cracking but raised",
        "cracking and shallower",
        "a bar that is only noted",
        "a short tube",
        "a short tube and raised",
    ],
)
def test_the_threshold_in_force(
    plot: dict[str, Any], stage: str, level: float, reason: str | None
) -> None:
    assert of(stage, **plot) == Threshold(level, (reason,) if reason else ())


@pytest.mark.parametrize(
    ("bars", "level", "said"),
    [((), -20, False), ((), -25, True), (("cracking",), -15, False), (("cracking",), -20, True)],
)
def test_more_than_a_step_without_last_seasons_threshold_is_said(
    bars: tuple[str, ...], level: float, said: bool
) -> None:
    """A step counts from the deepest that the soil is allowed at first: 10 cm where it cracks."""
    found = of(threshold_cm=level, threshold_raised=BY, tube_bottom_cm=-30, bars=frozenset(bars))
    assert found.level_cm == level
    assert ("raised-step-not-known" in found.reasons) is said
