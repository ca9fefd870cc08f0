"""Facts told of whole blocks: what each wrote, so that one undo takes all of it back."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import Row, bindparam, func, insert, select, update

from gateway.advisory.mending import BlockPlot, FactLine, FactRow
from gateway.store.columns import Utc
from gateway.store.tables.crop import season
from gateway.store.tables.mending import block_fact, block_fact_row
from gateway.store.tables.places import block, plot
from gateway.store.work import Repository, added

ADD: Final = added(block_fact)
NOTE: Final = insert(block_fact_row)
ROWS: Final = (
    select(block_fact_row)
    .where(block_fact_row.c.fact_id == bindparam("the_fact"))
    .order_by(block_fact_row.c.id)
)
PLOTS: Final = (
    select(
        plot.c.id, plot.c.code, plot.c.bars, season.c.id.label("season"), season.c.established_on
    )
    .outerjoin(season, season.c.plot_id == plot.c.id)
    .where(plot.c.block_id == bindparam("the_block"))
    .order_by(plot.c.code, season.c.established_on)
)
MANY: Final = (
    select(func.count())
    .where(block_fact_row.c.fact_id == block_fact.c.id)
    .correlate(block_fact)
    .scalar_subquery()
)
LINES: Final = (
    select(block_fact, block.c.name.label("block"), MANY.label("plots"))
    .join(block, block.c.id == block_fact.c.block_id)
    .where(block_fact.c.scheme_id == bindparam("the_scheme"))
)
NEWEST: Final = LINES.order_by(block_fact.c.id.desc()).limit(bindparam("the_most"))
ONE: Final = LINES.where(block_fact.c.id == bindparam("the_fact"))
UNDO: Final = (
    update(block_fact)
    .where(block_fact.c.id == bindparam("the_fact"), block_fact.c.undone_at.is_(None))
    .values(undone_at=bindparam("now", type_=Utc()), undone_by=bindparam("who"))
)
PLANT: Final = (
    update(season)
    .where(season.c.id == bindparam("the_season"), season.c.established_on == bindparam("the_old"))
    .values(established_on=bindparam("the_new"))
)
BARS: Final = select(plot.c.bars).where(plot.c.id == bindparam("the_plot")).with_for_update()
BAR: Final = (
    update(plot).where(plot.c.id == bindparam("the_plot")).values(bars=bindparam("the_bars"))
)


class SqlBlockFacts(Repository):
    """Facts of blocks, and the rows that they wrote."""

    def plots(self, block_id: int, on: date) -> list[BlockPlot]:
        """The plots of a block, by code, with the season that a day lies in.

        That is the last one planted by then, or where there is none the next.
        """
        found: dict[int, BlockPlot] = {}
        for row in self.work.rows(PLOTS, the_block=block_id):
            later = row.established_on is not None and row.established_on > on
            if row.id not in found or found[row.id].season_id is None or not later:
                bars = None if row.bars is None else frozenset(row.bars)
                found[row.id] = BlockPlot(row.id, row.code, row.season, row.established_on, bars)
        return list(found.values())

    def add(
        self,
        scheme_id: int,
        block_id: int,
        kind: str,
        on: date,
        fields: Mapping[str, Any],
        left_out: Sequence[str],
        by: str,
        now: datetime,
    ) -> int:
        """A fact that is told of a block."""
        return self.work.number(
            ADD,
            scheme_id=scheme_id,
            block_id=block_id,
            kind=kind,
            on=on,
            fields=dict(fields),
            left_out=list(left_out),
            by=by,
            at=now,
        )

    def note(self, scheme_id: int, fact_id: int, row: FactRow) -> None:
        """Note what it wrote for a plot."""
        self.work.run(
            NOTE,
            scheme_id=scheme_id,
            fact_id=fact_id,
            plot_id=row.plot_id,
            event_id=row.event_id,
            season_id=row.season_id,
            was=row.was,
        )

    def rows(self, fact_id: int) -> list[FactRow]:
        """What it wrote, in its order."""
        rows = self.work.rows(ROWS, the_fact=fact_id)
        return [FactRow(row.plot_id, row.event_id, row.season_id, row.was) for row in rows]

    def undo(self, scheme_id: int, fact_id: int, by: str, now: datetime) -> FactLine | None:
        """Mark it undone; None where it is undone already. Raises NotOnRecord."""
        found = self.work.need("fact", fact_id, ONE, the_scheme=scheme_id, the_fact=fact_id)
        undone = self.work.run(UNDO, the_fact=fact_id, who=by, now=now)
        return line_of(found) if undone.rowcount == 1 else None

    def plant(self, season_id: int, on: date, before: date) -> bool:
        """Set the planting day; False where it is not ``before`` any more."""
        return self.work.run(PLANT, the_season=season_id, the_new=on, the_old=before).rowcount == 1

    def bar(self, plot_id: int, bars: frozenset[str] | None, before: frozenset[str] | None) -> bool:
        """Set the bars; False where they are not ``before`` any more."""
        stands = self.work.need("plot", plot_id, BARS, the_plot=plot_id).bars
        if (None if stands is None else frozenset(stands)) != before:
            return False
        self.work.run(BAR, the_plot=plot_id, the_bars=None if bars is None else sorted(bars))
        return True

    def lines(self, scheme_id: int, most: int) -> list[FactLine]:
        """The newest facts, those undone too."""
        return [line_of(r) for r in self.work.rows(NEWEST, the_scheme=scheme_id, the_most=most)]


def line_of(row: Row[Any]) -> FactLine:
    """A fact from its row."""
    return FactLine(
        row.id,
        row.block,
        row.kind,
        row.on,
        row.fields or {},
        tuple(row.left_out),
        row.by,
        row.at,
        row.plots,
        row.undone_at,
        row.undone_by or "",
    )
