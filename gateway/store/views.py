"""Queries of the console: plain rows, of one scheme only, no number in full."""

from collections import defaultdict
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import BindParameter, bindparam, func, select

from gateway.advisory.views import (
    Handset,
    LogFilter,
    LogLine,
    LogPage,
    PlotLine,
    UnreadableLine,
)
from gateway.agronomy.quality import Look
from gateway.store.looks import looks_of_readers
from gateway.store.numbers import open_number
from gateway.store.replylog import reply_log
from gateway.store.tables.people import outlet_keeper
from gateway.store.tables.places import block, grower, phone, plot, reader
from gateway.store.tables.traffic import advice, outbox, text_in, unreadable
from gateway.store.work import Work

THE_SCHEME: Final[BindParameter[Any]] = bindparam("the_scheme")
reading_for = grower.alias("reading_for")
# The grower of a plot, or where none is named, one for whom it is read.
READ_FOR: Final = (
    select(func.min(reading_for.c.name))
    .join(reader, reader.c.grower_id == reading_for.c.id)
    .where(reader.c.plot_id == plot.c.id)
    .scalar_subquery()
)
GROWER: Final = func.coalesce(grower.c.name, READ_FOR, "").label("grower")
newer = advice.alias("newer")
NEWEST_ADVICE: Final = (
    select(func.max(newer.c.id)).where(newer.c.plot_id == plot.c.id).scalar_subquery()
)
PLOTS: Final = (
    select(
        plot.c.id,
        plot.c.code,
        block.c.name.label("block"),
        GROWER,
        advice.c.stage,
        advice.c.action,
        advice.c.level_cm,
        advice.c.next_reading_on,
        advice.c.as_of,
        advice.c.advice["reasons"].label("reasons"),
    )
    .join(block, block.c.id == plot.c.block_id)
    .outerjoin(grower, grower.c.id == plot.c.grower_id)
    .outerjoin(advice, advice.c.id == NEWEST_ADVICE)
    .where(plot.c.scheme_id == THE_SCHEME)
    .order_by(plot.c.code)
)
TITLE: Final = (
    select(plot.c.id, block.c.name.label("block"), GROWER)
    .join(block, block.c.id == plot.c.block_id)
    .outerjoin(grower, grower.c.id == plot.c.grower_id)
    .where(plot.c.scheme_id == THE_SCHEME, plot.c.code == bindparam("the_code"))
)
READERS: Final = (
    select(phone.c.number)
    .join(reader, reader.c.phone_id == phone.c.id)
    .where(reader.c.plot_id == bindparam("the_plot"))
    .order_by(phone.c.id)
)
HANDSETS: Final = (
    select(
        phone.c.id,
        phone.c.number,
        phone.c.language,
        phone.c.left_at,
        grower.c.name.label("grower"),
        plot.c.code,
        outlet_keeper.c.name.label("keeper"),
    )
    .outerjoin(reader, reader.c.phone_id == phone.c.id)
    .outerjoin(grower, grower.c.id == reader.c.grower_id)
    .outerjoin(plot, plot.c.id == reader.c.plot_id)
    .outerjoin(outlet_keeper, outlet_keeper.c.phone_id == phone.c.id)
    .where(phone.c.scheme_id == THE_SCHEME)
    .order_by(plot.c.code, phone.c.id)
)
UNREADABLE: Final = select(unreadable).order_by(unreadable.c.id.desc()).limit(bindparam("the_most"))
CAME: Final = (
    select(func.coalesce(text_in.c.outcome, "unsettled").label("how"), func.count().label("many"))
    .where(text_in.c.scheme_id == THE_SCHEME, text_in.c.received_at >= bindparam("since"))
    .group_by(text_in.c.outcome)
)
WENT: Final = (
    select(outbox.c.state.label("how"), func.count().label("many"))
    .where(outbox.c.scheme_id == THE_SCHEME, outbox.c.created_at >= bindparam("since"))
    .group_by(outbox.c.state)
)


