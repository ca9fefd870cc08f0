"""What the calendar owes, who may sign in, and what they did."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

BIG = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INSTANT = sa.DateTime(timezone=True)
PLAIN = sa.JSON(none_as_null=True)


def link(name: str, column: str, to: str, null: bool = False) -> sa.Column[int]:
    """A column with a foreign key."""
    return sa.Column(column, BIG, sa.ForeignKey(to, name=name), nullable=null)


def upgrade() -> None:
    """Create the tables."""
    op.create_table(
        "duty",
        sa.Column("id", BIG, nullable=False),
        link("fk_duty_scheme_id", "scheme_id", "scheme.id"),
        link("fk_duty_season_id", "season_id", "season.id"),
        sa.Column("duty", sa.String(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("anchor_on", sa.Date(), nullable=False),
        sa.Column("owed_at", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_duty"),
        sa.UniqueConstraint(
            "season_id",
            "duty",
            "ordinal",
            "revision",
            name="uq_duty_season_id_duty_ordinal_revision",
        ),
    )
    op.create_table(
        "office_user",
        sa.Column("id", BIG, nullable=False),
        link("fk_office_user_scheme_id", "scheme_id", "scheme.id"),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("password", sa.String(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False, server_default=sa.true()),
        sa.Column("since", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_office_user"),
        sa.UniqueConstraint("name", name="uq_office_user_name"),
    )
    op.create_table(
        "audit",
        sa.Column("id", BIG, nullable=False),
        link("fk_audit_scheme_id", "scheme_id", "scheme.id", null=True),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("on", PLAIN, nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_audit"),
    )


def downgrade() -> None:
    """Drop them, and all that they hold."""
    op.drop_table("audit")
    op.drop_table("office_user")
    op.drop_table("duty")
