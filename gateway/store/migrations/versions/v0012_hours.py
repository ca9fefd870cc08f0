"""The hours of the day in which a turn runs, or there is power for a pump; not known so far."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns; what was told so far runs the whole day."""
    op.add_column("water_window", sa.Column("starts", sa.Time(), nullable=True))
    op.add_column("water_window", sa.Column("ends", sa.Time(), nullable=True))


def downgrade() -> None:
    """Drop them."""
    op.drop_column("water_window", "ends")
    op.drop_column("water_window", "starts")
