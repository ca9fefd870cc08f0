"""Advice that rests, facts told of a block, and texts called back."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
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
    """Create the tables; nothing stood in their place."""
    make(
        "pause",
        link("pause", "plot_id", "plot", null=True),
        link("pause", "block_id", "block", null=True),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("safety", sa.String(), nullable=False),
        sa.Column("begins_at", INSTANT, nullable=False),
        sa.Column("last_on", sa.Date(), nullable=False),
        sa.Column("ends_at", INSTANT, nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("ended_at", INSTANT),
        sa.Column("ended_by", sa.String()),
    )
    op.create_index("ix_pause_scheme_id_ends_at", "pause", ["scheme_id", "ends_at"])
    make(
        "block_fact",
        link("block_fact", "block_id", "block"),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("fields", sa.JSON()),
        sa.Column("left_out", sa.JSON(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("undone_at", INSTANT),
        sa.Column("undone_by", sa.String()),
    )
    make(
        "block_fact_row",
        link("block_fact_row", "fact_id", "block_fact"),
        link("block_fact_row", "plot_id", "plot"),
        link("block_fact_row", "event_id", "event", null=True),
        link("block_fact_row", "season_id", "season", null=True),
        sa.Column("was", sa.JSON()),
        sa.UniqueConstraint("fact_id", "plot_id", name="uq_block_fact_row_fact_id_plot_id"),
    )
    make(
        "recall",
        sa.Column("about", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.UniqueConstraint("scheme_id", "about", "name", name="uq_recall_scheme_id_about_name"),
    )


def downgrade() -> None:
    """Drop them, and all that they hold."""
    for table in ("recall", "block_fact_row", "block_fact", "pause"):
        op.drop_table(table)
