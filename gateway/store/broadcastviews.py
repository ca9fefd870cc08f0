"""Queries of the pages Broadcasts and Costs: plain rows, of one scheme only, numbers masked."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any, Final

from sqlalchemy import BindParameter, Row, bindparam, func, select

from gateway.advisory.broadcasts import BroadcastLine, ListLine, ReplyLine, topic_of
from gateway.advisory.budget import PlotCost, SpendLine
from gateway.advisory.number import hide_numbers
from gateway.store import spending
from gateway.store.broadcasts import broadcast_of
from gateway.store.numbers import open_number
from gateway.store.tables.many import broadcast, broadcast_phone
from gateway.store.tables.places import grower, phone, reader
from gateway.store.tables.traffic import outbox, text_in
from gateway.store.work import Work

THE_SCHEME: Final[BindParameter[Any]] = bindparam("the_scheme")
THE_TOPIC: Final[BindParameter[Any]] = bindparam("the_topic")
ALL: Final = (
    select(broadcast)
    .where(broadcast.c.scheme_id == THE_SCHEME)
    .order_by(broadcast.c.id.desc())
    .limit(bindparam("the_most"))
)
STATES: Final = (
    select(outbox.c.state, func.count().label("many"))
    .where(outbox.c.scheme_id == THE_SCHEME, outbox.c.topic == THE_TOPIC)
    .group_by(outbox.c.state)
)
ON_LIST: Final = (broadcast_phone.c.broadcast_id == bindparam("the_broadcast")) & (
    broadcast_phone.c.scheme_id == THE_SCHEME
)
MANY: Final = select(func.count()).select_from(broadcast_phone).where(ON_LIST)
LISTED: Final = (
    select(
        broadcast_phone.c.phone_id,
        broadcast_phone.c.form,
        broadcast_phone.c.plots,
        phone.c.number,
        outbox.c.state,
    )
    .select_from(
        broadcast_phone.join(phone, phone.c.id == broadcast_phone.c.phone_id).outerjoin(
            outbox,
            (outbox.c.phone_id == broadcast_phone.c.phone_id)
            & (outbox.c.scheme_id == broadcast_phone.c.scheme_id)
            & (outbox.c.topic == THE_TOPIC)
            & outbox.c.resend_of.is_(None),
        )
    )
    .where(ON_LIST)
    .order_by(broadcast_phone.c.phone_id)
    .limit(bindparam("the_size"))
    .offset(bindparam("the_start"))
)
GROWERS: Final = (
    select(reader.c.phone_id, grower.c.name)
    .join(grower, grower.c.id == reader.c.grower_id)
    .where(reader.c.phone_id.in_(bindparam("the_phones", expanding=True)))
    .distinct()
    .order_by(grower.c.name)
)
# Texts that came after the broadcast had left for that phone; its time is compared in Python, as
# the two databases reckon with times each in its own way.
REPLIES: Final = (
    select(
        text_in.c.phone_id,
        text_in.c.received_at,
        text_in.c.body,
        text_in.c.outcome,
        text_in.c.understood,
        phone.c.number,
        outbox.c.sent_at,
    )
    .select_from(
        outbox.join(text_in, text_in.c.phone_id == outbox.c.phone_id).join(
            phone, phone.c.id == outbox.c.phone_id
        )
    )
    .where(
        outbox.c.scheme_id == THE_SCHEME,
        outbox.c.topic == THE_TOPIC,
        outbox.c.resend_of.is_(None),
        text_in.c.received_at >= outbox.c.sent_at,
    )
    .order_by(text_in.c.id.desc())
)


class SqlBroadcastViews:
    """Queries of the pages, each in a unit of its own that only reads."""

    def __init__(self, begin: Callable[[bool], AbstractContextManager[Work]]) -> None:
        self._begin = begin

    def broadcasts(self, scheme_id: int, most: int) -> list[BroadcastLine]:
        """The newest first."""
        with self._begin(False) as work:
            rows = work.rows(ALL, the_scheme=scheme_id, the_most=most)
            return [
                BroadcastLine(broadcast_of(row), _states(work, scheme_id, row.id)) for row in rows
            ]

    def states(self, scheme_id: int, broadcast_id: int) -> dict[str, int]:
        """How many of its texts stand where."""
        with self._begin(False) as work:
            return _states(work, scheme_id, broadcast_id)

    def listed(
        self, scheme_id: int, broadcast_id: int, page: int, size: int
    ) -> tuple[list[ListLine], int]:
        """One page of its list, and how many stand on all of it."""
        asked: dict[str, Any] = {"the_scheme": scheme_id, "the_broadcast": broadcast_id}
        cut = {"the_size": size, "the_start": (page - 1) * size}
        with self._begin(False) as work:
            total = work.number(MANY, **asked)
            rows = work.rows(LISTED, **asked, **cut, the_topic=topic_of(broadcast_id))
            growers = _growers(work, rows)
            lines = [
                ListLine(
                    open_number(row.number, work.keys).masked,
                    growers[row.phone_id],
                    tuple(row.plots),
                    row.form,
                    row.state,
                )
                for row in rows
            ]
        return lines, total

    def replies(
        self, scheme_id: int, broadcast_id: int, within: timedelta, most: int
    ) -> tuple[list[ReplyLine], dict[str, int]]:
        """Texts from its phones after it left for them, the newest first, and all by outcome."""
        with self._begin(False) as work:
            asked = {"the_scheme": scheme_id, "the_topic": topic_of(broadcast_id)}
            rows = [r for r in work.rows(REPLIES, **asked) if r.received_at - r.sent_at <= within]
            growers = _growers(work, rows[:most])
            lines = [_reply(row, growers[row.phone_id], work) for row in rows[:most]]
        counts: dict[str, int] = defaultdict(int)
        for row in rows:
            counts[row.outcome or "failed"] += 1
        return lines, dict(counts)

    # -- costs ------------------------------------------------------------------------------------

    def months(self, scheme_id: int, most: int) -> list[SpendLine]:
        """The newest months first."""
        with self._begin(False) as work:
            return spending.months(work, scheme_id, most)

    def plot_costs(self, scheme_id: int, page: int, size: int) -> tuple[list[PlotCost], int]:
        """One page of plots by code, and how many there are."""
        with self._begin(False) as work:
            return spending.plot_costs(work, scheme_id, page, size)


def _states(work: Work, scheme_id: int, broadcast_id: int) -> dict[str, int]:
    rows = work.rows(STATES, the_scheme=scheme_id, the_topic=topic_of(broadcast_id))
    return {row.state: row.many for row in rows}


def _growers(work: Work, rows: Sequence[Row[Any]]) -> defaultdict[int, tuple[str, ...]]:
    found: defaultdict[int, tuple[str, ...]] = defaultdict(tuple)
    for row in work.rows(GROWERS, the_phones=sorted({row.phone_id for row in rows})):
        found[row.phone_id] += (row.name,)
    return found


def _reply(row: Row[Any], growers: tuple[str, ...], work: Work) -> ReplyLine:
    return ReplyLine(
        row.received_at,
        growers,
        open_number(row.number, work.keys).masked,
        hide_numbers(row.body),
        row.outcome,
        hide_numbers(row.understood),
    )
