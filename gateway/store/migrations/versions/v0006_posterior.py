"""What a season's dry-downs taught, kept as a cache, and what earlier seasons taught before it."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

PLAIN = sa.JSON(none_as_null=True)
BIG = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Add the table; it fills as advice is given."""
    op.create_table(
        "posterior",
        sa.Column(
            "season_id",
            BIG,
            sa.ForeignKey("season.id", name="fk_posterior_season_id_season"),
            autoincrement=False,
        ),
        sa.Column(
            "scheme_id",
            BIG,
            sa.ForeignKey("scheme.id", name="fk_posterior_scheme_id_scheme"),
            nullable=False,
        ),
        sa.Column("habit", PLAIN),
        sa.Column("sign", sa.String()),
        sa.Column("belief", PLAIN),
        sa.PrimaryKeyConstraint("season_id", name="pk_posterior"),
    )


def downgrade() -> None:
    """Drop it; all of it can be reckoned anew."""
    op.drop_table("posterior")
