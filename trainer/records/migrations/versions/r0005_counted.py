"""Count attempts as they come, so that one taken away is missed; let an erasure empty the seeds of attempts.

Questions of lessons were drawn from seeds in which the learner's name stood: those of people who were erased
before are emptied here.
"""

# ruff: noqa: S608 - what goes into these statements is written in this very file

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

STAYING = (
    "number", "id", "person_number", "kind", "build", "options_json", "question", "answer_json",
    "result_json", "score", "lesson", "subject", "seconds", "marks_json",
)  # fmt: skip
CHANGES = " OR ".join(f"NEW.{name} IS DISTINCT FROM OLD.{name}" for name in STAYING) + (
    " OR (NEW.seed <> OLD.seed AND NEW.seed <> '')"
    " OR NOT EXISTS (SELECT 1 FROM people WHERE number = OLD.person_number AND erased_utc IS NOT NULL)"
)
WHY = "an attempt stays as recorded"

SQLITE = (
    "DROP TRIGGER attempts_stay_as_they_are",
    # SQLite before 3.39 has no IS DISTINCT FROM.
    (
        "CREATE TRIGGER attempts_stay_as_they_are BEFORE UPDATE ON attempts"
        f" WHEN {CHANGES.replace('IS DISTINCT FROM', 'IS NOT')}"
        f" BEGIN SELECT RAISE(ABORT, '{WHY}'); END"
    ),
    (
        "CREATE TRIGGER attempts_are_counted AFTER INSERT ON attempts"
        " BEGIN UPDATE chains SET highest = highest + 1 WHERE name = 'attempts'; END"
    ),
)
POSTGRESQL = (
    (
        "CREATE OR REPLACE FUNCTION check_attempts_stay_as_they_are() RETURNS trigger LANGUAGE plpgsql"
        f" AS $$ BEGIN IF {CHANGES} THEN RAISE EXCEPTION USING ERRCODE = 'integrity_constraint_violation',"
        f" MESSAGE = '{WHY}'; END IF; RETURN NEW; END $$"
    ),
    (
        "CREATE FUNCTION count_attempts() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
        " UPDATE chains SET highest = highest + 1 WHERE name = 'attempts'; RETURN NULL; END $$"
    ),
    (
        "CREATE TRIGGER attempts_are_counted AFTER INSERT ON attempts"
        " FOR EACH ROW EXECUTE FUNCTION count_attempts()"
    ),
)


def upgrade() -> None:
    """Count what there is, and lay the triggers anew."""
    op.execute("INSERT INTO chains SELECT 'attempts', count(*) FROM attempts")
    for statement in SQLITE if op.get_bind().dialect.name == "sqlite" else POSTGRESQL:
        op.execute(statement)
    attempts = sa.table("attempts", sa.column("seed"), sa.column("person_number"))
    people = sa.table("people", sa.column("number"), sa.column("erased_utc"))
    erased = sa.select(people.c.number).where(people.c.erased_utc.is_not(None))
    op.execute(attempts.update().where(attempts.c.person_number.in_(erased)).values(seed=""))
