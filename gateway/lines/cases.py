"""Cases between JSON and the agronomy room's values, and the checks that need the rule book."""

from datetime import date, time
from typing import Any

from gateway.agronomy.beliefs import is_proper
from gateway.agronomy.book import Event
from gateway.agronomy.case import Case, WaterWindow, WeatherDay
from gateway.agronomy.habit import Belief
from gateway.agronomy.plot import Plot, ThresholdRaised
from gateway.agronomy.practice import WaterPractice, soil_name
from gateway.agronomy.rules import RuleBook
from gateway.agronomy.season import Approval, Season, Split
from gateway.lines.casemodels import (
    AdviseLine,
    AnyEvent,
    HabitPart,
    PlotPart,
    SeasonPart,
    SettingLine,
    WindowPart,
)
from gateway.lines.mistakes import read_json
from gateway.lines.pipe import LineError

FLAGS = ("dry", "doubtful", "by_block")
OPEN_FLAGS = (*FLAGS, "uneven")  # false is the same as not said


def case_from_json(text: str, book: RuleBook) -> Case:
    """The case of a JSON text. Raises LineError with the key at fault and its cure."""
    line = read_json(AdviseLine, text)
    case = Case(
        as_of=line.as_of,
        plot=_plot(line.plot, line.profile),
        season=_season(line.season) if line.season else None,
        events=tuple(_event(each) for each in line.events or ()),
        weather=tuple(WeatherDay(**each.model_dump()) for each in line.weather or ()),
        next_water=None if line.next_water is None else tuple(_window(w) for w in line.next_water),
        habit=_habit(line.habit) if line.habit else None,
    )
    check_plot(case.plot, book)
    return case


def _window(told: WindowPart) -> WaterWindow:
    starts, ends = (time.fromisoformat(at) if at else None for at in (told.starts, told.ends))
    return WaterWindow(told.from_, told.to, told.sure, starts, ends)


def setting_from_json(text: str) -> tuple[Plot, Season | None]:
    """Plot and season as ``setting_to_json`` wrote them. Raises LineError."""
    line = read_json(SettingLine, text)
    return _plot(line.plot), _season(line.season) if line.season else None


def case_to_json(case: Case) -> dict[str, Any]:
    """The case as the contract's JSON; what is not known is left out."""
    return {
        "as_of": case.as_of.isoformat(),
        **setting_to_json(case.plot, case.season),
        "events": [_plain(event) for event in case.events],
        "weather": [_plain(day) for day in case.weather],
        **({} if case.next_water is None else {"next_water": [_plain(w) for w in case.next_water]}),
        **({} if case.habit is None else {"habit": _plain(case.habit)}),
    }


def setting_to_json(plot: Plot, season: Season | None) -> dict[str, Any]:
    """Plot and season alone, as kept beside an advice."""
    return {"plot": _plain(plot)} | ({"season": _plain(season)} if season else {})


def check_plot(plot: Plot, book: RuleBook) -> None:
    """Raises LineError where the plot contradicts the practice: threshold, tube, bars, profile."""
    practice = book.practice_of(plot.profile)
    if plot.profile is not None and plot.profile not in book.practices:
        raise LineError(
            f"plot.profile: need one of {', '.join(sorted(book.practices))}, got {plot.profile!r}"
        )
    for bar in sorted((plot.bars or frozenset()) - set(practice.bars)):
        raise LineError(f"plot.bars: need names of {', '.join(practice.bars)}, got {bar!r}")
    bottom = (
        practice.forecast.tube_bottom_cm if plot.tube_bottom_cm is None else plot.tube_bottom_cm
    )
    if bottom >= 0:
        raise LineError(
            f"plot.tube_bottom_cm: the bottom lies below the surface; write {-bottom or -20.0:g}"
        )
    _check_threshold(plot, bottom, practice.water)


def _check_threshold(plot: Plot, bottom: float, water: WaterPractice) -> None:
    level, usual = plot.threshold_cm, water.threshold_cm
    if level is None:
        return
    if level > 0:
        raise LineError(
            f"plot.threshold_cm: levels below the surface are negative; write {-level:g} for "
            f"{level:g} cm below"
        )
    if level < bottom:
        raise LineError(
            f"plot.threshold_cm: {level:g} lies deeper than the tube's bottom at {bottom:g}; "
            "need a level that the tube can show, or a longer tube in tube_bottom_cm"
        )
    if level < usual and plot.threshold_raised is None:
        raise LineError(
            f"plot.threshold_cm: {level:g} is deeper than {usual:g}; need threshold_raised with "
            "by, on and reason, or a level no deeper"
        )
    _check_step(level, plot.threshold_raised, water.raise_step_cm)


def _check_step(level: float, raised: ThresholdRaised | None, step: float) -> None:
    """A threshold goes deeper by one step a season."""
    if raised is None or raised.from_cm is None or level >= raised.from_cm - step:
        return
    raise LineError(
        f"plot.threshold_cm: from {raised.from_cm:g} one season may go {step:g} cm deeper; "
        f"need {raised.from_cm - step:g} or a level no deeper"
    )


def _plot(part: PlotPart, profile: str | None = None) -> Plot:
    raised = part.threshold_raised
    values = part.model_dump(exclude={"threshold_raised", "bars", "soil", "profile"})
    return Plot(
        **values,
        soil=soil_name(part.soil) if part.soil and part.soil.strip() else None,
        threshold_raised=ThresholdRaised(raised.by, raised.on, raised.reason, raised.from_cm)
        if raised
        else None,
        bars=None if part.bars is None else frozenset(part.bars),
        profile=part.profile or profile,
    )


def _habit(part: HabitPart) -> Belief:
    habit = Belief(tuple(part.mean), tuple(part.covariance))
    if not is_proper(habit):
        raise LineError("habit.covariance: need a symmetric matrix without a negative variance")
    return habit


def _season(part: SeasonPart) -> Season:
    splits = tuple(Split(**split.model_dump()) for split in part.nitrogen or ())
    values = part.model_dump(exclude={"nitrogen", "uneven", "nitrogen_approved"})
    approved = part.nitrogen_approved
    return Season(
        **values,
        nitrogen=splits,
        uneven=bool(part.uneven),
        nitrogen_approved=Approval(**approved.model_dump()) if approved else None,
    )


def _event(part: AnyEvent) -> Event:
    values = part.model_dump(exclude={"at", *FLAGS})
    values |= {name: bool(getattr(part, name, False)) for name in FLAGS}
    return Event(**values, at=time.fromisoformat(part.at) if part.at else None)


def _plain(value: Any) -> Any:
    """A frozen value as JSON: keys without ``None``, ``from_`` as from, days and times as text."""
    if isinstance(value, time):
        return value.strftime("%H:%M")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (frozenset, set)):
        return sorted(value)
    if isinstance(value, (tuple, list)):
        return [_plain(each) for each in value]
    if not hasattr(value, "__dataclass_fields__"):
        return value
    pairs = ((name, getattr(value, name)) for name in value.__dataclass_fields__)
    return {
        name.rstrip("_"): _plain(each)
        for name, each in pairs
        if each is not None and not (name in OPEN_FLAGS and each is False)
    }
