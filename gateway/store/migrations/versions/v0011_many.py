"""Texts to many, their lists, the segments of each text and what a month's texts cost."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

BIG = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INSTANT = sa.DateTime(timezone=True)


def link(table: str, column: str, to: str, null: bool = False) -> sa.Column[int]:
    """A column with a foreign key, named as the tables name theirs."""
    key = sa.ForeignKey(f"{to}.id", name=f"fk_{table}_{column}")
    return sa.Column(column, BIG, key, nullable=null)


def make(table: str, *columns: sa.schema.SchemaItem) -> None:
    """A table with its number and its scheme."""
    op.create_table(
        table,
        sa.Column("id", BIG, nullable=False),
        link(table, "scheme_id", "scheme"),
        *columns,
        sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
    )


def upgrade() -> None:
    """Create the tables. What left before has no segments noted, and counts nowhere."""
    op.add_column("outbox", sa.Column("segments", sa.Integer(), nullable=True))
    op.create_index("ix_outbox_scheme_id_topic", "outbox", ["scheme_id", "topic"])
    make(
        "broadcast",
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("audience", sa.JSON(), nullable=False),
        sa.Column("wording", sa.JSON(), nullable=False),
        sa.Column("leaves_at", INSTANT, nullable=False),
        sa.Column("valid_until", INSTANT, nullable=False),
        sa.Column("safety", sa.Boolean(), nullable=False, server_default=sa.false()),
        sa.Column("asks", sa.Boolean(), nullable=False, server_default=sa.false()),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("written_by", sa.String(), nullable=False),
        sa.Column("written_at", INSTANT, nullable=False),
        sa.Column("phones", sa.Integer(), nullable=False, server_default="0"),
        sa.Column("upto", BIG, nullable=False, server_default="0"),
        sa.Column("released_by", sa.String()),
        sa.Column("released_at", INSTANT),
        sa.Column("put_at", INSTANT),
    )
    op.create_index("ix_broadcast_scheme_id_state", "broadcast", ["scheme_id", "state"])
    make(
        "broadcast_phone",
        link("broadcast_phone", "broadcast_id", "broadcast"),
        link("broadcast_phone", "phone_id", "phone"),
        link("broadcast_phone", "plot_id", "plot", null=True),
        sa.Column("form", sa.String(), nullable=False),
        sa.Column("plots", sa.JSON(), nullable=False),
        sa.UniqueConstraint(
            "broadcast_id", "phone_id", name="uq_broadcast_phone_broadcast_id_phone_id"
        ),
    )
    make(
        "spend",
        sa.Column("carrier", sa.String(), nullable=False),
        sa.Column("month", sa.Date(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("texts", sa.Integer(), nullable=False),
        sa.Column("segments", sa.Integer(), nullable=False),
        sa.Column("amount", sa.Double(), nullable=False),
        sa.UniqueConstraint(
            "scheme_id",
            "carrier",
            "month",
            "currency",
            name="uq_spend_scheme_id_carrier_month_currency",
        ),
    )


def downgrade() -> None:
    """Drop them, and all that they hold."""
    for table in ("spend", "broadcast_phone", "broadcast"):
        op.drop_table(table)
    op.drop_index("ix_outbox_scheme_id_topic", "outbox")
    op.drop_column("outbox", "segments")
