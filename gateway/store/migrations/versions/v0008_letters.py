"""The letters that a phone gets its texts in, not chosen on the rows that stand."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column."""
    op.add_column("phone", sa.Column("letters", sa.String(), nullable=True))


def downgrade() -> None:
    """Drop it, and all that it holds."""
    op.drop_column("phone", "letters")
