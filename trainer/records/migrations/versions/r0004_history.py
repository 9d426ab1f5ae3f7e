"""Lay the history of sign-offs, certificates and erasures, and let nothing that was recorded be changed or taken away.

What may change is said here trigger by trigger: a person is renamed, or erased once and for all; and what an
erasure takes along: names in the history, names on sheets, and the hour of an attempt.
"""

# ruff: noqa: S608 - what goes into these statements is written in this very file

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

STAYS = {
    "people": "a person stays; erase takes the name out",
    "attempts": "an attempt stays as recorded",
    "history": "the history stays as it is",
    "history_names": "the history stays as it is",
    "erased_sheets": "the history stays as it is",
    "chains": "the history stays as it is",
}
SHEET = ("number", "id", "when_utc", "corrects", "previous_hash", "hash")
ATTEMPT = (
    "number", "id", "person_number", "kind", "build", "options_json", "question", "answer_json",
    "result_json", "score", "lesson", "subject", "seed", "seconds", "marks_json",
)  # fmt: skip

# Table, name of its trigger → when a change of a row is refused. Written so that both databases read it.
IS_OTHER = "NEW.{0} IS DISTINCT FROM OLD.{0}"
CHANGES = {
    "people": "NEW.number <> OLD.number OR OLD.erased_utc IS NOT NULL",
    "attempts": " OR ".join(IS_OTHER.format(name) for name in ATTEMPT)
    + " OR NOT EXISTS (SELECT 1 FROM people WHERE number = OLD.person_number"
    " AND erased_utc IS NOT NULL)",
    "history": "1 = 1",
    "history_names": "NEW.entry_number <> OLD.entry_number OR NEW.role <> OLD.role"
    " OR NEW.person_number <> OLD.person_number OR NEW.salt IS NOT NULL OR NEW.said_json IS NOT NULL"
    " OR NOT EXISTS (SELECT 1 FROM people WHERE number = OLD.person_number"
    " AND erased_utc IS NOT NULL)",
    "erased_sheets": "1 = 1",
    "chains": "NEW.name <> OLD.name OR NEW.highest <> OLD.highest + 1",
    "sheets": " OR ".join(IS_OTHER.format(name) for name in SHEET)
    + " OR NOT EXISTS (SELECT 1 FROM erased_sheets WHERE sheet_number = OLD.number"
    " AND entry_number = (SELECT max(number) FROM history))",
}
# Holds INSERT OR REPLACE of SQLite too, which takes the old row away without asking any trigger of deleting.
DOUBLES = {
    "people": "number = NEW.number OR name = NEW.name",
    "attempts": "number = NEW.number OR id = NEW.id",
    "history_names": "entry_number = NEW.entry_number AND role = NEW.role",
    "erased_sheets": "sheet_number = NEW.sheet_number AND entry_number = NEW.entry_number",
    "chains": "name = NEW.name",
}
FOLLOWS = (
    "NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM history) OR NEW.previous_hash <> coalesce("
    "(SELECT hash FROM history ORDER BY number DESC LIMIT 1),"
    " '0000000000000000000000000000000000000000000000000000000000000000')"
    " OR EXISTS (SELECT 1 FROM history WHERE id = NEW.id OR hash = NEW.hash)"
)


