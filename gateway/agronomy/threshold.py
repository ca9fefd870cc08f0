"""The level at which a plot is watered again, and what set it."""

from dataclasses import dataclass

from gateway.agronomy.advice import Stage
from gateway.agronomy.bars import bars_of
from gateway.agronomy.case import Case
from gateway.agronomy.practice import Practice
from gateway.agronomy.sight import tube_bottom

BOOTING = ("panicle", "flowering")


@dataclass(frozen=True, slots=True)
class Threshold:
    """The level in cm (signed), and reason codes for what moved it."""

    level_cm: float
    reasons: tuple[str, ...] = ()


def threshold_of(case: Case, practice: Practice, stage: Stage, forming: bool = False) -> Threshold:
    """The threshold of the case's day.

    Deeper than the practice only when an officer raised it, and never from panicle initiation to
    the end of the flowering window (``forming``: panicles may form, whatever the stage is called);
    shallower on soils that suffer; never below the tube.
    """
    water, raised = practice.water, _raised(case, practice)
    own = case.plot.threshold_cm
    level = water.threshold_cm if own is None else own
    reasons = [] if raised or level >= water.threshold_cm else ["raised-threshold-not-in-force"]
    level = level if raised else max(level, water.threshold_cm)
    if not raised and _limited(case, practice) and level < water.limited_threshold_cm:
        level, reasons = water.limited_threshold_cm, [*reasons, "threshold-limited-by-soil"]
    if (forming or stage in BOOTING) and level < water.booting_threshold_cm:
        level, reasons = water.booting_threshold_cm, [*reasons, "threshold-limited-at-booting"]
    if raised and own is not None and _step_unknown(case, practice, own):
        reasons = [*reasons, "raised-step-not-known"]
    bottom = tube_bottom(case, practice)
    if level < bottom:
        level, reasons = bottom, [*reasons, "tube-too-short"]
    return Threshold(level, tuple(reasons))


def _step_unknown(case: Case, practice: Practice, own: float) -> bool:
    """Whether it took more than one step, and nobody told where the last one ended."""
    raised, water = case.plot.threshold_raised, practice.water
    usual = water.limited_threshold_cm if _limited(case, practice) else water.threshold_cm
    steps = own < usual - water.raise_step_cm
    return steps and raised is not None and raised.from_cm is None


def _raised(case: Case, practice: Practice) -> bool:
    """Whether a deeper threshold is in force: by a named officer, from its day on."""
    raised = case.plot.threshold_raised
    return raised is not None and raised.on <= case.as_of and practice.water.raised_allowed


def _limited(case: Case, practice: Practice) -> bool:
    return any(practice.bars.get(bar) == "limit" for bar in bars_of(case, practice))
