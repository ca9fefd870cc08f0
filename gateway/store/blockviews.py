"""Queries about blocks and the cards of their plots: plain rows, of one scheme only."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any, Final

from sqlalchemy import bindparam, case, exists, func, select

from gateway.advisory.blockviews import BlockLine, CardLine
from gateway.store.columns import storable
from gateway.store.tables.crop import event
from gateway.store.tables.places import block, grower, phone, plot, reader
from gateway.store.views import GROWER, THE_SCHEME
from gateway.store.work import Work

HAS_READER: Final = exists(
    select(reader.c.id)
    .join(phone, phone.c.id == reader.c.phone_id)
    .where(reader.c.plot_id == plot.c.id, phone.c.left_at.is_(None))
)
HAS_READING: Final = exists(
    select(event.c.id).where(event.c.plot_id == plot.c.id, event.c.kind == "reading")
)


def _share(condition: Any) -> Any:
    return func.coalesce(func.sum(case((condition, 1), else_=0)), 0)


BLOCKS: Final = (
    select(
        block.c.name,
        block.c.outlet,
        block.c.water_told,
        func.count(plot.c.id).label("plots"),
        _share(plot.c.rim_cm.is_not(None)).label("measured"),
        _share(HAS_READER).label("read"),
        _share(HAS_READING).label("told"),
    )
    .outerjoin(plot, plot.c.block_id == block.c.id)
    .where(block.c.scheme_id == THE_SCHEME)
    .group_by(block.c.id, block.c.name, block.c.outlet, block.c.water_told)
    .order_by(block.c.name)
)
# The phone that has read a plot the longest and has not left; the grower's own comes first then.
FIRST_READER: Final = (
    select(func.min(reader.c.id))
    .join(phone, phone.c.id == reader.c.phone_id)
    .where(reader.c.plot_id == plot.c.id, phone.c.left_at.is_(None))
    .scalar_subquery()
)
CARDS: Final = (
    select(
        plot.c.id,
        plot.c.code,
        block.c.name.label("block"),
        GROWER,
        phone.c.language,
        phone.c.letters,
    )
    .join(block, block.c.id == plot.c.block_id)
    .outerjoin(grower, grower.c.id == plot.c.grower_id)
    .outerjoin(reader, reader.c.id == FIRST_READER)
    .outerjoin(phone, phone.c.id == reader.c.phone_id)
    .where(plot.c.scheme_id == THE_SCHEME)
    .order_by(plot.c.code)
)
OF_BLOCK: Final = CARDS.where(block.c.name == bindparam("the_block"))
OF_PLOT: Final = CARDS.where(plot.c.code == bindparam("the_code"))


class SqlBlockViews:
    """The queries, each in a unit of its own that only reads."""

    def __init__(self, begin: Callable[[bool], AbstractContextManager[Work]]) -> None:
        self._begin = begin

    def blocks(self, scheme_id: int) -> list[BlockLine]:
        """Every block by name, those without a plot too."""
        with self._begin(False) as work:
            return [BlockLine(**row._mapping) for row in work.rows(BLOCKS, the_scheme=scheme_id)]

    def of_block(self, scheme_id: int, block: str) -> list[CardLine]:
        """The plots of a block by code; none where there is no such block."""
        return self._cards(OF_BLOCK, the_scheme=scheme_id, the_block=storable(block))

    def of_plot(self, scheme_id: int, code: str) -> list[CardLine]:
        """The plot of that code, or nothing."""
        return self._cards(OF_PLOT, the_scheme=scheme_id, the_code=storable(code))

    def _cards(self, statement: Any, **values: Any) -> list[CardLine]:
        with self._begin(False) as work:
            return [
                CardLine(row.id, row.code, row.block, row.grower, row.language, row.letters)
                for row in work.rows(statement, **values)
            ]
