"""Seasons, the approved nitrogen, the event book, the weather and the water to come."""

from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    Double,
    ForeignKey,
    Index,
    Integer,
    String,
    Table,
    Time,
    UniqueConstraint,
    false,
)

from gateway.store.columns import BIG, PLAIN, Utc, Words, key, link, metadata, scheme_link

nitrogen_plan: Final = Table(
    "nitrogen_plan",
    metadata,
    key(),
    scheme_link(),
    Column("name", Words, nullable=False),
    Column("product", Words, nullable=False),
    Column("n_percent", Double, nullable=False),
    Column("approved_by", Words, nullable=False),
    Column("approved_on", Date, nullable=False),
    Column("source", Words, nullable=False),
    UniqueConstraint("scheme_id", "name"),
)

nitrogen_split: Final = Table(
    "nitrogen_split",
    metadata,
    key(),
    scheme_link(),
    link("plan_id", "nitrogen_plan", index=True),
    Column("from_day", Integer, nullable=False),
    Column("to_day", Integer, nullable=False),
    Column("kg_n_ha", Double, nullable=False),
    Column("plan_kg", Double),
)

# splits: those of the season itself, used where it has no plan.
season: Final = Table(
    "season",
    metadata,
    key(),
    scheme_link(),
    link("plot_id", "plot"),
    link("plan_id", "nitrogen_plan", null=True),
    Column("method", String, nullable=False),
    Column("established_on", Date, nullable=False),
    Column("sown_on", Date),
    Column("duration_days", Integer),
    Column("flowering_seen_on", Date),
    Column("variety", Words, nullable=False, server_default=""),
    Column("splits", PLAIN),
    Column("crop_season", Words),
    Column("photoperiod_sensitive", Boolean),
    Column("uneven", Boolean, nullable=False, server_default=false()),
    Column("seedlings", String),
    UniqueConstraint("plot_id", "established_on"),
)

# habit: what earlier seasons of the plot taught, carried over once. sign and belief: a cache of
# what this season's finished dry-downs taught; replay of the book gives the same.
posterior: Final = Table(
    "posterior",
    metadata,
    Column("season_id", BIG, ForeignKey("season.id"), primary_key=True, autoincrement=False),
    scheme_link(),
    Column("habit", PLAIN),
    Column("sign", String),
    Column("belief", PLAIN),
)

# Append-only. A row of kind "withdrawn" supersedes another and states nothing in its place.
event: Final = Table(
    "event",
    metadata,
    key(),
    scheme_link(),
    link("plot_id", "plot"),
    link("text_id", "text_in", null=True, index=True),
    link("supersedes", "event", null=True, index=True),
    Column("kind", String, nullable=False),
    Column("on", Date, nullable=False),
    Column("at", Time),
    Column("fields", PLAIN),
    Column("recorded_at", Utc, nullable=False),
    Column("by", Words, nullable=False),
    Index(None, "plot_id", "on"),
)

# Append-only: the newest row of a day counts, and the older ones tell what was known before.
weather: Final = Table(
    "weather",
    metadata,
    key(),
    scheme_link(),
    Column("on", Date, nullable=False),
    Column("source", Words, nullable=False),
    Column("recorded_at", Utc, nullable=False),
    Column("et0_mm", Double),
    Column("rain_mm", Double),
    Column("tmin", Double),
    Column("tmax", Double),
    Column("rhmin", Double),
    Column("rhmax", Double),
    Column("wind_ms", Double),
    Column("sun_h", Double),
    Column("radiation_mj", Double),
    Index(None, "scheme_id", "on", "recorded_at"),
)

water_window: Final = Table(
    "water_window",
    metadata,
    key(),
    scheme_link(),
    link("block_id", "block", index=True),
    Column("from_on", Date, nullable=False),
    Column("to_on", Date, nullable=False),
    Column("sure", Boolean, nullable=False),
    Column("source", String, nullable=False, server_default="gravity-turn"),
    Column("starts", Time),
    Column("ends", Time),
)
