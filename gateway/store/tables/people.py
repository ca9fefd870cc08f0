"""People beside readers: who asks to join, who has consented, who keeps an outlet and reports."""

from typing import Final

from sqlalchemy import Column, Date, Double, Index, Integer, String, Table, UniqueConstraint

from gateway.store.columns import PLAIN, Utc, Words, key, link, metadata, scheme_link

# answers: what was told so far, by what was asked; emptied where the dialogue was never finished.
# plot_id: the plot that the code told of was found to be; empty where it is none or not yet told.
joining: Final = Table(
    "joining",
    metadata,
    key(),
    scheme_link(),
    link("phone_id", "phone", index=True),
    link("plot_id", "plot", null=True, index=True),
    Column("carrier", String, nullable=False),
    Column("state", String, nullable=False),
    Column("step", String, nullable=False),
    Column("language", String, nullable=False),
    Column("answers", PLAIN, nullable=False),
    Column("misses", Integer, nullable=False, server_default="0"),
    Column("holder_said", String),
    Column("begun_at", Utc, nullable=False),
    Column("moved_at", Utc, nullable=False),
    Column("settled_by", Words),
    Index(None, "scheme_id", "state", "moved_at"),
)

# Append-only; the last row of a phone tells. how: given, or asked again (about holds why).
consent: Final = Table(
    "consent",
    metadata,
    key(),
    scheme_link(),
    link("phone_id", "phone"),
    Column("how", String, nullable=False),
    Column("about", PLAIN, nullable=False),
    Column("at", Utc, nullable=False),
    Index(None, "phone_id", "id"),
)

# A pump operator or gate keeper: a phone with an outlet in its scope, that of the block.
outlet_keeper: Final = Table(
    "outlet_keeper",
    metadata,
    key(),
    scheme_link(),
    link("phone_id", "phone"),
    link("block_id", "block", index=True),
    Column("name", Words, nullable=False),
    Column("role", String, nullable=False),
    Column("since", Utc, nullable=False),
    UniqueConstraint("phone_id", "block_id"),
)

# What was reported of an outlet; a report taken back stays, with the moment of it.
outlet_report: Final = Table(
    "outlet_report",
    metadata,
    key(),
    scheme_link(),
    link("block_id", "block"),
    link("plot_id", "plot", null=True),
    link("phone_id", "phone", index=True),
    link("text_id", "text_in", null=True),
    Column("kind", String, nullable=False),
    Column("hours", Double),
    Column("on", Date, nullable=False),
    Column("at", Utc, nullable=False),
    Column("taken_back_at", Utc),
    Index(None, "block_id", "at"),
    Index(None, "scheme_id", "at"),
)
