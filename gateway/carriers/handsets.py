"""The phones of the simulated link: what each of them shows."""

import threading
from dataclasses import dataclass
from datetime import datetime

from gateway.advisory.number import Number


@dataclass(frozen=True, slots=True)
class HandsetText:
    """A text as a phone shows it; ``mine`` True: the phone wrote it."""

    at: datetime
    text: str
    mine: bool
    parcel_id: int | None = None


class Handsets:
    """All phones by number, each with its texts in the order in which it got them. Thread-safe."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._threads: dict[Number, list[HandsetText]] = {}

    def show(self, number: Number, text: HandsetText) -> None:
        """Let a phone show one more text."""
        with self._lock:
            self._threads.setdefault(number, []).append(text)

    def thread(self, number: Number) -> tuple[HandsetText, ...]:
        """All texts on a phone, its own and ours."""
        with self._lock:
            return tuple(self._threads.get(number, ()))
