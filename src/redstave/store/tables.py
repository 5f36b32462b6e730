"""The tables of a season. Times are UTC in ISO 8601, texts of ours are JSON where they nest.

What a teacher has written is never updated in place: reviews, findings, revisions of remarks,
decisions, grades, names and the log only grow (triggers in the migrations refuse anything else).
`remark` and `draft` hold the number of the newest revision, so that a stale write is noticed in
one statement.
"""

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Float,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

#: The newest migration; a test holds it against the migrations that are there.
SCHEMA = "0002"

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def _text(name: str) -> Column[str]:
    return Column(name, Text, nullable=False, server_default="")


def _whole(name: str) -> Column[int]:
    return Column(name, Integer, nullable=False, server_default="0")


def _number_id() -> Column[int]:
    return Column("id", Integer, primary_key=True, autoincrement=True)


def _of_entry(primary_key: bool = False) -> Column[int]:
    return Column(
        "entry_id", Integer, ForeignKey("entry.id"), nullable=False, primary_key=primary_key
    )


season = Table(
    "season",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    _text("name"),
    _text("teacher"),
    _text("forces"),
    _text("hall"),
    _text("seat"),
    Column("tail", Boolean, nullable=False),
    _text("players"),
    _text("original"),
    _text("original_ending"),
    _text("criteria"),
    _text("created_at"),
    _text("opened_at"),
    CheckConstraint("id = 1", name="one"),
)

entry = Table(
    "entry",
    metadata,
    _number_id(),
    Column("code", Text, nullable=False, unique=True),
    _text("stage"),
    Column("seconds", Float, nullable=False, server_default="0"),
)

version = Table(
    "version",
    metadata,
    _of_entry(primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("sha256", Text, nullable=False, unique=True),
    _text("ending"),
)

sealed_name = Table(
    "sealed_name",
    metadata,
    Column("entry_id", Integer, primary_key=True, autoincrement=False),
    Column("number", Integer, primary_key=True, autoincrement=False),
    _text("name"),
    _text("at"),
    ForeignKeyConstraint(["entry_id", "number"], ["version.entry_id", "version.number"]),
)

review = Table(
    "review",
    metadata,
    _number_id(),
    Column("entry_id", Integer, nullable=False),
    Column("number", Integer, nullable=False),
    _text("provenance"),
    _text("redstave"),
    _text("data_edition"),
    _text("settings"),
    _text("at"),
    _text("body"),
    ForeignKeyConstraint(["entry_id", "number"], ["version.entry_id", "version.number"]),
    UniqueConstraint("entry_id", "number", "provenance"),
)

finding = Table(
    "finding",
    metadata,
    Column("review_id", Integer, ForeignKey("review.id"), primary_key=True, autoincrement=False),
    Column("position", Integer, primary_key=True, autoincrement=False),
    _text("key"),
    _text("slug"),
    _text("claim"),
    _whole("first_bar"),
    _whole("last_bar"),
    _whole("places"),
    Index(None, "slug"),
    Index(None, "key"),
)

decision = Table(
    "decision",
    metadata,
    _number_id(),
    _of_entry(),
    _text("key"),
    _text("slug"),
    _text("decision"),
    _text("reason"),
    _text("remark"),
    _text("at"),
    _text("by"),
    Index(None, "entry_id", "key"),
    Index(None, "slug"),
)

remark = Table(
    "remark",
    metadata,
    Column("id", Text, primary_key=True),
    _of_entry(),
    _whole("revision"),
    _whole("position"),
    Index(None, "entry_id"),
)

remark_revision = Table(
    "remark_revision",
    metadata,
    Column("remark_id", Text, ForeignKey("remark.id"), primary_key=True),
    Column("revision", Integer, primary_key=True, autoincrement=False),
    _text("kind"),
    _text("weight"),
    _text("criterion"),
    _text("slug"),
    _text("finding"),
    _text("body"),
    Column("withdrawn", Boolean, nullable=False),
    _text("at"),
    _text("by"),
    Index(None, "slug"),
)

draft = Table(
    "draft",
    metadata,
    _of_entry(primary_key=True),
    Column("field", Text, primary_key=True),
    _text("text"),
    _whole("revision"),
    _text("at"),
)

draft_past = Table(
    "draft_past",
    metadata,
    _number_id(),
    _of_entry(),
    _text("field"),
    _text("text"),
    _whole("revision"),
    _text("at"),
    Index(None, "entry_id", "field"),
)

set_aside = Table(
    "set_aside",
    metadata,
    _number_id(),
    _of_entry(),
    _text("field"),
    _text("text"),
    _whole("revision"),
    _text("at"),
    Column("done", Boolean, nullable=False),
)

grade = Table(
    "grade",
    metadata,
    _of_entry(primary_key=True),
    Column("criterion", Text, primary_key=True),
    Column("revision", Integer, primary_key=True, autoincrement=False),
    Column("points", Float, nullable=True),
    _text("note"),
    _text("at"),
    _text("by"),
)

sheet = Table("sheet", metadata, _of_entry(primary_key=True), _text("locked_at"))

phrase = Table(
    "phrase",
    metadata,
    Column("id", Text, primary_key=True),
    _text("kind"),
    _text("checks"),
    _text("criteria"),
    _whole("position"),
)

phrase_variant = Table(
    "phrase_variant",
    metadata,
    Column("phrase_id", Text, ForeignKey("phrase.id"), primary_key=True),
    Column("position", Integer, primary_key=True, autoincrement=False),
    _text("text"),
    _whole("used"),
)

threshold = Table(
    "threshold",
    metadata,
    Column("slug", Text, primary_key=True),
    Column("name", Text, primary_key=True),
    Column("value", Float, nullable=False),
)

switched = Table(
    "switched",
    metadata,
    Column("slug", Text, primary_key=True),
    Column("is_on", Boolean, nullable=False),
)

teacher_word = Table(
    "teacher_word",
    metadata,
    Column("entry_id", Integer, primary_key=True, autoincrement=False),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("revision", Integer, primary_key=True, autoincrement=False),
    _text("body"),
    _text("at"),
    _text("by"),
    ForeignKeyConstraint(["entry_id", "number"], ["version.entry_id", "version.number"]),
)

log_line = Table(
    "log_line",
    metadata,
    _number_id(),
    Column("entry_id", Integer, ForeignKey("entry.id"), nullable=True),
    _text("what"),
    _text("detail"),
    _text("at"),
    _text("by"),
)
