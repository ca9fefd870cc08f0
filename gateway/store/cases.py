"""From rows to the values that a case is made of, and back."""

import json
from collections.abc import Sequence
from datetime import date, datetime, time
from functools import lru_cache
from typing import Any, Final
from zoneinfo import ZoneInfo

from sqlalchemy import Row

from gateway.agronomy.book import Event, EventKind
from gateway.agronomy.case import WaterWindow, WeatherDay
from gateway.agronomy.habit import Belief, Posterior
from gateway.agronomy.plot import PUMPS, Plot, ThresholdRaised
from gateway.agronomy.season import Approval, Season, Split
from gateway.store.plain import from_plain

Water = tuple[int, str]
LIKE: Final = 4_000
"""Events remembered: of a hundred thousand books most rows say what another says of that day."""

PLAIN_FIELDS = (
    "level_cm",
    "dry",
    "to_cm",
    "mm",
    "amount",
    "product",
    "hold_days",
    "reentry_hours",
    "height_cm",
    "doubtful",
    "by_block",
    "reader",
)


def day_of(moment: datetime, zone: str) -> date:
    """The day of an instant in a scheme's zone."""
    return moment.astimezone(ZoneInfo(zone)).date()


def plot_of(row: Row[Any]) -> Plot:
    """The plot of a row; the block's outlet serves where the plot has none of its own.

    A pump is not the block's outlet: what it gives is known only where the plot tells it.
    """
    raised, turns = row.threshold_raised_by, row.water_source not in PUMPS
    return Plot(
        code=row.code,
        area_ha=row.area_ha,
        soil=row.soil,
        latitude=row.latitude,
        elevation_m=row.elevation_m,
        rim_cm=row.rim_cm,
        tube_bottom_cm=row.tube_bottom_cm,
        threshold_cm=row.threshold_cm,
        threshold_raised=raised
        and ThresholdRaised(
            raised,
            row.threshold_raised_on,
            row.threshold_raised_reason,
            row.threshold_raised_from_cm,
        ),
        bars=None if row.bars is None else frozenset(row.bars),
        outlet_lps=row.block_lps if row.outlet_lps is None and turns else row.outlet_lps,
        profile=row.profile,
        water_ec_ds_m=row.water_ec_ds_m,
        bund_cm=row.bund_cm,
        area_confirmed=row.area_confirmed,
        water_source=row.water_source,
    )


def season_of(row: Any, splits: tuple[Split, ...], approved: Approval | None = None) -> Season:
    """The season of a row that has its columns, with its splits and who approved them."""
    return Season(
        row.method,
        row.established_on,
        sown_on=row.sown_on,
        duration_days=row.duration_days,
        flowering_seen_on=row.flowering_seen_on,
        nitrogen=splits,
        variety=row.variety or None,
        crop_season=row.crop_season,
        photoperiod_sensitive=row.photoperiod_sensitive,
        uneven=row.uneven,
        seedlings=row.seedlings,
        nitrogen_approved=approved,
    )


def belief_of(plain: Any) -> Belief | None:
    """What was learned of a plot, from its JSON data."""
    return None if plain is None else from_plain(Belief, plain)


def posterior_of(row: Any) -> Posterior | None:
    """What was kept of a season's finished dry-downs, from a row that has its columns."""
    belief = belief_of(row.belief)
    return None if belief is None else Posterior(row.sign, belief)


def event_of(row: Row[Any]) -> Event:
    """The event of a row of the book."""
    return Event(row.kind, row.on, row.at, **(row.fields or {}))


@lru_cache(LIKE)
def event_told(kind: EventKind, on: date, at: time | None, fields: str | None) -> Event:
    """The event of a row of the book whose fields come as the text of their JSON."""
    return Event(kind, on, at, **(json.loads(fields or "{}") or {}))


def event_fields(event: Event) -> dict[str, Any] | None:
    """What an event states beside kind and time, as JSON data; None for nothing."""
    values = {name: getattr(event, name) for name in PLAIN_FIELDS}
    # Zero is a level like any other, and equal to False.
    told = {name: value for name, value in values.items() if not (value is None or value is False)}
    return told or None


def weather_of(row: Row[Any]) -> WeatherDay:
    """The weather of a row, whose columns stand in the order of WeatherDay's fields."""
    return WeatherDay(*row)


def split_of(row: Row[Any], established_on: date) -> Split:
    """A plan's split, dated from the establishment, as kg of product per hectare."""
    return Split(
        date.fromordinal(established_on.toordinal() + row.from_day),
        date.fromordinal(established_on.toordinal() + row.to_day),
        kg_ha=row.kg_n_ha / (row.n_percent / 100),
        product=row.product,
        plan_kg=row.plan_kg,
    )


def planned_season(row: Any, plan: Sequence[Row[Any]]) -> Season:
    """The season of a row with the splits of its plan, and who approved them."""
    splits = tuple(split_of(split, row.established_on) for split in plan)
    approved = [Approval(p.approved_by, p.approved_on, p.source, p.name) for p in plan[:1]]
    return season_of(row, splits, approved[0] if approved else None)


def water_of(row: Row[Any]) -> Water:
    """Whose water a plot's row takes: its block's turns, or those of its kind of pump there."""
    return row.block_id, row.water_source or "gravity-turn"


def is_told(row: Row[Any]) -> bool:
    """Whether anybody told when that water comes."""
    if row.water_source in PUMPS:
        return row.water_source in (row.pumps_told or ())
    return bool(row.water_told)


def window_of(row: Row[Any]) -> WaterWindow:
    """A turn, or days with power, from a row of the table."""
    return WaterWindow(row.from_on, row.to_on, row.sure, row.starts, row.ends)


def still_to_come(
    told: tuple[WaterWindow, ...] | None, day: date
) -> tuple[WaterWindow, ...] | None:
    """The turns that are not over. Turns told and all over leave the supply unknown again."""
    if not told:
        return told
    return tuple(window for window in told if window.to >= day) or None
