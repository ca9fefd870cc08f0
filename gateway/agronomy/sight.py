"""What was seen or set on the plot today, and whether it can be true."""

from dataclasses import dataclass, replace

from gateway.agronomy.book import Event
from gateway.agronomy.case import Case
from gateway.agronomy.order import in_order
from gateway.agronomy.practice import Practice


@dataclass(frozen=True, slots=True)
class Sight:
    """Today's reading and a flooding after it. ``level_cm`` is the bottom where the tube is dry.

    ``out_of_reach``: no tube could show it, or the office does not trust it.
    """

    reading: Event | None = None
    level_cm: float | None = None
    flooded: bool = False
    out_of_reach: bool = False


def tube_bottom(case: Case, practice: Practice) -> float:
    """The lowest level that the plot's tube can show, in cm."""
    bottom = case.plot.tube_bottom_cm
    return practice.forecast.tube_bottom_cm if bottom is None else bottom


def sight_of(case: Case, practice: Practice) -> Sight:
    """Today's sight. A reading comes before a flooding unless both carry their time."""
    today = in_order(e for e in case.events if e.on == case.as_of)
    read = [place for place, event in enumerate(today) if event.kind == "reading"]
    reading = today[read[-1]] if read else None
    flooded = bool(today) and today[-1].kind == "flooded"
    if reading is None:
        return Sight(flooded=flooded)
    level = tube_bottom(case, practice) if reading.dry else reading.level_cm
    return Sight(reading, level, flooded, not trusted(reading, case, practice))


def trusted(reading: Event, case: Case, practice: Practice) -> bool:
    """Whether a reading can be true and nobody has marked it as doubtful."""
    return not reading.doubtful and possible(reading, case, practice)


def possible(reading: Event, case: Case, practice: Practice) -> bool:
    """Whether a tube could show the reading; a dry tube always can."""
    level, water = reading.level_cm, practice.water
    if reading.dry or level is None:
        return True
    bottom = case.plot.tube_bottom_cm
    deepest = water.deepest_cm if bottom is None else bottom - water.below_tube_cm
    return deepest <= level <= water.highest_cm


def believable(case: Case, practice: Practice) -> Case:
    """The case without readings that no tube could show or that the office does not trust."""
    kept = tuple(e for e in case.events if e.kind != "reading" or trusted(e, case, practice))
    return case if len(kept) == len(case.events) else replace(case, events=kept)
