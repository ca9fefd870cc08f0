"""Queries about the phones that read plots: plain rows, of one scheme only, no number in full."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from typing import Any, Final

from sqlalchemy import bindparam, exists, func, select

from gateway.advisory.readerviews import ReaderLine, ReaderPage
from gateway.store.columns import storable
from gateway.store.numbers import open_number
from gateway.store.tables.places import block, grower, phone, plot, reader
from gateway.store.tables.traffic import text_in
from gateway.store.views import THE_SCHEME
from gateway.store.work import Work

newer = text_in.alias("newer")
LAST_TEXT: Final = (
    select(func.max(newer.c.id)).where(newer.c.phone_id == phone.c.id).scalar_subquery()
)
READS_ANY: Final = exists(select(reader.c.id).where(reader.c.phone_id == phone.c.id))
READS_THERE: Final = exists(
    select(reader.c.id)
    .join(plot, plot.c.id == reader.c.plot_id)
    .join(block, block.c.id == plot.c.block_id)
    .where(reader.c.phone_id == phone.c.id, block.c.name == bindparam("the_block"))
)
COUNT: Final = select(func.count()).select_from(phone).where(phone.c.scheme_id == THE_SCHEME)
PHONES: Final = (
    select(
        phone.c.id,
        phone.c.number,
        phone.c.language,
        phone.c.letters,
        phone.c.left_at,
        text_in.c.received_at,
    )
    .select_from(phone.outerjoin(text_in, text_in.c.id == LAST_TEXT))
    .where(phone.c.scheme_id == THE_SCHEME)
    .order_by(text_in.c.received_at.asc().nulls_first(), phone.c.id)
    .limit(bindparam("the_most"))
    .offset(bindparam("the_first"))
)
READ_BY: Final = (
    select(reader.c.phone_id, plot.c.code, grower.c.name)
    .join(plot, plot.c.id == reader.c.plot_id)
    .join(grower, grower.c.id == reader.c.grower_id)
    .where(reader.c.phone_id.in_(bindparam("the_phones", expanding=True)))
    .order_by(plot.c.code)
)


class SqlReaderViews:
    """The queries, each in a unit of its own that only reads."""

    def __init__(self, begin: Callable[[bool], AbstractContextManager[Work]]) -> None:
        self._begin = begin

    def readers(self, scheme_id: int, block: str | None, page: int, size: int) -> ReaderPage:
        """Phones that read a plot of the block (None: any), the longest silent first."""
        among = READS_ANY if block is None else READS_THERE
        named = {} if block is None else {"the_block": storable(block)}
        with self._begin(False) as work:
            total = work.number(COUNT.where(among), the_scheme=scheme_id, **named)
            pages = max(1, -(-total // size))
            page = min(page, pages)
            rows = work.rows(
                PHONES.where(among),
                the_scheme=scheme_id,
                the_most=size,
                the_first=(page - 1) * size,
                **named,
            )
            return ReaderPage(tuple(_lines(work, rows)), page, pages, total)


def _lines(work: Work, rows: Sequence[Any]) -> list[ReaderLine]:
    read: dict[int, list[Any]] = defaultdict(list)
    for row in work.rows(READ_BY, the_phones=[row.id for row in rows]) if rows else ():
        read[row.phone_id].append(row)
    return [
        ReaderLine(
            open_number(row.number, work.keys).masked,
            tuple(dict.fromkeys(each.name for each in read[row.id])),
            tuple(each.code for each in read[row.id]),
            row.language,
            row.letters,
            row.left_at,
            row.received_at,
        )
        for row in rows
    ]
