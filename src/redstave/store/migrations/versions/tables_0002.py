"""The teacher's word on an entry: pins, voices, roles, cuts."""

import sqlalchemy as sa
from alembic import op

from redstave.store.migrations.growing import only_grow

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make its table, which only grows."""
    op.create_table(
        "teacher_word",
        sa.Column("entry_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("revision", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("body", sa.Text(), server_default="", nullable=False),
        sa.Column("at", sa.Text(), server_default="", nullable=False),
        sa.Column("by", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(
            ["entry_id", "number"],
            ["version.entry_id", "version.number"],
            name=op.f("fk_teacher_word_entry_id_number"),
        ),
        sa.PrimaryKeyConstraint("entry_id", "number", "revision", name=op.f("pk_teacher_word")),
    )
    only_grow("teacher_word")
