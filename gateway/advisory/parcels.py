"""The outbox: a text on its way out, and the one table of the states it may go through."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Final

from gateway.advisory.errors import ForbiddenMove
from gateway.advisory.number import Number


class State(StrEnum):
    """Where a text out is."""

    WAITING = "waiting"
    HELD = "held"
    CLAIMED = "claimed"
    HANDED_OVER = "handed over"
    IN_DOUBT = "in doubt"
    DELIVERED = "delivered"
    UNDELIVERABLE = "undeliverable"
    EXPIRED = "expired"
    WITHDRAWN = "withdrawn"


NOT_SENT, NO_RECEIPT = "not sent in time", "no receipt came"
"""Why the office itself gave a text up: before it was handed over, or after."""

W, H, C, O, D = State.WAITING, State.HELD, State.CLAIMED, State.HANDED_OVER, State.IN_DOUBT  # noqa: E741

# A late "delivered" is evidence and may replace any other end, but not a withdrawal.
MOVES: Final[frozenset[tuple[State, State]]] = frozenset(
    {
        (W, H),
        (H, W),
        (W, C),
        (C, W),
        (C, O),
        (C, D),
        (O, State.DELIVERED),
        (O, State.UNDELIVERABLE),
        (O, State.EXPIRED),
        (D, State.DELIVERED),
        (D, State.UNDELIVERABLE),
        (D, State.EXPIRED),
        (W, State.WITHDRAWN),
        (H, State.WITHDRAWN),
        (W, State.EXPIRED),
        (H, State.EXPIRED),
        (State.UNDELIVERABLE, State.DELIVERED),
        (State.EXPIRED, State.DELIVERED),
    }
)


def check_move(state: State, to: State) -> None:
    """Raise ForbiddenMove where the table has no way from ``state`` to ``to``."""
    if (state, to) not in MOVES:
        raise ForbiddenMove(state, to)


@dataclass(frozen=True, slots=True)
class NewParcel:
    """A text to be put in the outbox. ``kind`` is answer, question, notice, duty or broadcast.

    ``safety`` marks crop safety, ``asks`` a text that wants an answer. ``key`` makes it unique in
    its scheme (a duty's text to a phone): a second one with the same key is not put.
    ``not_before`` and ``valid_until`` bound its sending.
    """

    scheme_id: int
    phone_id: int
    carrier: str
    text: str
    language: str
    kind: str
    not_before: datetime
    valid_until: datetime
    topic: str = ""
    safety: bool = False
    asks: bool = False
    plot_id: int | None = None
    in_reply_to: int | None = None
    advice_id: int | None = None
    duty_id: int | None = None
    resend_of: int | None = None
    key: str | None = None


@dataclass(frozen=True, slots=True)
class Parcel:
    """A text in the outbox, as the dispatcher and the carrier see it. Times are UTC."""

    id: int
    scheme_id: int
    phone_id: int
    to: Number
    carrier: str
    text: str
    language: str
    kind: str
    state: State
    not_before: datetime
    valid_until: datetime
    safety: bool = False
    asks: bool = False
    attempts: int = 0
    lease_until: datetime | None = None
    carrier_reference: str | None = None
    resend_of: int | None = None
    in_reply_to: int | None = None
    advice_id: int | None = None
    duty_id: int | None = None
    plot_id: int | None = None
    phone_left: bool = False
    zone: str = "UTC"
    topic: str = ""
