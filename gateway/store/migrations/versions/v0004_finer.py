"""The finer facts of a plot, a crop and a plan's split, each not known on the rows that stand."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns."""
    op.add_column("plot", sa.Column("threshold_raised_from_cm", sa.Double(), nullable=True))
    op.add_column("plot", sa.Column("water_ec_ds_m", sa.Double(), nullable=True))
    op.add_column("plot", sa.Column("bund_cm", sa.Double(), nullable=True))
    op.add_column("plot", sa.Column("area_confirmed", sa.Boolean(), nullable=True))
    op.add_column("season", sa.Column("crop_season", sa.String(), nullable=True))
    op.add_column("season", sa.Column("photoperiod_sensitive", sa.Boolean(), nullable=True))
    op.add_column(
        "season", sa.Column("uneven", sa.Boolean(), nullable=False, server_default=sa.false())
    )
    op.add_column("season", sa.Column("seedlings", sa.String(), nullable=True))
    op.add_column("nitrogen_split", sa.Column("plan_kg", sa.Double(), nullable=True))


def downgrade() -> None:
    """Drop them, and all that they hold."""
    op.drop_column("nitrogen_split", "plan_kg")
    op.drop_column("season", "seedlings")
    op.drop_column("season", "uneven")
    op.drop_column("season", "photoperiod_sensitive")
    op.drop_column("season", "crop_season")
    op.drop_column("plot", "area_confirmed")
    op.drop_column("plot", "bund_cm")
    op.drop_column("plot", "water_ec_ds_m")
    op.drop_column("plot", "threshold_raised_from_cm")
