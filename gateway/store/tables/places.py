"""Schemes, blocks, plots, growers, phones, and who reads what."""

from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    Double,
    LargeBinary,
    String,
    Table,
    UniqueConstraint,
    false,
)

from gateway.store.columns import PLAIN, Utc, Words, key, link, metadata, scheme_link

scheme: Final = Table(
    "scheme",
    metadata,
    key(),
    Column("code", String, nullable=False, unique=True),
    Column("name", Words, nullable=False),
    Column("short_name", Words, nullable=False),
    Column("zone", String, nullable=False),
    Column("language", String, nullable=False),
    Column("region", String),
)

# water_told: turns were told (an empty list too); before that the supply is unknown. pumps_told:
# for which kinds of pump the power hours were told.
block: Final = Table(
    "block",
    metadata,
    key(),
    scheme_link(),
    Column("name", Words, nullable=False),
    Column("outlet", Words, nullable=False),
    Column("outlet_lps", Double),
    Column("water_told", Boolean, nullable=False, server_default=false()),
    Column("pumps_told", PLAIN),
    UniqueConstraint("scheme_id", "name"),
)

grower: Final = Table(
    "grower", metadata, key(), scheme_link(), Column("name", Words, nullable=False)
)

# bars: null means not asked, [] asked and none.
plot: Final = Table(
    "plot",
    metadata,
    key(),
    scheme_link(),
    link("block_id", "block", index=True),
    link("grower_id", "grower", null=True),
    Column("code", Words, nullable=False),
    Column("village", Words, nullable=False, server_default=""),
    Column("area_ha", Double),
    Column("soil", String),
    Column("latitude", Double),
    Column("elevation_m", Double),
    Column("rim_cm", Double),
    Column("tube_bottom_cm", Double),
    Column("threshold_cm", Double),
    Column("threshold_raised_by", Words),
    Column("threshold_raised_on", Date),
    Column("threshold_raised_reason", Words),
    Column("threshold_raised_from_cm", Double),
    Column("bars", PLAIN),
    Column("outlet_lps", Double),
    Column("profile", String),
    Column("water_ec_ds_m", Double),
    Column("bund_cm", Double),
    Column("area_confirmed", Boolean),
    Column("water_source", String),
    UniqueConstraint("scheme_id", "code"),
)

# number: ciphertext. mark: keyed digest, by which alone a phone is found. letters: script or plain.
phone: Final = Table(
    "phone",
    metadata,
    key(),
    scheme_link(),
    Column("number", LargeBinary, nullable=False),
    Column("mark", LargeBinary, nullable=False),
    Column("language", String, nullable=False),
    Column("letters", String),
    Column("known", Boolean, nullable=False, server_default=false()),
    Column("left_at", Utc),
    Column("since", Utc, nullable=False),
    UniqueConstraint("scheme_id", "mark"),
)

reader: Final = Table(
    "reader",
    metadata,
    key(),
    scheme_link(),
    link("phone_id", "phone"),
    link("plot_id", "plot", index=True),
    link("grower_id", "grower"),
    Column("reads", String),
    Column("role", String, nullable=False, server_default="reader"),
    Column("since", Utc, nullable=False),
    UniqueConstraint("phone_id", "plot_id"),
)
