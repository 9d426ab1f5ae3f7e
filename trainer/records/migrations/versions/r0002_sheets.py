"""Lay the table of bench sheets, and what keeps it append-only."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

SQLITE = (
    """
    CREATE TRIGGER sheets_stay_as_filed BEFORE UPDATE ON sheets
    BEGIN SELECT RAISE(ABORT, 'a filed sheet stays as it is'); END
    """,
    """
    CREATE TRIGGER sheets_stay BEFORE DELETE ON sheets
    BEGIN SELECT RAISE(ABORT, 'a filed sheet stays'); END
    """,
    # Also holds INSERT OR REPLACE, which takes the old row away without asking the trigger above.
    """
    CREATE TRIGGER sheets_follow_each_other BEFORE INSERT ON sheets
    WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM sheets)
      OR NEW.previous_hash IS NOT coalesce(
        (SELECT hash FROM sheets ORDER BY number DESC LIMIT 1), printf('%064d', 0))
      OR EXISTS (SELECT 1 FROM sheets WHERE id = NEW.id OR hash = NEW.hash OR corrects = NEW.corrects)
    BEGIN SELECT RAISE(ABORT, 'a sheet follows the newest one'); END
    """,
)

POSTGRESQL = (
    """
    CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN RAISE EXCEPTION USING ERRCODE = 'integrity_constraint_violation', MESSAGE = TG_ARGV[0]; END $$
    """,
    """
    CREATE TRIGGER sheets_stay_as_filed BEFORE UPDATE ON sheets
    FOR EACH ROW EXECUTE FUNCTION refuse_change('a filed sheet stays as it is')
    """,
    """
    CREATE TRIGGER sheets_stay BEFORE DELETE ON sheets
    FOR EACH ROW EXECUTE FUNCTION refuse_change('a filed sheet stays')
    """,
    """
    CREATE TRIGGER sheets_stay_all BEFORE TRUNCATE ON sheets
    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a filed sheet stays')
    """,
    """
    CREATE FUNCTION check_next_sheet() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN
      IF NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM sheets)
        OR NEW.previous_hash <> coalesce(
          (SELECT hash FROM sheets ORDER BY number DESC LIMIT 1), repeat('0', 64))
      THEN
        RAISE EXCEPTION USING ERRCODE = 'integrity_constraint_violation',
          MESSAGE = 'a sheet follows the newest one';
      END IF;
      RETURN NEW;
    END $$
    """,
    """
    CREATE TRIGGER sheets_follow_each_other BEFORE INSERT ON sheets
    FOR EACH ROW EXECUTE FUNCTION check_next_sheet()
    """,
)


def upgrade() -> None:
    """Make the table and its triggers."""
    op.create_table(
        "sheets",
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("when_utc", sa.Text, nullable=False),
        sa.Column("corrects", sa.Text, nullable=True),
        sa.Column("content_json", sa.Text, nullable=False),
        sa.Column("previous_hash", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_sheets"),
        sa.UniqueConstraint("id", name="uq_sheets_id"),
        sa.UniqueConstraint("previous_hash", name="uq_sheets_previous_hash"),
        sa.UniqueConstraint("hash", name="uq_sheets_hash"),
        sa.UniqueConstraint("corrects", name="uq_sheets_corrects"),
        sa.ForeignKeyConstraint(["corrects"], ["sheets.id"], name="fk_sheets_corrects_sheets"),
        sqlite_autoincrement=True,
    )
    for trigger in SQLITE if op.get_bind().dialect.name == "sqlite" else POSTGRESQL:
        op.execute(sa.text(trigger))
