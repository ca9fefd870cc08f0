"""Texts in, questions, advice, the outbox and its receipts."""

from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    Double,
    Index,
    Integer,
    LargeBinary,
    String,
    Table,
    UniqueConstraint,
    false,
)

from gateway.store.columns import PLAIN, Utc, Words, key, link, metadata, scheme_link

# mark: keyed digest of the inbound key, which may hold or betray the sender's number.
text_in: Final = Table(
    "text_in",
    metadata,
    key(),
    scheme_link(),
    link("phone_id", "phone"),
    Column("carrier", String, nullable=False),
    Column("mark", LargeBinary, nullable=False),
    Column("body", Words, nullable=False),
    Column("flaws", PLAIN),
    Column("received_at", Utc, nullable=False),
    Column("kept_at", Utc, nullable=False),
    Column("outcome", String),
    Column("understood", Words, nullable=False, server_default=""),
    Column("meaning", PLAIN),
    Column("failure", Words),
    UniqueConstraint("carrier", "mark"),
    Index(None, "scheme_id", "received_at"),
    Index(None, "phone_id", "id"),
)

# The scheme of bytes that could not be read is not known.
unreadable: Final = Table(
    "unreadable",
    metadata,
    key(),
    scheme_link(null=True),
    Column("carrier", String, nullable=False),
    Column("at", Utc, nullable=False),
    Column("cause", Words, nullable=False),
    Column("raw", LargeBinary, nullable=False),
    Column("size", Integer, nullable=False),
)

question: Final = Table(
    "question",
    metadata,
    key(),
    scheme_link(),
    link("phone_id", "phone", index=True),
    link("plot_id", "plot", null=True),
    link("text_id", "text_in", null=True, index=True),
    Column("about", String, nullable=False),
    Column("candidates", PLAIN, nullable=False),
    Column("level_cm", Double),
    Column("dry", Boolean, nullable=False),
    Column("valid_until", Utc, nullable=False),
    Column("closed_at", Utc),
    Column("closed_how", String),
)

# setting and advice hold everything; the columns beside them serve the list of plots.
advice: Final = Table(
    "advice",
    metadata,
    key(),
    scheme_link(),
    link("plot_id", "plot"),
    link("season_id", "season", null=True),
    link("text_id", "text_in", null=True, index=True),
    Column("as_of", Utc, nullable=False),
    Column("topic", String, nullable=False, server_default=""),
    Column("stage", String, nullable=False),
    Column("action", String, nullable=False),
    Column("level_cm", Double),
    Column("next_reading_on", Date),
    Column("setting", PLAIN, nullable=False),
    Column("advice", PLAIN, nullable=False),
    Column("language", String, nullable=False),
    Column("text", Words, nullable=False),
    Column("rules_digest", String, nullable=False),
    Column("words_digest", String, nullable=False),
    Index(None, "plot_id", "id"),
)

# Rules and catalogues serve all schemes, so a paper belongs to none.
paper: Final = Table(
    "paper",
    metadata,
    Column("digest", String, primary_key=True),
    Column("files", PLAIN, nullable=False),
)

# rank 0 goes first: answers and crop safety. sent_at: when it first left the house.
outbox: Final = Table(
    "outbox",
    metadata,
    key(),
    scheme_link(),
    link("phone_id", "phone", index=True),
    link("plot_id", "plot", null=True),
    link("in_reply_to", "text_in", null=True, index=True),
    link("advice_id", "advice", null=True),
    link("duty_id", "duty", null=True, index=True),
    link("resend_of", "outbox", null=True),
    Column("carrier", String, nullable=False),
    Column("text", Words, nullable=False),
    Column("language", String, nullable=False),
    Column("kind", String, nullable=False),
    Column("topic", String, nullable=False, server_default=""),
    Column("safety", Boolean, nullable=False, server_default=false()),
    Column("asks", Boolean, nullable=False, server_default=false()),
    Column("rank", Integer, nullable=False),
    Column("key", String),
    Column("not_before", Utc, nullable=False),
    Column("valid_until", Utc, nullable=False),
    Column("created_at", Utc, nullable=False),
    Column("state", String, nullable=False),
    Column("state_at", Utc, nullable=False),
    Column("attempts", Integer, nullable=False, server_default="0"),
    Column("lease_until", Utc),
    Column("carrier_reference", String),
    Column("words", Words, nullable=False, server_default=""),
    Column("sent_at", Utc),
    Column("segments", Integer),
    UniqueConstraint("scheme_id", "key"),
    Index(None, "state", "carrier", "rank", "id"),
    Index(None, "scheme_id", "created_at"),
    Index(None, "scheme_id", "topic"),
    Index(None, "carrier", "carrier_reference"),
)

outbox_move: Final = Table(
    "outbox_move",
    metadata,
    key(),
    scheme_link(),
    link("parcel_id", "outbox", index=True),
    Column("from_state", String, nullable=False),
    Column("to_state", String, nullable=False),
    Column("at", Utc, nullable=False),
    Column("words", Words, nullable=False, server_default=""),
)

# parcel_id and scheme_id are empty while a receipt is parked: its text is not known yet.
receipt: Final = Table(
    "receipt",
    metadata,
    key(),
    scheme_link(null=True),
    link("parcel_id", "outbox", null=True, index=True),
    Column("carrier", String, nullable=False),
    Column("reference", String, nullable=False),
    Column("state", String, nullable=False),
    Column("words", Words, nullable=False),
    Column("at", Utc, nullable=False),
    Index(None, "carrier", "reference"),
)

# mark: keyed digest of the session, which operators build from the number now and then.
dialogue: Final = Table(
    "dialogue",
    metadata,
    key(),
    scheme_link(),
    link("phone_id", "phone"),
    Column("carrier", String, nullable=False),
    Column("mark", LargeBinary, nullable=False),
    Column("state", Words, nullable=False),
    Column("ended", Boolean, nullable=False),
    Column("at", Utc, nullable=False),
    UniqueConstraint("phone_id", "carrier", "mark"),
)
