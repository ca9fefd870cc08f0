"""What a text was understood to mean."""

from dataclasses import dataclass
from typing import Any, Literal

Outcome = Literal["accept", "ask", "reject"]
Kind = Literal[
    "flooded",
    "rain",
    "nitrogen",
    "weeds",
    "spray",
    "tall",
    "flowering",
    "no-water",
    "submerged",
    "snails",
    "green",
    "harvest",
    "wrong",
    "why",
    "advice-again",
    "more",
    "help",
    "leave",
    "return",
    "join",
    "language",
    "yes",
    "no",
    "done",
    "no-power",
    "broken",
    "outlet-open",
    "outlet-shut",
    "person",
]
Candidate = float | str


@dataclass(frozen=True, slots=True)
class Reading:
    """A level at a plot's tube (cm, signed), or a tube without water (``dry``, level None).

    ``on`` is None for the day the text came, "yesterday", a number of days back as "-2", or a date
    (YYYY-MM-DD where the year is known, else --MM-DD). ``supersedes``: it corrects an earlier one.
    """

    plot: str
    level_cm: float | None
    dry: bool = False
    on: str | None = None
    supersedes: bool = False


@dataclass(frozen=True, slots=True)
class Meaning:
    """Something else that the text says; ``value`` and ``unit`` where it has a number or word."""

    kind: Kind
    plot: str | None = None
    value: float | str | None = None
    unit: str | None = None
    on: str | None = None


@dataclass(frozen=True, slots=True)
class Ask:
    """What must be asked back: about what (sign, plot, number, rim, unit, order, ...).

    Candidates are levels in cm for a question about a number, plot codes for one about the plot;
    then ``level_cm`` or ``dry`` keep what was said of the level.
    """

    plot: str | None
    about: str
    candidates: tuple[Candidate, ...] = ()
    level_cm: float | None = None
    dry: bool = False


@dataclass(frozen=True, slots=True)
class Pending:
    """A question of ours that is still open for this phone."""

    plot: str | None
    candidates: tuple[Candidate, ...]
    about: str = "sign"
    level_cm: float | None = None
    dry: bool = False


@dataclass(frozen=True, slots=True)
class Sender:
    """What is known of the phone that wrote: its plots, habits and open question."""

    plots: tuple[str, ...]
    language: str = "en"
    reads: tuple[tuple[str, str], ...] = ()
    rim_cm: tuple[tuple[str, float], ...] = ()
    unsigned: Literal["ask", "below"] = "ask"
    pending: Pending | None = None


@dataclass(frozen=True, slots=True)
class Heard:
    """accept: all clear; ask: something must be asked; reject: nothing to store or answer."""

    outcome: Outcome
    readings: tuple[Reading, ...] = ()
    meanings: tuple[Meaning, ...] = ()
    ask: tuple[Ask, ...] = ()
    flags: tuple[str, ...] = ()
    why: str = ""

    def plain(self) -> dict[str, Any]:
        """The same as plain data, each part by the names of its fields."""
        parts = {name: getattr(self, name) for name in self.__slots__}
        for name in ("readings", "meanings", "ask"):
            parts[name] = [_plain(each) for each in parts[name]]
        return parts


def _plain(part: Reading | Meaning | Ask) -> dict[str, Any]:
    return {name: getattr(part, name) for name in part.__slots__}
