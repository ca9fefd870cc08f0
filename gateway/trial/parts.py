"""What a trial needs of a house, handed in by the composition, and what it hands back."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from gateway.advisory.number import Number
from gateway.advisory.papers import Papers
from gateway.advisory.ports import Store
from gateway.carriers.simulator import Simulator
from gateway.trial.clock import MovedClock
from gateway.trial.paper import TrialPaper, Try


@dataclass(frozen=True, slots=True)
class Parts:
    """A house on a moving clock. Its simulator already calls its receive and its settle.

    ``listen`` takes a function that is to be called when something was put in the outbox.
    """

    store: Store
    clock: MovedClock
    papers: Papers
    simulator: Simulator
    dispatch: Callable[[], int]
    owe: Callable[[], int]
    listen: Callable[[Callable[[], None]], None]
    paper: TrialPaper


@dataclass(frozen=True, slots=True)
class Hint:
    """What to text from which phone, and what must come of it."""

    number: Number
    tried: Try

    def __str__(self) -> str:
        return f"from {self.number.reveal()} text  {self.tried.text:<14} -> {self.tried.comes}"


@dataclass(frozen=True, slots=True)
class TrialHints:
    """A trial that was made: how much stands in it, and what to try."""

    scheme: str
    today: date
    plots: int
    texts: int
    hints: tuple[Hint, ...]
