"""The season's calendar: texts of duties, rounds through all plots, and texts that ask."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

BIG = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INSTANT = sa.DateTime(timezone=True)


def link(name: str, column: str, to: str) -> sa.Column[int]:
    """A column with a foreign key."""
    return sa.Column(column, BIG, sa.ForeignKey(to, name=name), nullable=False)


def upgrade() -> None:
    """Create the tables; what is on its way out keeps its duty."""
    op.add_column(
        "outbox", sa.Column("asks", sa.Boolean(), nullable=False, server_default=sa.false())
    )
    op.add_column(
        "duty", sa.Column("taken_back", sa.Boolean(), nullable=False, server_default=sa.false())
    )
    op.create_index("ix_duty_scheme_id_owed_at", "duty", ["scheme_id", "owed_at"])
    op.create_table(
        "duty_text",
        sa.Column("id", BIG, nullable=False),
        link("fk_duty_text_scheme_id", "scheme_id", "scheme.id"),
        link("fk_duty_text_duty_id", "duty_id", "duty.id"),
        link("fk_duty_text_parcel_id", "parcel_id", "outbox.id"),
        sa.PrimaryKeyConstraint("id", name="pk_duty_text"),
        sa.UniqueConstraint("duty_id", "parcel_id", name="uq_duty_text_duty_id_parcel_id"),
    )
    op.create_index("ix_duty_text_parcel_id", "duty_text", ["parcel_id"])
    op.execute(
        "INSERT INTO duty_text (scheme_id, duty_id, parcel_id) "
        "SELECT scheme_id, duty_id, id FROM outbox WHERE duty_id IS NOT NULL"
    )
    op.create_table(
        "round_part",
        sa.Column("id", BIG, nullable=False),
        link("fk_round_part_scheme_id", "scheme_id", "scheme.id"),
        sa.Column("round_at", INSTANT, nullable=False),
        sa.Column("part", BIG, nullable=False),
        sa.Column("lease_until", INSTANT, nullable=True),
        sa.Column("done_at", INSTANT, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_round_part"),
        sa.UniqueConstraint(
            "scheme_id", "round_at", "part", name="uq_round_part_scheme_id_round_at_part"
        ),
    )
    op.create_table(
        "calendar_seen",
        sa.Column("id", BIG, nullable=False),
        link("fk_calendar_seen_scheme_id", "scheme_id", "scheme.id"),
        sa.Column("event_id", BIG, nullable=False),
        sa.Column("season_id", BIG, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_calendar_seen"),
        sa.UniqueConstraint("scheme_id", name="uq_calendar_seen_scheme_id"),
    )


def downgrade() -> None:
    """Drop them, and all that they hold."""
    op.drop_table("calendar_seen")
    op.drop_table("round_part")
    op.drop_index("ix_duty_text_parcel_id", "duty_text")
    op.drop_table("duty_text")
    op.drop_index("ix_duty_scheme_id_owed_at", "duty")
    op.drop_column("duty", "taken_back")
    op.drop_column("outbox", "asks")
