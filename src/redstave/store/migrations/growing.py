"""Tables that only grow: the database itself refuses to change or delete a row of them."""

from alembic import op

_POSTGRES_FUNCTION = """
CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger AS $$
BEGIN
    RAISE EXCEPTION '% only grows', TG_TABLE_NAME;
END
$$ LANGUAGE plpgsql
"""


def only_grow(*tables: str) -> None:
    """Refuse UPDATE and DELETE on tables, in SQLite and PostgreSQL."""
    dialect = op.get_context().dialect.name
    if dialect == "postgresql":
        op.execute(_POSTGRES_FUNCTION)
    for table in tables:
        if dialect == "postgresql":
            op.execute(
                f"CREATE TRIGGER {table}_only_grows BEFORE UPDATE OR DELETE ON {table} "
                "FOR EACH ROW EXECUTE FUNCTION refuse_change()"
            )
        elif dialect == "sqlite":
            for event in ("UPDATE", "DELETE"):
                op.execute(
                    f"CREATE TRIGGER {table}_no_{event.lower()} BEFORE {event} ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{table} only grows'); END"
                )
