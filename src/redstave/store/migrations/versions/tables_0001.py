"""The first tables of a season."""

import sqlalchemy as sa
from alembic import op

from redstave.store.migrations.growing import only_grow

revision = "0001"
down_revision = None

GROWING = (
    "review", "finding", "remark_revision", "decision", "grade", "sealed_name", "log_line",
)  # fmt: skip


def upgrade() -> None:
    """Make them, and refuse to change what only grows."""
    _entry()
    _phrase()
    _season()
    _switched()
    _threshold()
    _decision()
    _draft()
    _draft_past()
    _grade()
    _log_line()
    _phrase_variant()
    _remark()
    _set_aside()
    _sheet()
    _version()
    _remark_revision()
    _review()
    _sealed_name()
    _finding()
    only_grow(*GROWING)


def _entry() -> None:
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("stage", sa.Text(), server_default="", nullable=False),
        sa.Column("seconds", sa.Float(), server_default="0", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_entry")),
        sa.UniqueConstraint("code", name=op.f("uq_entry_code")),
    )


def _phrase() -> None:
    op.create_table(
        "phrase",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), server_default="", nullable=False),
        sa.Column("checks", sa.Text(), server_default="", nullable=False),
        sa.Column("criteria", sa.Text(), server_default="", nullable=False),
        sa.Column("position", sa.Integer(), server_default="0", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_phrase")),
    )


def _season() -> None:
    op.create_table(
        "season",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), server_default="", nullable=False),
        sa.Column("teacher", sa.Text(), server_default="", nullable=False),
        sa.Column("forces", sa.Text(), server_default="", nullable=False),
        sa.Column("hall", sa.Text(), server_default="", nullable=False),
        sa.Column("seat", sa.Text(), server_default="", nullable=False),
        sa.Column("tail", sa.Boolean(), nullable=False),
        sa.Column("players", sa.Text(), server_default="", nullable=False),
        sa.Column("original", sa.Text(), server_default="", nullable=False),
        sa.Column("original_ending", sa.Text(), server_default="", nullable=False),
        sa.Column("criteria", sa.Text(), server_default="", nullable=False),
        sa.Column("created_at", sa.Text(), server_default="", nullable=False),
        sa.Column("opened_at", sa.Text(), server_default="", nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_season_one")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_season")),
    )