class SqlViews:
    """The console's queries, each in a unit of its own that only reads."""

    def __init__(self, begin: Callable[[bool], AbstractContextManager[Work]]) -> None:
        self._begin = begin

    def reply_log(self, scheme_id: int, wanted: LogFilter, page: int, size: int) -> LogPage:
        """One page of ``size`` lines, newest first. A page past the end is the last one."""
        with self._begin(False) as work:
            return reply_log(work, scheme_id, wanted, page, size)

    def thread(self, scheme_id: int, phone_id: int, limit: int) -> list[LogLine]:
        """The newest lines of one phone, oldest first."""
        with self._begin(False) as work:
            found = reply_log(work, scheme_id, LogFilter(), 1, limit, phone_id=phone_id)
        return list(reversed(found.lines))

    def plots(self, scheme_id: int) -> list[PlotLine]:
        """Every plot by code, with its newest advice."""
        with self._begin(False) as work:
            return [_plot_line(row) for row in work.rows(PLOTS, the_scheme=scheme_id)]

    def plot_title(self, scheme_id: int, code: str) -> tuple[int, str, str, tuple[str, ...]]:
        """Plot id, block, grower and masked phones of its readers. Raises NotOnRecord."""
        with self._begin(False) as work:
            row = work.need("plot", code, TITLE, the_scheme=scheme_id, the_code=code)
            phones = work.rows(READERS, the_plot=row.id)
            masks = tuple(open_number(each.number, work.keys).masked for each in phones)
            return row.id, row.block, row.grower, masks

    def looks_of_readers(self, plot_id: int, since: date) -> list[list[Look]]:
        """What each reader of a plot reported since a day, of this plot and of others."""
        with self._begin(False) as work:
            return looks_of_readers(work, plot_id, since)

    def handsets(self, scheme_id: int) -> list[Handset]:
        """All phones, by grower or keeper and first plot; those of nobody on record come last."""
        with self._begin(False) as work:
            rows = work.rows(HANDSETS, the_scheme=scheme_id)
            by_phone: dict[int, list[Any]] = defaultdict(list)
            for row in rows:
                by_phone[row.id].append(row)
            found = [_handset(rows, work) for rows in by_phone.values()]
        return sorted(found, key=lambda one: (not one.grower, one.grower, one.plots, one.phone_id))

    def unreadable(self, limit: int) -> list[UnreadableLine]:
        """The newest callbacks that could not be read, newest first."""
        with self._begin(False) as work:
            return [
                UnreadableLine(row.id, row.at, row.carrier, row.cause, row.size)
                for row in work.rows(UNREADABLE, the_most=limit)
            ]

    def counts(self, scheme_id: int, since: datetime) -> dict[str, int]:
        """Texts in and out since then: ``in accept``, ``in unsettled``, ``out delivered``, ..."""
        with self._begin(False) as work:
            came = work.rows(CAME, the_scheme=scheme_id, since=since)
            went = work.rows(WENT, the_scheme=scheme_id, since=since)
        counted = {f"in {row.how}": int(row.many) for row in came}
        return counted | {f"out {row.how}": int(row.many) for row in went}


def _plot_line(row: Any) -> PlotLine:
    return PlotLine(
        row.id,
        row.code,
        row.block,
        row.grower,
        row.stage,
        row.action,
        row.level_cm,
        row.next_reading_on and row.next_reading_on.isoformat(),
        row.as_of,
        tuple(row.reasons or ()),
    )


def _handset(rows: list[Any], work: Work) -> Handset:
    first = rows[0]
    return Handset(
        first.id,
        ", ".join(sorted({row.grower or row.keeper for row in rows} - {None})),
        open_number(first.number, work.keys).masked,
        tuple(dict.fromkeys(row.code for row in rows if row.code)),
        first.language,
        left=first.left_at is not None,
    )
