"""What the office stops and mends: advice that rests, facts told of a block, texts called back."""

from typing import Final

from sqlalchemy import Column, Date, Index, String, Table, UniqueConstraint

from gateway.store.columns import PLAIN, Utc, Words, key, link, metadata, scheme_link

# Of a plot, of a block, or (both empty) of the scheme. safety: what crop safety comes to meanwhile.
pause: Final = Table(
    "pause",
    metadata,
    key(),
    scheme_link(),
    link("plot_id", "plot", null=True),
    link("block_id", "block", null=True),
    Column("reason", Words, nullable=False),
    Column("safety", String, nullable=False),
    Column("begins_at", Utc, nullable=False),
    Column("last_on", Date, nullable=False),
    Column("ends_at", Utc, nullable=False),
    Column("by", Words, nullable=False),
    Column("ended_at", Utc),
    Column("ended_by", Words),
    Index(None, "scheme_id", "ends_at"),
)

block_fact: Final = Table(
    "block_fact",
    metadata,
    key(),
    scheme_link(),
    link("block_id", "block"),
    Column("kind", String, nullable=False),
    Column("on", Date, nullable=False),
    Column("fields", PLAIN),
    Column("left_out", PLAIN, nullable=False),
    Column("by", Words, nullable=False),
    Column("at", Utc, nullable=False),
    Column("undone_at", Utc),
    Column("undone_by", Words),
)

# What a fact wrote for one plot: a row of its book, or what stood there before it.
block_fact_row: Final = Table(
    "block_fact_row",
    metadata,
    key(),
    scheme_link(),
    link("fact_id", "block_fact"),
    link("plot_id", "plot"),
    link("event_id", "event", null=True),
    link("season_id", "season", null=True),
    Column("was", PLAIN),
    UniqueConstraint("fact_id", "plot_id"),
)

recall: Final = Table(
    "recall",
    metadata,
    key(),
    scheme_link(),
    Column("about", String, nullable=False),
    Column("name", Words, nullable=False),
    Column("by", Words, nullable=False),
    Column("at", Utc, nullable=False),
    UniqueConstraint("scheme_id", "about", "name"),
)
