"""Schemes, and what the office enrols in them."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Row, bindparam, delete, insert, select, update

from gateway.advisory.errors import AlreadyOnRecord
from gateway.advisory.records import NitrogenPlan, Scheme
from gateway.agronomy.case import WaterWindow, WeatherDay
from gateway.agronomy.plot import PUMPS, Plot, WaterSource
from gateway.agronomy.season import Season
from gateway.store.plain import split_rows
from gateway.store.tables.crop import (
    nitrogen_plan,
    nitrogen_split,
    season,
    water_window,
    weather,
)
from gateway.store.tables.places import block, grower, plot, scheme
from gateway.store.work import Repository, added, added_once

ADD_SCHEME: Final = added_once(scheme, "code")
ADD_BLOCK: Final = added_once(block, "scheme_id", "name")
ADD_PLOT: Final = added_once(plot, "scheme_id", "code")
ADD_GROWER: Final = added(grower)
ADD_PLAN: Final = added_once(nitrogen_plan, "scheme_id", "name")
ADD_SEASON: Final = added_once(season, "plot_id", "established_on")
ALL: Final = select(scheme).order_by(scheme.c.code)
BY_CODE: Final = select(scheme).where(scheme.c.code == bindparam("the_code"))
SCHEME_OF_PLOT: Final = select(plot.c.scheme_id).where(plot.c.id == bindparam("the_plot"))
PLACE_OF_BLOCK: Final = select(block.c.scheme_id, block.c.pumps_told).where(
    block.c.id == bindparam("the_block")
)
PLOT_BY_CODE: Final = select(plot.c.id).where(
    plot.c.scheme_id == bindparam("the_scheme"), plot.c.code == bindparam("the_code")
)
ASSIGN: Final = update(plot).where(plot.c.id == bindparam("the_plot"))
FORGET_WATER: Final = delete(water_window).where(
    water_window.c.block_id == bindparam("the_block"),
    water_window.c.source == bindparam("the_source"),
)
WATER_TOLD: Final = update(block).where(block.c.id == bindparam("the_block"))


class SqlSchemes(Repository):
    """Schemes, blocks, plots, growers, plans, seasons, weather and water to come."""

    def add(
        self,
        code: str,
        name: str,
        short_name: str,
        zone: str,
        language: str,
        region: str | None = None,
    ) -> Scheme:
        """A new scheme. Raises AlreadyOnRecord where the code is taken."""
        values: dict[str, Any] = {
            "code": code,
            "name": name,
            "short_name": short_name,
            "zone": zone,
            "language": language,
            "region": region,
        }
        return Scheme(self._once("scheme", code, ADD_SCHEME, **values), **values)

    def by_code(self, code: str) -> Scheme:
        """The scheme of that code. Raises NotOnRecord."""
        return scheme_of(self.work.need("scheme", code, BY_CODE, the_code=code))

    def all(self) -> list[Scheme]:
        """Every scheme, by code."""
        return [scheme_of(row) for row in self.work.rows(ALL)]

    def add_block(self, scheme_id: int, name: str, outlet: str, outlet_lps: float | None) -> int:
        """A block behind an outlet of ``outlet_lps`` litres a second. Raises AlreadyOnRecord."""
        return self._once(
            "block",
            name,
            ADD_BLOCK,
            scheme_id=scheme_id,
            name=name,
            outlet=outlet,
            outlet_lps=outlet_lps,
        )

    def add_plot(self, scheme_id: int, block_id: int, plot: Plot, village: str = "") -> int:
        """A plot of a block. Raises AlreadyOnRecord where its code is taken in the scheme."""
        return self._once(
            "plot",
            plot.code,
            ADD_PLOT,
            scheme_id=scheme_id,
            block_id=block_id,
            village=village,
            code=plot.code,
            **plot_values(plot),
        )

    def add_grower(self, scheme_id: int, name: str) -> int:
        """A grower; two may bear the same name."""
        return self.work.number(ADD_GROWER, scheme_id=scheme_id, name=name)

    def assign_grower(self, plot_id: int, grower_id: int) -> None:
        """Say who farms a plot. Raises NotOnRecord where there is no such plot."""
        self._scheme_of_plot(plot_id)
        self.work.run(ASSIGN.values(grower_id=grower_id), the_plot=plot_id)

    def add_plan(self, scheme_id: int, plan: NitrogenPlan) -> int:
        """An approved nitrogen plan. It is never changed: a new approval is a new plan."""
        self.work.forget()
        plan_id = self._once(
            "nitrogen plan",
            plan.name,
            ADD_PLAN,
            scheme_id=scheme_id,
            name=plan.name,
            product=plan.product,
            n_percent=plan.n_percent,
            approved_by=plan.approved_by,
            approved_on=plan.approved_on,
            source=plan.source,
        )
        self._all(
            nitrogen_split,
            (
                {
                    "scheme_id": scheme_id,
                    "plan_id": plan_id,
                    "from_day": split.from_day,
                    "to_day": split.to_day,
                    "kg_n_ha": split.kg_n_ha,
                    "plan_kg": split.plan_kg,
                }
                for split in plan.splits
            ),
        )
        return plan_id

    def add_season(
        self, plot_id: int, season: Season, variety: str = "", plan_id: int | None = None
    ) -> int:
        """A season of a plot; with a plan, its splits are dated from the plan, not the season.

        Raises NotOnRecord without such a plot, AlreadyOnRecord for a second one of the same day.
        """
        return self._once(
            "season",
            str(season.established_on),
            ADD_SEASON,
            scheme_id=self._scheme_of_plot(plot_id),
            plot_id=plot_id,
            plan_id=plan_id,
            **(season_values(season) | {"variety": variety or season.variety or ""}),
            flowering_seen_on=season.flowering_seen_on,
            splits=split_rows(season.nitrogen) if plan_id is None else None,
        )

    def add_weather(
        self, scheme_id: int, days: list[WeatherDay], source: str, recorded_at: datetime
    ) -> int:
        """What became known of these days at ``recorded_at``; gives how many rows were written."""
        self.work.forget()
        fixed = {"scheme_id": scheme_id, "source": source, "recorded_at": recorded_at}
        return self._all(weather, (fixed | weather_values(day) for day in days))

    def add_water(
        self, block_id: int, windows: list[WaterWindow], source: WaterSource = "gravity-turn"
    ) -> None:
        """The turns, or the power hours of a kind of pump, now known to come for a block.

        They replace those it knew. Empty: none known.
        """
        row = self.work.need("block", block_id, PLACE_OF_BLOCK, the_block=block_id)
        fixed = {"scheme_id": row.scheme_id, "block_id": block_id, "source": source}
        pumps = sorted({*(row.pumps_told or ()), source})
        told = {"pumps_told": pumps} if source in PUMPS else {"water_told": True}
        self.work.run(FORGET_WATER, the_block=block_id, the_source=source)
        self.work.run(WATER_TOLD.values(**told), the_block=block_id)
        self._all(
            water_window,
            (
                fixed
                | {"from_on": window.from_, "to_on": window.to, "sure": window.sure}
                | {"starts": window.starts, "ends": window.ends}
                for window in windows
            ),
        )

    def plot_id(self, scheme_id: int, code: str) -> int:
        """The number of the plot of that code. Raises NotOnRecord."""
        found = self.work.need("plot", code, PLOT_BY_CODE, the_scheme=scheme_id, the_code=code)
        return int(found.id)

    def _scheme_of_plot(self, plot_id: int) -> int:
        return int(self.work.need("plot", plot_id, SCHEME_OF_PLOT, the_plot=plot_id).scheme_id)

    def _once(self, kind: str, known_as: str, statement: Any, /, **values: Any) -> int:
        new = self.work.number_or_none(statement, **values)
        if new is None:
            raise AlreadyOnRecord(kind, known_as)
        return new

    def _all(self, table: Any, rows: Iterable[dict[str, Any]]) -> int:
        values = list(rows)
        self.work.run_many(insert(table), values)
        return len(values)


def scheme_of(row: Row[Any]) -> Scheme:
    """The scheme of a row that has its columns."""
    return Scheme(
        row.id, row.code, row.name, row.short_name, row.zone, row.language, region=row.region
    )


def plot_values(plot: Plot) -> dict[str, Any]:
    """What is known of a plot as the columns of its table, without its code."""
    raised = plot.threshold_raised
    return {
        "area_ha": plot.area_ha,
        "soil": plot.soil,
        "latitude": plot.latitude,
        "elevation_m": plot.elevation_m,
        "rim_cm": plot.rim_cm,
        "tube_bottom_cm": plot.tube_bottom_cm,
        "threshold_cm": plot.threshold_cm,
        "threshold_raised_by": raised and raised.by,
        "threshold_raised_on": raised and raised.on,
        "threshold_raised_reason": raised and raised.reason,
        "threshold_raised_from_cm": raised and raised.from_cm,
        "bars": None if plot.bars is None else sorted(plot.bars),
        "outlet_lps": plot.outlet_lps,
        "profile": plot.profile,
        "water_ec_ds_m": plot.water_ec_ds_m,
        "bund_cm": plot.bund_cm,
        "area_confirmed": plot.area_confirmed,
        "water_source": plot.water_source,
    }


def season_values(season: Season) -> dict[str, Any]:
    """How, when and what was planted, as the columns of its table."""
    return {
        "method": season.method,
        "established_on": season.established_on,
        "sown_on": season.sown_on,
        "duration_days": season.duration_days,
        "variety": season.variety or "",
        "crop_season": season.crop_season,
        "photoperiod_sensitive": season.photoperiod_sensitive,
        "uneven": season.uneven,
        "seedlings": season.seedlings,
    }


def weather_values(day: WeatherDay) -> dict[str, Any]:
    """A day's weather as the columns of its table."""
    return {name: getattr(day, name) for name in WeatherDay.__slots__}
