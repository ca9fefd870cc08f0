"""Where advice rests: for a plot, a block or the scheme, to a day."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import and_, bindparam, cast, literal, or_, select, update

from gateway.advisory.mending import Pause, PauseLine, Safety
from gateway.store.columns import BIG, Utc
from gateway.store.tables.mending import pause
from gateway.store.tables.places import block, plot
from gateway.store.work import Repository, added

NOW: Final = bindparam("now", type_=Utc())
ADD: Final = added(pause)
RUNS: Final = (pause.c.ended_at.is_(None), pause.c.begins_at <= NOW, pause.c.ends_at > NOW)
END: Final = (
    update(pause)
    .where(
        pause.c.id == bindparam("the_pause"),
        pause.c.scheme_id == bindparam("the_scheme"),
        pause.c.ended_at.is_(None),
        pause.c.ends_at > NOW,
    )
    .values(ended_at=NOW, ended_by=bindparam("who"))
)
ANY: Final = select(literal(1)).where(*RUNS).exists()
"""Whether advice rests at all: nearly always it does not, and the plots need not be looked at."""
SOME: Final = select(ANY)
OVER: Final = (
    select(plot.c.id.label("of_plot"), pause)
    .join(
        pause,
        and_(
            pause.c.scheme_id == plot.c.scheme_id,
            or_(
                pause.c.plot_id == plot.c.id,
                pause.c.block_id == plot.c.block_id,
                and_(pause.c.plot_id.is_(None), pause.c.block_id.is_(None)),
            ),
        ),
    )
    .where(plot.c.id.in_(bindparam("the_plots", expanding=True)), *RUNS)
    .order_by(pause.c.ends_at, pause.c.id)
)
LINES: Final = (
    select(pause, plot.c.code, block.c.name)
    .outerjoin(plot, plot.c.id == pause.c.plot_id)
    .outerjoin(block, block.c.id == pause.c.block_id)
    .where(pause.c.scheme_id == bindparam("the_scheme"))
    .order_by(pause.c.id.desc())
    .limit(bindparam("the_most"))
)
BLOCK_BY_NAME: Final = select(block.c.id).where(
    block.c.scheme_id == bindparam("the_scheme"), block.c.name == bindparam("the_name")
)
THE_PLOT: Final = bindparam("the_plot", type_=BIG)
THE_BLOCK: Final = bindparam("the_block", type_=BIG)
PLOTS: Final = (
    select(plot.c.id)
    .where(
        plot.c.scheme_id == bindparam("the_scheme"),
        or_(cast(THE_PLOT, BIG).is_(None), plot.c.id == THE_PLOT),
        or_(cast(THE_BLOCK, BIG).is_(None), plot.c.block_id == THE_BLOCK),
    )
    .order_by(plot.c.id)
)


class SqlPauses(Repository):
    """Pauses of advice; they end by themselves, or are ended, and are never erased."""

    def add(
        self,
        scheme_id: int,
        plot_id: int | None,
        block_id: int | None,
        reason: str,
        safety: Safety,
        begins_at: datetime,
        last_on: date,
        ends_at: datetime,
        by: str,
    ) -> int:
        """A pause of a plot, of a block, or (both None) of the scheme."""
        return self.work.number(
            ADD,
            scheme_id=scheme_id,
            plot_id=plot_id,
            block_id=block_id,
            reason=reason,
            safety=safety,
            begins_at=begins_at,
            last_on=last_on,
            ends_at=ends_at,
            by=by,
        )

    def end(self, scheme_id: int, pause_id: int, by: str, now: datetime) -> bool:
        """End it now; False where none runs under that number."""
        ended = self.work.run(END, the_scheme=scheme_id, the_pause=pause_id, who=by, now=now)
        return ended.rowcount == 1

    def over(self, plot_ids: Sequence[int], now: datetime) -> Mapping[int, Pause]:
        """The pause that holds for each plot; of several the one that ends last."""
        if not plot_ids or not self.work.number(SOME, now=now):
            return {}
        rows = self.work.rows(OVER, the_plots=list(plot_ids), now=now)
        return {row.of_plot: Pause(row.id, row.safety, row.last_on, row.ends_at) for row in rows}

    def lines(self, scheme_id: int, most: int) -> list[PauseLine]:
        """The newest, those ended too."""
        rows = self.work.rows(LINES, the_scheme=scheme_id, the_most=most)
        return [
            PauseLine(
                row.id,
                _what(row),
                row.reason,
                row.safety,
                row.begins_at,
                row.last_on,
                row.by,
                row.ended_at,
                row.ended_by or "",
            )
            for row in rows
        ]

    def block_id(self, scheme_id: int, name: str) -> int:
        """The number of the block of that name. Raises NotOnRecord."""
        found = self.work.need("block", name, BLOCK_BY_NAME, the_scheme=scheme_id, the_name=name)
        return int(found.id)

    def plots(self, scheme_id: int, plot_id: int | None, block_id: int | None) -> list[int]:
        """The plots that a plot, a block or (both None) the scheme stands for."""
        rows = self.work.rows(PLOTS, the_scheme=scheme_id, the_plot=plot_id, the_block=block_id)
        return [row.id for row in rows]


def _what(row: Any) -> str:
    if row.code is not None:
        return f"plot {row.code}"
    return f"block {row.name}" if row.name is not None else "the whole scheme"