def upgrade() -> None:
    """Make the tables and their triggers."""
    op.add_column("people", sa.Column("erased_utc", sa.Text, nullable=True))
    op.create_table(
        "history",
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("when_utc", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("content_json", sa.Text, nullable=False),
        sa.Column("previous_hash", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_history"),
        sa.UniqueConstraint("id", name="uq_history_id"),
        sa.UniqueConstraint("previous_hash", name="uq_history_previous_hash"),
        sa.UniqueConstraint("hash", name="uq_history_hash"),
    )
    op.create_table(
        "history_names",
        sa.Column("entry_number", sa.Integer, nullable=False),
        sa.Column("role", sa.Text, nullable=False),
        sa.Column("person_number", sa.Integer, nullable=False),
        sa.Column("salt", sa.Text, nullable=True),
        sa.Column("said_json", sa.Text, nullable=True),
        sa.PrimaryKeyConstraint("entry_number", "role", name="pk_history_names"),
        sa.ForeignKeyConstraint(
            ["entry_number"], ["history.number"], name="fk_history_names_entry_number_history"
        ),
        sa.ForeignKeyConstraint(
            ["person_number"], ["people.number"], name="fk_history_names_person_number_people"
        ),
    )
    op.create_index("ix_history_names_person_number", "history_names", ["person_number"])
    op.create_table(
        "erased_sheets",
        sa.Column("sheet_number", sa.Integer, nullable=False),
        sa.Column("entry_number", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("sheet_number", "entry_number", name="pk_erased_sheets"),
        sa.ForeignKeyConstraint(
            ["sheet_number"], ["sheets.number"], name="fk_erased_sheets_sheet_number_sheets"
        ),
        sa.ForeignKeyConstraint(
            ["entry_number"], ["history.number"], name="fk_erased_sheets_entry_number_history"
        ),
    )
    op.create_table(
        "chains",
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("highest", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_chains"),
    )
    bind = op.get_bind()
    is_sqlite = bind.dialect.name == "sqlite"
    highest = "SELECT coalesce(max(number), 0) FROM sheets"
    if is_sqlite:  # What it keeps of the highest number ever given outlasts the rows.
        highest = "SELECT coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'sheets'), 0)"
    op.execute(f"INSERT INTO chains VALUES ('sheets', ({highest})), ('history', 0)")
    op.execute(f"DROP TRIGGER sheets_stay_as_filed{'' if is_sqlite else ' ON sheets'}")
    for statement in _list_sqlite() if is_sqlite else _list_postgresql():
        op.execute(statement)


def _list_sqlite() -> list[str]:
    raising = "BEGIN SELECT RAISE(ABORT, '{}'); END"
    made = [
        f"CREATE TRIGGER {table}_stay BEFORE DELETE ON {table} {raising.format(why)}"
        for table, why in STAYS.items()
    ]
    made += [
        # SQLite before 3.39 has no IS DISTINCT FROM.
        f"CREATE TRIGGER {table}_stay_as_they_are BEFORE UPDATE ON {table}"
        f" WHEN {when.replace('IS DISTINCT FROM', 'IS NOT')}"
        f" {raising.format(STAYS.get(table, 'a filed sheet stays as it is'))}"
        for table, when in CHANGES.items()
    ]
    made += [
        f"CREATE TRIGGER {table}_are_new BEFORE INSERT ON {table}"
        f" WHEN EXISTS (SELECT 1 FROM {table} WHERE {same}) {raising.format(STAYS[table])}"
        for table, same in DOUBLES.items()
    ]
    made.append(
        f"CREATE TRIGGER history_follows BEFORE INSERT ON history WHEN {FOLLOWS}"
        f" {raising.format('an entry follows the newest one')}"
    )
    made += [
        f"CREATE TRIGGER {table}_are_counted AFTER INSERT ON {table}"
        f" BEGIN UPDATE chains SET highest = highest + 1 WHERE name = '{table}'; END"
        for table in ("sheets", "history")
    ]
    return made


def _list_postgresql() -> list[str]:
    made = []
    for table, why in STAYS.items():
        refuse = f"EXECUTE FUNCTION refuse_change('{why}')"
        made += [
            f"CREATE TRIGGER {table}_stay BEFORE DELETE ON {table} FOR EACH ROW {refuse}",
            f"CREATE TRIGGER {table}_stay_all BEFORE TRUNCATE ON {table} FOR EACH STATEMENT {refuse}",
        ]
    for table, when in CHANGES.items():
        made += _check(table, "stay_as_they_are", "UPDATE", when,
                       STAYS.get(table, "a filed sheet stays as it is"))  # fmt: skip
    made += _check("history", "follows", "INSERT", FOLLOWS, "an entry follows the newest one")
    for table in ("sheets", "history"):
        made += [
            (
                f"CREATE FUNCTION count_{table}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
                f" UPDATE chains SET highest = highest + 1 WHERE name = '{table}'; RETURN NULL; END $$"
            ),
            (
                f"CREATE TRIGGER {table}_are_counted AFTER INSERT ON {table}"
                f" FOR EACH ROW EXECUTE FUNCTION count_{table}()"
            ),
        ]
    return made


def _check(table: str, name: str, deed: str, when: str, why: str) -> list[str]:
    return [
        (
            f"CREATE FUNCTION check_{table}_{name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN IF {when}"
            " THEN RAISE EXCEPTION USING ERRCODE = 'integrity_constraint_violation',"
            f" MESSAGE = '{why}'; END IF; RETURN NEW; END $$"
        ),
        (
            f"CREATE TRIGGER {table}_{name} BEFORE {deed} ON {table}"
            f" FOR EACH ROW EXECUTE FUNCTION check_{table}_{name}()"
        ),
    ]
