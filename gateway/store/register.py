"""The register: what is enrolled in a scheme, read whole, and put right."""

from collections import defaultdict
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import BindParameter, Row, bindparam, null, select, update

from gateway.advisory.number import Number
from gateway.advisory.register import (
    BlockOnRecord,
    OnRecord,
    PlotOnRecord,
    ReaderOnRecord,
    SeasonOnRecord,
)
from gateway.agronomy.case import WaterWindow, WeatherDay
from gateway.agronomy.plot import Plot
from gateway.agronomy.season import Season
from gateway.store.cases import Water, plot_of, season_of, weather_of, window_of
from gateway.store.fieldread import NEWEST
from gateway.store.numbers import open_number
from gateway.store.schemes import plot_values, season_values
from gateway.store.tables.crop import nitrogen_plan, season, water_window, weather
from gateway.store.tables.places import block, grower, phone, plot, reader
from gateway.store.work import Repository

THE_SCHEME: Final[BindParameter[Any]] = bindparam("the_scheme")
BLOCKS: Final = select(block).where(block.c.scheme_id == THE_SCHEME).order_by(block.c.id)
WINDOWS: Final = (
    select(water_window)
    .where(water_window.c.scheme_id == THE_SCHEME)
    .order_by(water_window.c.from_on, water_window.c.id)
)
PLANS: Final = select(nitrogen_plan.c.id, nitrogen_plan.c.name).where(
    nitrogen_plan.c.scheme_id == THE_SCHEME
)
PLOTS: Final = (
    select(plot, block.c.name.label("block"), grower.c.name.label("grower"))
    .add_columns(null().label("block_lps"))
    .join(block, block.c.id == plot.c.block_id)
    .outerjoin(grower, grower.c.id == plot.c.grower_id)
    .where(plot.c.scheme_id == THE_SCHEME)
    .order_by(plot.c.id)
)
SEASONS: Final = (
    select(season, nitrogen_plan.c.name.label("plan"))
    .outerjoin(nitrogen_plan, nitrogen_plan.c.id == season.c.plan_id)
    .where(season.c.scheme_id == THE_SCHEME)
    .order_by(season.c.established_on)
)
READERS: Final = (
    select(
        reader.c.plot_id,
        reader.c.phone_id,
        phone.c.number,
        phone.c.language,
        phone.c.letters,
        reader.c.reads,
        reader.c.role,
        reader.c.grower_id,
        grower.c.name.label("grower"),
    )
    .join(phone, phone.c.id == reader.c.phone_id)
    .join(grower, grower.c.id == reader.c.grower_id)
    .where(reader.c.scheme_id == THE_SCHEME)
    .order_by(reader.c.id)
)
CHANGE_BLOCK: Final = update(block).where(block.c.id == bindparam("the_block"))
CHANGE_PLOT: Final = update(plot).where(plot.c.id == bindparam("the_plot"))
CHANGE_SEASON: Final = update(season).where(season.c.id == bindparam("the_season"))
WEATHER: Final = (
    select(*(weather.c[name] for name in WeatherDay.__slots__))
    .where(weather.c.id.in_(NEWEST), weather.c.on <= bindparam("last"))
    .order_by(weather.c.on)
)


class SqlRegister(Repository):
    """What is enrolled in a scheme, in a handful of statements whatever its size."""

    def of(self, scheme_id: int) -> OnRecord:
        """Everything enrolled."""
        readers, seasons = self._readers(scheme_id), self._seasons(scheme_id)
        plots = self.work.rows(PLOTS, the_scheme=scheme_id)
        plans = self.work.rows(PLANS, the_scheme=scheme_id)
        return OnRecord(
            self._blocks(scheme_id),
            {row.code: _plot(row, seasons[row.id], readers[row.id]) for row in plots},
            {row.name: row.id for row in plans},
        )

    def change_block(self, block_id: int, outlet: str, outlet_lps: float | None) -> None:
        """Another outlet, or what it gives in litres a second."""
        self.work.run(CHANGE_BLOCK.values(outlet=outlet, outlet_lps=outlet_lps), the_block=block_id)

    def change_plot(self, plot_id: int, block_id: int, plot: Plot) -> None:
        """What is known of a plot and where it lies; its code and who farms it stay."""
        self.work.run(CHANGE_PLOT.values(block_id=block_id, **plot_values(plot)), the_plot=plot_id)

    def change_season(self, season_id: int, season: Season, plan_id: int | None) -> None:
        """How, when and what was planted; what is told of its flowering stays."""
        values = season_values(season)
        if plan_id is not None:
            values |= {"plan_id": plan_id, "splits": None}
        self.work.run(CHANGE_SEASON.values(**values), the_season=season_id)

    def weather(
        self, scheme_id: int, first: date, last: date, known_at: datetime
    ) -> dict[date, WeatherDay]:
        """The newest weather of the days from first to last, both included."""
        rows = self.work.rows(WEATHER, the_scheme=scheme_id, first=first, last=last, known=known_at)
        return {row.on: weather_of(row) for row in rows}

    def _blocks(self, scheme_id: int) -> dict[str, BlockOnRecord]:
        windows: dict[Water, tuple[WaterWindow, ...]] = defaultdict(tuple)
        for row in self.work.rows(WINDOWS, the_scheme=scheme_id):
            windows[row.block_id, row.source] += (window_of(row),)
        return {
            row.name: BlockOnRecord(
                row.id,
                row.name,
                row.outlet,
                row.outlet_lps,
                windows[row.id, "gravity-turn"] if row.water_told else None,
                {pump: windows[row.id, pump] for pump in row.pumps_told or ()},
            )
            for row in self.work.rows(BLOCKS, the_scheme=scheme_id)
        }

    def _seasons(self, scheme_id: int) -> dict[int, dict[date, SeasonOnRecord]]:
        found: dict[int, dict[date, SeasonOnRecord]] = defaultdict(dict)
        for row in self.work.rows(SEASONS, the_scheme=scheme_id):
            grown = SeasonOnRecord(row.id, season_of(row, ()), row.plan)
            found[row.plot_id][row.established_on] = grown
        return found

    def _readers(self, scheme_id: int) -> dict[int, dict[Number, ReaderOnRecord]]:
        found: dict[int, dict[Number, ReaderOnRecord]] = defaultdict(dict)
        for row in self.work.rows(READERS, the_scheme=scheme_id):
            number = open_number(row.number, self.work.keys)
            found[row.plot_id][number] = ReaderOnRecord(
                row.phone_id,
                row.language,
                row.reads,
                row.grower_id,
                row.grower,
                row.role,
                row.letters,
            )
        return found


def _plot(
    row: Row[Any],
    seasons: dict[date, SeasonOnRecord],
    readers: dict[Number, ReaderOnRecord],
) -> PlotOnRecord:
    return PlotOnRecord(
        row.id, row.block, plot_of(row), row.grower_id, row.grower, seasons, readers
    )