def _switched() -> None:
    op.create_table(
        "switched",
        sa.Column("slug", sa.Text(), nullable=False),
        sa.Column("is_on", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("slug", name=op.f("pk_switched")),
    )


def _threshold() -> None:
    op.create_table(
        "threshold",
        sa.Column("slug", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Float(), nullable=False),
        sa.PrimaryKeyConstraint("slug", "name", name=op.f("pk_threshold")),
    )


def _decision() -> None:
    op.create_table(
        "decision",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.Text(), server_default="", nullable=False),
        sa.Column("slug", sa.Text(), server_default="", nullable=False),
        sa.Column("decision", sa.Text(), server_default="", nullable=False),
        sa.Column("reason", sa.Text(), server_default="", nullable=False),
        sa.Column("remark", sa.Text(), server_default="", nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.Column("by", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_decision_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_decision")),
    )
    op.create_index(op.f("ix_decision_entry_id_key"), "decision", ["entry_id", "key"], unique=False)
    op.create_index(op.f("ix_decision_slug"), "decision", ["slug"], unique=False)


def _draft() -> None:
    op.create_table(
        "draft",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("field", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), server_default="", nullable=False),
        sa.Column("revision", sa.Integer(), server_default="0", nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_draft_entry_id")),
        sa.PrimaryKeyConstraint("entry_id", "field", name=op.f("pk_draft")),
    )


def _draft_past() -> None:
    op.create_table(
        "draft_past",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("field", sa.Text(), server_default="", nullable=False),
        sa.Column("text", sa.Text(), server_default="", nullable=False),
        sa.Column("revision", sa.Integer(), server_default="0", nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_draft_past_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_draft_past")),
    )
    op.create_index(
        op.f("ix_draft_past_entry_id_field"), "draft_past", ["entry_id", "field"], unique=False
    )


def _grade() -> None:
    op.create_table(
        "grade",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("criterion", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("points", sa.Float(), nullable=True),
        sa.Column("note", sa.Text(), server_default="", nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.Column("by", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_grade_entry_id")),
        sa.PrimaryKeyConstraint("entry_id", "criterion", "revision", name=op.f("pk_grade")),
    )


def _log_line() -> None:
    op.create_table(
        "log_line",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=True),
        sa.Column("what", sa.Text(), server_default="", nullable=False),
        sa.Column("detail", sa.Text(), server_default="", nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.Column("by", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_log_line_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_log_line")),
    )


def _phrase_variant() -> None:
    op.create_table(
        "phrase_variant",
        sa.Column("phrase_id", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("text", sa.Text(), server_default="", nullable=False),
        sa.Column("used", sa.Integer(), server_default="0", nullable=False),
        sa.ForeignKeyConstraint(
            ["phrase_id"], ["phrase.id"], name=op.f("fk_phrase_variant_phrase_id")
        ),
        sa.PrimaryKeyConstraint("phrase_id", "position", name=op.f("pk_phrase_variant")),
    )


def _remark() -> None:
    op.create_table(
        "remark",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), server_default="0", nullable=False),
        sa.Column("position", sa.Integer(), server_default="0", nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_remark_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_remark")),
    )
    op.create_index(op.f("ix_remark_entry_id"), "remark", ["entry_id"], unique=False)


def _set_aside() -> None:
    op.create_table(
        "set_aside",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("field", sa.Text(), server_default="", nullable=False),
        sa.Column("text", sa.Text(), server_default="", nullable=False),
        sa.Column("revision", sa.Integer(), server_default="0", nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.Column("done", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_set_aside_entry_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_set_aside")),
    )


def _sheet() -> None:
    op.create_table(
        "sheet",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("locked_at", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_sheet_entry_id")),
        sa.PrimaryKeyConstraint("entry_id", name=op.f("pk_sheet")),
    )


def _version() -> None:
    op.create_table(
        "version",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("ending", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_version_entry_id")),
        sa.PrimaryKeyConstraint("entry_id", "number", name=op.f("pk_version")),
        sa.UniqueConstraint("sha256", name=op.f("uq_version_sha256")),
    )


def _remark_revision() -> None:
    op.create_table(
        "remark_revision",
        sa.Column("remark_id", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("kind", sa.Text(), server_default="", nullable=False),
        sa.Column("weight", sa.Text(), server_default="", nullable=False),
        sa.Column("criterion", sa.Text(), server_default="", nullable=False),
        sa.Column("slug", sa.Text(), server_default="", nullable=False),
        sa.Column("finding", sa.Text(), server_default="", nullable=False),
        sa.Column("body", sa.Text(), server_default="", nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.Column("by", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(
            ["remark_id"], ["remark.id"], name=op.f("fk_remark_revision_remark_id")
        ),
        sa.PrimaryKeyConstraint("remark_id", "revision", name=op.f("pk_remark_revision")),
    )
    op.create_index(op.f("ix_remark_revision_slug"), "remark_revision", ["slug"], unique=False)


def _review() -> None:
    op.create_table(
        "review",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("provenance", sa.Text(), server_default="", nullable=False),
        sa.Column("redstave", sa.Text(), server_default="", nullable=False),
        sa.Column("data_edition", sa.Text(), server_default="", nullable=False),
        sa.Column("settings", sa.Text(), server_default="", nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.Column("body", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(
            ["entry_id", "number"],
            ["version.entry_id", "version.number"],
            name=op.f("fk_review_entry_id_number"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_review")),
        sa.UniqueConstraint(
            "entry_id", "number", "provenance", name=op.f("uq_review_entry_id_number_provenance")
        ),
    )


def _sealed_name() -> None:
    op.create_table(
        "sealed_name",
        sa.Column("entry_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), server_default="", nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(
            ["entry_id", "number"],
            ["version.entry_id", "version.number"],
            name=op.f("fk_sealed_name_entry_id_number"),
        ),
        sa.PrimaryKeyConstraint("entry_id", "number", name=op.f("pk_sealed_name")),
    )


def _finding() -> None:
    op.create_table(
        "finding",
        sa.Column("review_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("key", sa.Text(), server_default="", nullable=False),
        sa.Column("slug", sa.Text(), server_default="", nullable=False),
        sa.Column("claim", sa.Text(), server_default="", nullable=False),
        sa.Column("first_bar", sa.Integer(), server_default="0", nullable=False),
        sa.Column("last_bar", sa.Integer(), server_default="0", nullable=False),
        sa.Column("places", sa.Integer(), server_default="0", nullable=False),
        sa.ForeignKeyConstraint(["review_id"], ["review.id"], name=op.f("fk_finding_review_id")),
        sa.PrimaryKeyConstraint("review_id", "position", name=op.f("pk_finding")),
    )
    op.create_index(op.f("ix_finding_key"), "finding", ["key"], unique=False)
    op.create_index(op.f("ix_finding_slug"), "finding", ["slug"], unique=False)
