"""What is said of one level, and how the phone that says it measures."""

from dataclasses import dataclass

from gateway.messages.items import Item


@dataclass(frozen=True, slots=True)
class Habit:
    """How a phone measures a plot, and how far from the soil a level can lie (cm, signed)."""

    reads: str | None
    rim_cm: float | None
    unsigned_below: bool
    deepest_cm: float
    highest_cm: float


@dataclass(slots=True)
class Said:
    """One level, or a dry tube, or (``about`` set) what must be asked and the levels it may be."""

    level_cm: float | None = None
    dry: bool = False
    about: str | None = None
    candidates: tuple[float, ...] = ()
    at: int = 0
    clause: int = 0
    supersedes: bool = False
    flags: tuple[str, ...] = ()
    day: Item | None = None
