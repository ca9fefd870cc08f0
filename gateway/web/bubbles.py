"""A phone's thread as the phone would show it: what it wrote, and what reached it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from gateway.advisory.parcels import State
from gateway.advisory.views import LogLine, SentLine
from gateway.web.words import state_word

ARRIVED = (State.DELIVERED, State.HANDED_OVER)


@dataclass(frozen=True, slots=True)
class Bubble:
    """One text; ``mine`` when the phone wrote it. ``note``: why it is not on the phone (yet)."""

    key: str
    at: datetime
    mine: bool
    text: str
    note: str = ""


def bubbles_of(lines: Sequence[LogLine]) -> list[Bubble]:
    """All texts of the lines, oldest first."""
    return sorted(_bubbles(lines), key=lambda bubble: bubble.at)


def _bubbles(lines: Sequence[LogLine]) -> Iterator[Bubble]:
    for line in lines:
        if line.body is not None:
            yield Bubble(f"in-{line.text_id}", line.at, True, line.body)
        for sent in line.sent:
            yield Bubble(f"out-{sent.parcel_id}", sent.state_at, False, sent.text, _note(sent))


def _note(sent: SentLine) -> str:
    return (
        "" if sent.state in ARRIVED else f"not on this phone: {state_word(sent.state, sent.words)}"
    )
