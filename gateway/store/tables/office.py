"""What the calendar owed, who may sign in, and what they did."""

from typing import Final

from sqlalchemy import Boolean, Column, Date, Integer, String, Table, UniqueConstraint, true

from gateway.store.columns import PLAIN, Utc, Words, key, link, metadata, scheme_link

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
    UniqueConstraint("season_id", "duty", "ordinal", "revision"),
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
