"""What the calendar owed and has gone through, who may sign in, and what they did."""

from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    Index,
    Integer,
    String,
    Table,
    UniqueConstraint,
    false,
    true,
)

from gateway.store.columns import BIG, PLAIN, Utc, Words, key, link, metadata, scheme_link

duty: Final = Table(
    "duty",
    metadata,
    key(),
    scheme_link(),
    link("season_id", "season"),
    Column("duty", String, nullable=False),
    Column("ordinal", Integer, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("anchor_on", Date, nullable=False),
    Column("owed_at", Utc, nullable=False),
    Column("taken_back", Boolean, nullable=False, server_default=false()),
    UniqueConstraint("season_id", "duty", "ordinal", "revision"),
    Index(None, "scheme_id", "owed_at"),
)

# Which texts tell of a duty: one text may tell of several, and one duty goes to several phones.
duty_text: Final = Table(
    "duty_text",
    metadata,
    key(),
    scheme_link(),
    link("duty_id", "duty"),
    link("parcel_id", "outbox", index=True),
    UniqueConstraint("duty_id", "parcel_id"),
)

# A part of the plots that one round of the calendar goes through; whoever holds it has a lease.
round_part: Final = Table(
    "round_part",
    metadata,
    key(),
    scheme_link(),
    Column("round_at", Utc, nullable=False),
    Column("part", BIG, nullable=False),
    Column("lease_until", Utc),
    Column("done_at", Utc),
    UniqueConstraint("scheme_id", "round_at", "part"),
)

# How far the books and seasons have been looked at between the rounds.
calendar_seen: Final = Table(
    "calendar_seen",
    metadata,
    key(),
    scheme_link(),
    Column("event_id", BIG, nullable=False),
    Column("season_id", BIG, nullable=False),
    UniqueConstraint("scheme_id"),
)

# The name is unique in the house: it alone is asked at the door.
office_user: Final = Table(
    "office_user",
    metadata,
    key(),
    scheme_link(),
    Column("name", Words, nullable=False, unique=True),
    Column("role", String, nullable=False),
    Column("password", String, nullable=False),
    Column("active", Boolean, nullable=False, server_default=true()),
    Column("since", Utc, nullable=False),
)

audit: Final = Table(
    "audit",
    metadata,
    key(),
    scheme_link(null=True),
    Column("who", Words, nullable=False),
    Column("what", Words, nullable=False),
    Column("on", PLAIN, nullable=False),
    Column("at", Utc, nullable=False),
)
