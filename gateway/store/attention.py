"""Queries of what the office must see today: plain rows, of one scheme only."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date
from typing import Any, Final

from sqlalchemy import String, bindparam, cast, func, literal, or_, select

from gateway.advisory.attention import NoWaterLine, PlotTested
from gateway.agronomy.plot import Plot
from gateway.store.tables.crop import event
from gateway.store.tables.places import block, grower, plot
from gateway.store.views import GROWER, THE_SCHEME
from gateway.store.work import Work

TESTED: Final = (
    select(plot.c.code, plot.c.bars, plot.c.water_ec_ds_m, block.c.name.label("block"), GROWER)
    .join(block, block.c.id == plot.c.block_id)
    .outerjoin(grower, grower.c.id == plot.c.grower_id)
    .where(
        plot.c.scheme_id == THE_SCHEME,
        or_(cast(plot.c.bars, String) != "[]", plot.c.water_ec_ds_m.is_not(None)),
    )
    .order_by(plot.c.code)
)
later = event.alias("superseding")
OF_PLOTS: Final = (
    select(func.count())
    .select_from(plot)
    .where(plot.c.block_id == block.c.id)
    .correlate(block)
    .scalar_subquery()
)
reporting = plot.alias("reporting")
NO_WATER: Final = (
    select(
        block.c.name,
        func.count().label("reports"),
        func.count(event.c.plot_id.distinct()).label("plots"),
        OF_PLOTS.label("of_plots"),
        func.max(event.c.on).label("last_on"),
    )
    .join(reporting, reporting.c.block_id == block.c.id)
    .join(event, event.c.plot_id == reporting.c.id)
    .where(
        block.c.scheme_id == THE_SCHEME,
        event.c.kind == "no-water",
        event.c.on.between(bindparam("first"), bindparam("last")),
        ~select(literal(1)).where(later.c.supersedes == event.c.id).exists(),
    )
    .group_by(block.c.id, block.c.name)
    .order_by(func.count(event.c.plot_id.distinct()).desc(), block.c.name)
)


class SqlAttention:
    """The queries, each in a unit of its own that only reads."""

    def __init__(self, begin: Callable[[bool], AbstractContextManager[Work]]) -> None:
        self._begin = begin

    def tested_plots(self, scheme_id: int) -> list[PlotTested]:
        """The plots with a bar or a salt content on record, by code."""
        with self._begin(False) as work:
            return [_tested(row) for row in work.rows(TESTED, the_scheme=scheme_id)]

    def no_water(self, scheme_id: int, first: date, last: date) -> list[NoWaterLine]:
        """The blocks with live reports of no water on these days, most plots first."""
        with self._begin(False) as work:
            rows = work.rows(NO_WATER, the_scheme=scheme_id, first=first, last=last)
            return [
                NoWaterLine(row.name, row.reports, row.plots, row.of_plots, row.last_on)
                for row in rows
            ]


def _tested(row: Any) -> PlotTested:
    bars = None if row.bars is None else frozenset(row.bars)
    about = Plot(row.code, bars=bars, water_ec_ds_m=row.water_ec_ds_m)
    return PlotTested(about, row.block, row.grower)
