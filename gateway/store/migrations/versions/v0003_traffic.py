"""Texts in, the event book, questions, advice, the outbox, its receipts, and dialogues."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
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
        "text_in",
        sa.Column("id", BIG, nullable=False),
        link("fk_text_in_scheme_id", "scheme_id", "scheme.id"),
        link("fk_text_in_phone_id", "phone_id", "phone.id"),
        sa.Column("carrier", sa.String(), nullable=False),
        sa.Column("mark", sa.LargeBinary(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.Column("flaws", PLAIN, nullable=True),
        sa.Column("received_at", INSTANT, nullable=False),
        sa.Column("kept_at", INSTANT, nullable=False),
        sa.Column("outcome", sa.String(), nullable=True),
        sa.Column("understood", sa.String(), nullable=False, server_default=""),
        sa.Column("meaning", PLAIN, nullable=True),
        sa.Column("failure", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_text_in"),
        sa.UniqueConstraint("carrier", "mark", name="uq_text_in_carrier_mark"),
    )
    op.create_index("ix_text_in_phone_id_id", "text_in", ["phone_id", "id"])
    op.create_index("ix_text_in_scheme_id_received_at", "text_in", ["scheme_id", "received_at"])
    op.create_table(
        "unreadable",
        sa.Column("id", BIG, nullable=False),
        link("fk_unreadable_scheme_id", "scheme_id", "scheme.id", null=True),
        sa.Column("carrier", sa.String(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("cause", sa.String(), nullable=False),
        sa.Column("raw", sa.LargeBinary(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_unreadable"),
    )
    op.create_table(
        "event",
        sa.Column("id", BIG, nullable=False),
        link("fk_event_scheme_id", "scheme_id", "scheme.id"),
        link("fk_event_plot_id", "plot_id", "plot.id"),
        link("fk_event_text_id", "text_id", "text_in.id", null=True),
        link("fk_event_supersedes", "supersedes", "event.id", null=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.Time(), nullable=True),
        sa.Column("fields", PLAIN, nullable=True),
        sa.Column("recorded_at", INSTANT, nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_event"),
    )
    op.create_index("ix_event_plot_id_on", "event", ["plot_id", "on"])
    op.create_index("ix_event_supersedes", "event", ["supersedes"])
    op.create_index("ix_event_text_id", "event", ["text_id"])
    op.create_table(
        "question",
        sa.Column("id", BIG, nullable=False),
        link("fk_question_scheme_id", "scheme_id", "scheme.id"),
        link("fk_question_phone_id", "phone_id", "phone.id"),
        link("fk_question_plot_id", "plot_id", "plot.id", null=True),
        link("fk_question_text_id", "text_id", "text_in.id", null=True),
        sa.Column("about", sa.String(), nullable=False),
        sa.Column("candidates", PLAIN, nullable=False),
        sa.Column("level_cm", sa.Double(), nullable=True),
        sa.Column("dry", sa.Boolean(), nullable=False),
        sa.Column("valid_until", INSTANT, nullable=False),
        sa.Column("closed_at", INSTANT, nullable=True),
        sa.Column("closed_how", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_question"),
    )
    op.create_index("ix_question_phone_id", "question", ["phone_id"])
    op.create_index("ix_question_text_id", "question", ["text_id"])
    op.create_table(
        "advice",
        sa.Column("id", BIG, nullable=False),
        link("fk_advice_scheme_id", "scheme_id", "scheme.id"),
        link("fk_advice_plot_id", "plot_id", "plot.id"),
        link("fk_advice_season_id", "season_id", "season.id", null=True),
        link("fk_advice_text_id", "text_id", "text_in.id", null=True),
        sa.Column("as_of", INSTANT, nullable=False),
        sa.Column("topic", sa.String(), nullable=False, server_default=""),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("action", sa.String(), nullable=False),
        sa.Column("level_cm", sa.Double(), nullable=True),
        sa.Column("next_reading_on", sa.Date(), nullable=True),
        sa.Column("setting", PLAIN, nullable=False),
        sa.Column("advice", PLAIN, nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("rules_digest", sa.String(), nullable=False),
        sa.Column("words_digest", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_advice"),
    )
    op.create_index("ix_advice_plot_id_id", "advice", ["plot_id", "id"])
    op.create_index("ix_advice_text_id", "advice", ["text_id"])
    op.create_table(
        "paper",
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("files", PLAIN, nullable=False),
        sa.PrimaryKeyConstraint("digest", name="pk_paper"),
    )
    op.create_table(
        "outbox",
        sa.Column("id", BIG, nullable=False),
        link("fk_outbox_scheme_id", "scheme_id", "scheme.id"),
        link("fk_outbox_phone_id", "phone_id", "phone.id"),
        link("fk_outbox_plot_id", "plot_id", "plot.id", null=True),
        link("fk_outbox_in_reply_to", "in_reply_to", "text_in.id", null=True),
        link("fk_outbox_advice_id", "advice_id", "advice.id", null=True),
        link("fk_outbox_duty_id", "duty_id", "duty.id", null=True),
        link("fk_outbox_resend_of", "resend_of", "outbox.id", null=True),
        sa.Column("carrier", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("topic", sa.String(), nullable=False, server_default=""),
        sa.Column("safety", sa.Boolean(), nullable=False, server_default=sa.false()),
        sa.Column("rank", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=True),
        sa.Column("not_before", INSTANT, nullable=False),
        sa.Column("valid_until", INSTANT, nullable=False),
        sa.Column("created_at", INSTANT, nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("state_at", INSTANT, nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False, server_default="0"),
        sa.Column("lease_until", INSTANT, nullable=True),
        sa.Column("carrier_reference", sa.String(), nullable=True),
        sa.Column("words", sa.String(), nullable=False, server_default=""),
        sa.Column("sent_at", INSTANT, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_outbox"),
        sa.UniqueConstraint("scheme_id", "key", name="uq_outbox_scheme_id_key"),
    )
    op.create_index(
        "ix_outbox_carrier_carrier_reference", "outbox", ["carrier", "carrier_reference"]
    )
    op.create_index("ix_outbox_duty_id", "outbox", ["duty_id"])
    op.create_index("ix_outbox_in_reply_to", "outbox", ["in_reply_to"])
    op.create_index("ix_outbox_phone_id", "outbox", ["phone_id"])
    op.create_index("ix_outbox_scheme_id_created_at", "outbox", ["scheme_id", "created_at"])
    op.create_index("ix_outbox_state_carrier_rank_id", "outbox", ["state", "carrier", "rank", "id"])
    op.create_table(
        "outbox_move",
        sa.Column("id", BIG, nullable=False),
        link("fk_outbox_move_scheme_id", "scheme_id", "scheme.id"),
        link("fk_outbox_move_parcel_id", "parcel_id", "outbox.id"),
        sa.Column("from_state", sa.String(), nullable=False),
        sa.Column("to_state", sa.String(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("words", sa.String(), nullable=False, server_default=""),
        sa.PrimaryKeyConstraint("id", name="pk_outbox_move"),
    )
    op.create_index("ix_outbox_move_parcel_id", "outbox_move", ["parcel_id"])
    op.create_table(
        "receipt",
        sa.Column("id", BIG, nullable=False),
        link("fk_receipt_scheme_id", "scheme_id", "scheme.id", null=True),
        link("fk_receipt_parcel_id", "parcel_id", "outbox.id", null=True),
        sa.Column("carrier", sa.String(), nullable=False),
        sa.Column("reference", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_receipt"),
    )
    op.create_index("ix_receipt_carrier_reference", "receipt", ["carrier", "reference"])
    op.create_index("ix_receipt_parcel_id", "receipt", ["parcel_id"])
    op.create_table(
        "dialogue",
        sa.Column("id", BIG, nullable=False),
        link("fk_dialogue_scheme_id", "scheme_id", "scheme.id"),
        link("fk_dialogue_phone_id", "phone_id", "phone.id"),
        sa.Column("carrier", sa.String(), nullable=False),
        sa.Column("mark", sa.LargeBinary(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("ended", sa.Boolean(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_dialogue"),
        sa.UniqueConstraint(
            "phone_id", "carrier", "mark", name="uq_dialogue_phone_id_carrier_mark"
        ),
    )


def downgrade() -> None:
    """Drop them, and all that they hold."""
    op.drop_table("dialogue")
    op.drop_table("receipt")
    op.drop_table("outbox_move")
    op.drop_table("outbox")
    op.drop_table("paper")
    op.drop_table("advice")
    op.drop_table("question")
    op.drop_table("event")
    op.drop_table("unreadable")
    op.drop_table("text_in")
