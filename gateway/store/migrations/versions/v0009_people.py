"""People beside readers: joining by text, consent, keepers of outlets and their reports."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
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


def index(table: str, *columns: str) -> None:
    """An index, named as the tables name theirs."""
    op.create_index(f"ix_{table}_{'_'.join(columns)}", table, list(columns))


def upgrade() -> None:
    """Create the tables; who reads a plot already has no row in them, and needs none."""
    make(
        "joining",
        link("joining", "phone_id", "phone"),
        link("joining", "plot_id", "plot", null=True),
        sa.Column("carrier", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("step", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("answers", sa.JSON(), nullable=False),
        sa.Column("misses", sa.Integer(), nullable=False, server_default="0"),
        sa.Column("holder_said", sa.String()),
        sa.Column("begun_at", INSTANT, nullable=False),
        sa.Column("moved_at", INSTANT, nullable=False),
        sa.Column("settled_by", sa.String()),
    )
    index("joining", "phone_id")
    index("joining", "plot_id")
    index("joining", "scheme_id", "state", "moved_at")
    make(
        "consent",
        link("consent", "phone_id", "phone"),
        sa.Column("how", sa.String(), nullable=False),
        sa.Column("about", sa.JSON(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
    )
    index("consent", "phone_id", "id")
    make(
        "outlet_keeper",
        link("outlet_keeper", "phone_id", "phone"),
        link("outlet_keeper", "block_id", "block"),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("since", INSTANT, nullable=False),
        sa.UniqueConstraint("phone_id", "block_id", name="uq_outlet_keeper_phone_id_block_id"),
    )
    index("outlet_keeper", "block_id")
    make(
        "outlet_report",
        link("outlet_report", "block_id", "block"),
        link("outlet_report", "plot_id", "plot", null=True),
        link("outlet_report", "phone_id", "phone"),
        link("outlet_report", "text_id", "text_in", null=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("hours", sa.Double()),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("taken_back_at", INSTANT),
    )
    index("outlet_report", "phone_id")
    index("outlet_report", "block_id", "at")
    index("outlet_report", "scheme_id", "at")


def downgrade() -> None:
    """Drop them, and all that they hold."""
    for table in ("outlet_report", "outlet_keeper", "consent", "joining"):
        op.drop_table(table)
