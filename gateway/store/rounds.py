"""The rounds of the calendar: which part of the plots whoever ticks goes through next."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any, Final

from sqlalchemy import bindparam, delete, exists, func, literal, or_, select, update

from gateway.advisory.rounds import Part, Seen
from gateway.store.columns import Utc
from gateway.store.tables.crop import event, season
from gateway.store.tables.office import calendar_seen, round_part
from gateway.store.tables.places import plot
from gateway.store.work import Repository, added_once

PART: Final = 500
"""Plots in a part: little enough that a part takes seconds."""
OVERLAP: Final = 200
"""Rows looked at once more: a transaction that began earlier may commit later."""

NOW: Final = bindparam("now", type_=Utc())
THE_ROUND: Final = (
    round_part.c.scheme_id == bindparam("the_scheme"),
    round_part.c.round_at == bindparam("the_round", type_=Utc()),
)
IS_OPEN: Final = select(literal(1)).where(exists(select(round_part.c.id).where(*THE_ROUND)))
SPAN: Final = select(func.min(plot.c.id).label("low"), func.max(plot.c.id).label("high")).where(
    plot.c.scheme_id == bindparam("the_scheme")
)
OPEN: Final = added_once(round_part, "scheme_id", "round_at", "part")
FORGET: Final = delete(round_part).where(
    round_part.c.scheme_id == bindparam("the_scheme"),
    round_part.c.round_at < bindparam("the_round", type_=Utc()),
)
NEXT: Final = (
    select(round_part)
    .where(
        *THE_ROUND,
        round_part.c.done_at.is_(None),
        or_(round_part.c.lease_until.is_(None), round_part.c.lease_until <= NOW),
    )
    .order_by(round_part.c.part)
    .limit(1)
    .with_for_update(skip_locked=True)
)
LEASE: Final = (
    update(round_part)
    .where(round_part.c.id == bindparam("the_part"))
    .values(lease_until=bindparam("the_lease", type_=Utc()))
)
DONE: Final = update(round_part).where(round_part.c.id == bindparam("the_part")).values(done_at=NOW)
PLOTS: Final = (
    select(plot.c.id)
    .where(
        plot.c.scheme_id == bindparam("the_scheme"),
        plot.c.id >= bindparam("low"),
        plot.c.id < bindparam("high"),
        exists(select(season.c.id).where(season.c.plot_id == plot.c.id)),
    )
    .order_by(plot.c.id)
)
SEEN: Final = select(calendar_seen).where(calendar_seen.c.scheme_id == bindparam("the_scheme"))
BEGIN_SEEN: Final = added_once(calendar_seen, "scheme_id")
MOVE_SEEN: Final = (
    update(calendar_seen)
    .where(calendar_seen.c.scheme_id == bindparam("the_scheme"))
    .values(event_id=bindparam("the_event"), season_id=bindparam("the_season"))
)
LAST_EVENT: Final = select(func.coalesce(func.max(event.c.id), 0))
LAST_SEASON: Final = select(func.coalesce(func.max(season.c.id), 0))
STIRRED: Final = (
    select(event.c.id, event.c.plot_id)
    .where(event.c.id > bindparam("after"), event.c.scheme_id == bindparam("the_scheme"))
    .order_by(event.c.id)
    .limit(bindparam("the_most"))
)
SOWN: Final = (
    select(season.c.id, season.c.plot_id)
    .where(season.c.id > bindparam("after"), season.c.scheme_id == bindparam("the_scheme"))
    .order_by(season.c.id)
    .limit(bindparam("the_most"))
)


class SqlRounds(Repository):
    """Rounds in parts, each held by one process at a time, and what was seen between them."""

    def open(self, scheme_id: int, at: datetime) -> None:
        """Open a round, once; older ones are forgotten."""
        asked = {"the_scheme": scheme_id, "the_round": at}
        if self.work.row(IS_OPEN, **asked) is not None:
            return
        span = self.work.row(SPAN, the_scheme=scheme_id)
        if span is None or span.low is None:
            return
        self.work.run(FORGET, **asked)
        for part in range(span.low // PART, span.high // PART + 1):
            self.work.number_or_none(OPEN, scheme_id=scheme_id, round_at=at, part=part)

    def take(self, scheme_id: int, at: datetime, now: datetime, lease: timedelta) -> Part | None:
        """The next part that nobody has done or holds, now held under a lease; None: all done."""
        row = self.work.row(NEXT, the_scheme=scheme_id, the_round=at, now=now)
        if row is None:
            return None
        self.work.run(LEASE, the_part=row.id, the_lease=now + lease)
        low = row.part * PART
        plots = self.work.rows(PLOTS, the_scheme=scheme_id, low=low, high=low + PART)
        return Part(row.id, tuple(each.id for each in plots))

    def done(self, part_id: int, now: datetime) -> None:
        """The part has been gone through."""
        self.work.run(DONE, the_part=part_id, now=now)

    def seen(self, scheme_id: int) -> Seen:
        """How far the books and seasons were looked at; all of what there is, the first time."""
        row = self.work.row(SEEN, the_scheme=scheme_id)
        if row is not None:
            return Seen(row.event_id, row.season_id)
        newest = Seen(self.work.number(LAST_EVENT), self.work.number(LAST_SEASON))
        values = {"event_id": newest.event_id, "season_id": newest.season_id}
        self.work.number_or_none(BEGIN_SEEN, scheme_id=scheme_id, **values)
        return newest

    def stirred(self, scheme_id: int, since: Seen) -> tuple[tuple[int, ...], Seen]:
        """Plots of which something became known since then, and how far that goes."""
        events = self._rows(STIRRED, scheme_id, since.event_id - OVERLAP)
        seasons = self._rows(SOWN, scheme_id, since.season_id - OVERLAP)
        fresh = [row for row in events if row.id > since.event_id]
        sown = [row for row in seasons if row.id > since.season_id]
        if not fresh and not sown:
            return (), since
        plots = {row.plot_id for row in (*events, *seasons)}
        upto = Seen(
            max((row.id for row in fresh), default=since.event_id),
            max((row.id for row in sown), default=since.season_id),
        )
        return tuple(sorted(plots)), upto

    def see(self, scheme_id: int, upto: Seen) -> None:
        """Note how far was looked."""
        asked = {"the_event": upto.event_id, "the_season": upto.season_id}
        self.work.run(MOVE_SEEN, the_scheme=scheme_id, **asked)

    def _rows(self, statement: Any, scheme_id: int, after: int) -> Sequence[Any]:
        return self.work.rows(statement, the_scheme=scheme_id, after=after, the_most=PART + OVERLAP)
