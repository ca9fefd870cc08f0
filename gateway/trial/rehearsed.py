"""The growers of a rehearsal: one for each plot of the office's scheme that a phone reads."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random
from typing import Final

from gateway.advisory.number import Number
from gateway.advisory.ports import Unit
from gateway.advisory.records import Phone, PlotCase, Scheme
from gateway.agronomy.case import WaterWindow
from gateway.agronomy.practice import Practice
from gateway.agronomy.season import Season
from gateway.trial.clock import MovedClock
from gateway.trial.field import Eye, Field, ground_of
from gateway.trial.grower import Grower, calendar_for
from gateway.trial.paper import BlockPaper, Habit, Manner, PlotPaper, TrialPaper
from gateway.trial.scheme import LaidPlot

FALLBACK: Final = "en"
GROSS, NOISE_CM = 0.01, 1.0


@dataclass
class Rehearsed:
    """A grower with a habit. ``leaves_on``: the day they want no more texts, if ever."""

    grower: Grower
    habit: str
    number: Number
    leaves_on: date | None
    turns: tuple[WaterWindow, ...] | None
    left: bool = field(default=False)

    def water_comes(self, day: date) -> bool:
        """Whether water reaches the plot: by the turns told, or where none were told, at times."""
        if self.turns is None:
            return self.grower.rng.random() < self.grower.manner.looks
        return any(turn.from_ <= day <= turn.to for turn in self.turns)


def growers_of(
    unit: Unit,
    scheme: Scheme,
    paper: TrialPaper,
    practice: Practice,
    clock: MovedClock,
    first: date,
    rng: Random,
) -> list[Rehearsed]:
    """Everybody who farms a plot of the scheme and has a phone that reads it, by plot number."""
    cases = [case for case in unit.books.active_cases(scheme.id, clock.now()) if case.case.season]
    readers = unit.people.readers_of_plots([case.plot_id for case in cases])
    habits = _habits(readers, paper, first, rng)
    found = []
    for case in cases:
        phone = _phone(readers.get(case.plot_id, ()))
        if phone is not None:
            found.append(_rehearsed(case, phone, habits[phone.id], paper, practice, first, rng))
    return found


def _phone(phones: Sequence[Phone]) -> Phone | None:
    return next((phone for phone in phones if not phone.left), None)


def _habits(
    readers: Mapping[int, Sequence[Phone]], paper: TrialPaper, first: date, rng: Random
) -> dict[int, tuple[str, date | None]]:
    """A habit for each phone, and the day on which it leaves: who leaves leaves with all plots."""
    known = paper.rehearsal.habits
    weights = [habit.weight for habit in known.values()]
    phones = dict.fromkeys(phone.id for some in readers.values() for phone in some)
    found = {}
    for phone_id in phones:
        (name,) = rng.choices(list(known), weights)
        within = paper.rehearsal.leaves_within_days
        day = first + timedelta(days=rng.randrange(within)) if known[name].leaves else None
        found[phone_id] = (name, day)
    return found


def _rehearsed(
    found: PlotCase,
    phone: Phone,
    habit: tuple[str, date | None],
    paper: TrialPaper,
    practice: Practice,
    first: date,
    rng: Random,
) -> Rehearsed:
    case, (name, leaves_on) = found.case, habit
    assert case.season is not None
    laid = _laid(found, case.season, phone)
    starts = max(first, case.season.established_on)
    usual = paper.grounds.get(case.plot.soil or "") or next(iter(paper.grounds.values()))
    ground = ground_of(rng, usual.seepage_mm_d, usual.storage_mm_cm, paper.grounds_spread)
    grower = Grower(
        laid=laid,
        manner=_manner(paper.rehearsal.habits[name]),
        hand=paper.hands.get(phone.language) or paper.hands[FALLBACK],
        water=Field(ground, Random(rng.random()), level_cm=practice.water.flood_to_cm),
        eye=Eye(Random(rng.random()), NOISE_CM, GROSS),
        practice=practice,
        rng=Random(rng.random()),
        look_on=starts + timedelta(days=rng.randint(1, paper.history.first_look_days)),
        calendar=calendar_for(laid, practice),
        splits=case.season.nitrogen,
        tube_bottom_cm=case.plot.tube_bottom_cm or paper.tube.bottom_cm,
        looks_again=timedelta(days=paper.history.looks_again_days),
    )
    return Rehearsed(grower, name, phone.number, leaves_on, case.next_water)


def _laid(found: PlotCase, season: Season, phone: Phone) -> LaidPlot:
    """The plot as a grower of a trial knows it; nothing of it need stand anywhere on a day."""
    plot = found.case.plot
    paper = PlotPaper(stage="unknown", soil=plot.soil)
    block = BlockPaper("", "", 0.0, "unknown", plot.soil or "", "", "")
    return LaidPlot(plot.code, found.plot_id, paper, block, season, phone.number)


def _manner(habit: Habit) -> Manner:
    return Manner(weight=habit.weight, looks=habit.looks, tells=habit.tells, unclear=0.0)
