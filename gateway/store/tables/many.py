"""Texts of the office to many phones, their lists, and what texts cost in a month."""

from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    Double,
    Index,
    Integer,
    String,
    Table,
    UniqueConstraint,
    false,
)

from gateway.store.columns import BIG, PLAIN, Utc, Words, key, link, metadata, scheme_link

# audience, wording: as they were written. upto: the last phone whose text was put. Its texts in the
# outbox bear the topic "broadcast:ID".
broadcast: Final = Table(
    "broadcast",
    metadata,
    key(),
    scheme_link(),
    Column("title", Words, nullable=False),
    Column("audience", PLAIN, nullable=False),
    Column("wording", PLAIN, nullable=False),
    Column("leaves_at", Utc, nullable=False),
    Column("valid_until", Utc, nullable=False),
    Column("safety", Boolean, nullable=False, server_default=false()),
    Column("asks", Boolean, nullable=False, server_default=false()),
    Column("state", String, nullable=False),
    Column("written_by", Words, nullable=False),
    Column("written_at", Utc, nullable=False),
    Column("phones", Integer, nullable=False, server_default="0"),
    Column("upto", BIG, nullable=False, server_default="0"),
    Column("released_by", Words),
    Column("released_at", Utc),
    Column("put_at", Utc),
    Index(None, "scheme_id", "state"),
)

# Whom it goes to, as the officer saw it. form: the code of the words; plots: codes of those meant.
broadcast_phone: Final = Table(
    "broadcast_phone",
    metadata,
    key(),
    scheme_link(),
    link("broadcast_id", "broadcast"),
    link("phone_id", "phone"),
    link("plot_id", "plot", null=True),
    Column("form", String, nullable=False),
    Column("plots", PLAIN, nullable=False),
    UniqueConstraint("broadcast_id", "phone_id"),
)

# Sums of what left by a carrier in a month of the scheme's zone, so that the cap is asked of one
# row. amount: by the prices of the day; currency is empty where there was no price.
spend: Final = Table(
    "spend",
    metadata,
    key(),
    scheme_link(),
    Column("carrier", String, nullable=False),
    Column("month", Date, nullable=False),
    Column("currency", String, nullable=False),
    Column("texts", Integer, nullable=False),
    Column("segments", Integer, nullable=False),
    Column("amount", Double, nullable=False),
    UniqueConstraint("scheme_id", "carrier", "month", "currency"),
)
