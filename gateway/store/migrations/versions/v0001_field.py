"""Places and people, the crop, the weather and the water to come."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
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
        "scheme",
        sa.Column("id", BIG, nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("short_name", sa.String(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("region", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_scheme"),
        sa.UniqueConstraint("code", name="uq_scheme_code"),
    )
    op.create_table(
        "block",
        sa.Column("id", BIG, nullable=False),
        link("fk_block_scheme_id", "scheme_id", "scheme.id"),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("outlet", sa.String(), nullable=False),
        sa.Column("outlet_lps", sa.Double(), nullable=True),
        sa.Column("water_told", sa.Boolean(), nullable=False, server_default=sa.false()),
        sa.PrimaryKeyConstraint("id", name="pk_block"),
        sa.UniqueConstraint("scheme_id", "name", name="uq_block_scheme_id_name"),
    )
    op.create_table(
        "grower",
        sa.Column("id", BIG, nullable=False),
        link("fk_grower_scheme_id", "scheme_id", "scheme.id"),
        sa.Column("name", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_grower"),
    )
    op.create_table(
        "plot",
        sa.Column("id", BIG, nullable=False),
        link("fk_plot_scheme_id", "scheme_id", "scheme.id"),
        link("fk_plot_block_id", "block_id", "block.id"),
        link("fk_plot_grower_id", "grower_id", "grower.id", null=True),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("village", sa.String(), nullable=False, server_default=""),
        sa.Column("area_ha", sa.Double(), nullable=True),
        sa.Column("soil", sa.String(), nullable=True),
        sa.Column("latitude", sa.Double(), nullable=True),
        sa.Column("elevation_m", sa.Double(), nullable=True),
        sa.Column("rim_cm", sa.Double(), nullable=True),
        sa.Column("tube_bottom_cm", sa.Double(), nullable=True),
        sa.Column("threshold_cm", sa.Double(), nullable=True),
        sa.Column("threshold_raised_by", sa.String(), nullable=True),
        sa.Column("threshold_raised_on", sa.Date(), nullable=True),
        sa.Column("threshold_raised_reason", sa.String(), nullable=True),
        sa.Column("bars", PLAIN, nullable=True),
        sa.Column("outlet_lps", sa.Double(), nullable=True),
        sa.Column("profile", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_plot"),
        sa.UniqueConstraint("scheme_id", "code", name="uq_plot_scheme_id_code"),
    )
    op.create_index("ix_plot_block_id", "plot", ["block_id"])
    op.create_table(
        "phone",
        sa.Column("id", BIG, nullable=False),
        link("fk_phone_scheme_id", "scheme_id", "scheme.id"),
        sa.Column("number", sa.LargeBinary(), nullable=False),
        sa.Column("mark", sa.LargeBinary(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("known", sa.Boolean(), nullable=False, server_default=sa.false()),
        sa.Column("left_at", INSTANT, nullable=True),
        sa.Column("since", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_phone"),
        sa.UniqueConstraint("scheme_id", "mark", name="uq_phone_scheme_id_mark"),
    )
    op.create_table(
        "reader",
        sa.Column("id", BIG, nullable=False),
        link("fk_reader_scheme_id", "scheme_id", "scheme.id"),
        link("fk_reader_phone_id", "phone_id", "phone.id"),
        link("fk_reader_plot_id", "plot_id", "plot.id"),
        link("fk_reader_grower_id", "grower_id", "grower.id"),
        sa.Column("reads", sa.String(), nullable=True),
        sa.Column("role", sa.String(), nullable=False, server_default="reader"),
        sa.Column("since", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_reader"),
        sa.UniqueConstraint("phone_id", "plot_id", name="uq_reader_phone_id_plot_id"),
    )
    op.create_index("ix_reader_plot_id", "reader", ["plot_id"])
    op.create_table(
        "nitrogen_plan",
        sa.Column("id", BIG, nullable=False),
        link("fk_nitrogen_plan_scheme_id", "scheme_id", "scheme.id"),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("product", sa.String(), nullable=False),
        sa.Column("n_percent", sa.Double(), nullable=False),
        sa.Column("approved_by", sa.String(), nullable=False),
        sa.Column("approved_on", sa.Date(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_nitrogen_plan"),
        sa.UniqueConstraint("scheme_id", "name", name="uq_nitrogen_plan_scheme_id_name"),
    )
    op.create_table(
        "nitrogen_split",
        sa.Column("id", BIG, nullable=False),
        link("fk_nitrogen_split_scheme_id", "scheme_id", "scheme.id"),
        link("fk_nitrogen_split_plan_id", "plan_id", "nitrogen_plan.id"),
        sa.Column("from_day", sa.Integer(), nullable=False),
        sa.Column("to_day", sa.Integer(), nullable=False),
        sa.Column("kg_n_ha", sa.Double(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_nitrogen_split"),
    )
    op.create_index("ix_nitrogen_split_plan_id", "nitrogen_split", ["plan_id"])
    op.create_table(
        "season",
        sa.Column("id", BIG, nullable=False),
        link("fk_season_scheme_id", "scheme_id", "scheme.id"),
        link("fk_season_plot_id", "plot_id", "plot.id"),
        link("fk_season_plan_id", "plan_id", "nitrogen_plan.id", null=True),
        sa.Column("method", sa.String(), nullable=False),
        sa.Column("established_on", sa.Date(), nullable=False),
        sa.Column("sown_on", sa.Date(), nullable=True),
        sa.Column("duration_days", sa.Integer(), nullable=True),
        sa.Column("flowering_seen_on", sa.Date(), nullable=True),
        sa.Column("variety", sa.String(), nullable=False, server_default=""),
        sa.Column("splits", PLAIN, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_season"),
        sa.UniqueConstraint("plot_id", "established_on", name="uq_season_plot_id_established_on"),
    )
    op.create_table(
        "weather",
        sa.Column("id", BIG, nullable=False),
        link("fk_weather_scheme_id", "scheme_id", "scheme.id"),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("recorded_at", INSTANT, nullable=False),
        sa.Column("et0_mm", sa.Double(), nullable=True),
        sa.Column("rain_mm", sa.Double(), nullable=True),
        sa.Column("tmin", sa.Double(), nullable=True),
        sa.Column("tmax", sa.Double(), nullable=True),
        sa.Column("rhmin", sa.Double(), nullable=True),
        sa.Column("rhmax", sa.Double(), nullable=True),
        sa.Column("wind_ms", sa.Double(), nullable=True),
        sa.Column("sun_h", sa.Double(), nullable=True),
        sa.Column("radiation_mj", sa.Double(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_weather"),
    )
    op.create_index(
        "ix_weather_scheme_id_on_recorded_at", "weather", ["scheme_id", "on", "recorded_at"]
    )
    op.create_table(
        "water_window",
        sa.Column("id", BIG, nullable=False),
        link("fk_water_window_scheme_id", "scheme_id", "scheme.id"),
        link("fk_water_window_block_id", "block_id", "block.id"),
        sa.Column("from_on", sa.Date(), nullable=False),
        sa.Column("to_on", sa.Date(), nullable=False),
        sa.Column("sure", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_water_window"),
    )
    op.create_index("ix_water_window_block_id", "water_window", ["block_id"])


def downgrade() -> None:
    """Drop them, and all that they hold."""
    op.drop_table("water_window")
    op.drop_table("weather")
    op.drop_table("season")
    op.drop_table("nitrogen_split")
    op.drop_table("nitrogen_plan")
    op.drop_table("reader")
    op.drop_table("phone")
    op.drop_table("plot")
    op.drop_table("grower")
    op.drop_table("block")
    op.drop_table("scheme")
