"""Where a plot's water comes from, and turns told apart from power hours; not known so far."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns; what was told so far are turns."""
    op.add_column("plot", sa.Column("water_source", sa.String(), nullable=True))
    op.add_column("block", sa.Column("pumps_told", sa.JSON(none_as_null=True), nullable=True))
    op.add_column(
        "water_window",
        sa.Column("source", sa.String(), nullable=False, server_default="gravity-turn"),
    )


def downgrade() -> None:
    """Drop them; power hours would be taken for turns, so they go first."""
    op.execute("DELETE FROM water_window WHERE source <> 'gravity-turn'")
    op.drop_column("water_window", "source")
    op.drop_column("block", "pumps_told")
    op.drop_column("plot", "water_source")
