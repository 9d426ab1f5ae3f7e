"""Chain attempts by their hashes, as sheets are, so that a mark that was changed is found without a backup.

The hour of an attempt and its seed are left out of it: an erasure takes them, and the chain has to hold all the same.
"""

# ruff: noqa: S608 - what goes into these statements is written in this very file

import hashlib
import json

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"

NO_HASH = "0" * 64
PORTION = 1_000
HASHED = (
    "number", "id", "person_number", "day", "kind", "build", "options_json", "question", "answer_json",
    "result_json", "score", "lesson", "subject", "seconds", "marks_json",
)  # fmt: skip
STAYING = (*(name for name in HASHED if name != "day"), "previous_hash", "hash")
WHY = "an attempt stays as recorded"
CHANGES = " OR ".join(f"NEW.{name} IS DISTINCT FROM OLD.{name}" for name in STAYING) + (
    " OR substr(NEW.when_utc, 1, 10) <> substr(OLD.when_utc, 1, 10)"
    " OR (NEW.seed <> OLD.seed AND NEW.seed <> '')"
    " OR NOT EXISTS (SELECT 1 FROM people WHERE number = OLD.person_number AND erased_utc IS NOT NULL)"
)
FOLLOWS = (
    "NEW.number <= (SELECT coalesce(max(number), 0) FROM attempts) OR NEW.previous_hash <> coalesce("
    f"(SELECT hash FROM attempts ORDER BY number DESC LIMIT 1), '{NO_HASH}') OR NEW.hash = ''"
)
NEXT = "an attempt follows the newest one"

SQLITE = (
    # SQLite before 3.39 has no IS DISTINCT FROM.
    (
        "CREATE TRIGGER attempts_stay_as_they_are BEFORE UPDATE ON attempts"
        f" WHEN {CHANGES.replace('IS DISTINCT FROM', 'IS NOT')}"
        f" BEGIN SELECT RAISE(ABORT, '{WHY}'); END"
    ),
    (
        f"CREATE TRIGGER attempts_follow BEFORE INSERT ON attempts WHEN {FOLLOWS}"
        f" BEGIN SELECT RAISE(ABORT, '{NEXT}'); END"
    ),
)
REFUSE = "RAISE EXCEPTION USING ERRCODE = 'integrity_constraint_violation', MESSAGE ="
POSTGRESQL = (
    (
        "CREATE OR REPLACE FUNCTION check_attempts_stay_as_they_are() RETURNS trigger LANGUAGE plpgsql"
        f" AS $$ BEGIN IF {CHANGES} THEN {REFUSE} '{WHY}'; END IF; RETURN NEW; END $$"
    ),
    (
        "CREATE TRIGGER attempts_stay_as_they_are BEFORE UPDATE ON attempts"
        " FOR EACH ROW EXECUTE FUNCTION check_attempts_stay_as_they_are()"
    ),
    (
        "CREATE FUNCTION check_attempts_follow() RETURNS trigger LANGUAGE plpgsql"
        f" AS $$ BEGIN IF {FOLLOWS} THEN {REFUSE} '{NEXT}'; END IF; RETURN NEW; END $$"
    ),
    (
        "CREATE TRIGGER attempts_follow BEFORE INSERT ON attempts"
        " FOR EACH ROW EXECUTE FUNCTION check_attempts_follow()"
    ),
)


def upgrade() -> None:
    """Add the columns, chain what there is, and lay the triggers anew."""
    for name in ("previous_hash", "hash"):
        op.add_column("attempts", sa.Column(name, sa.Text, nullable=False, server_default=""))
    bind = op.get_bind()
    is_sqlite = bind.dialect.name == "sqlite"
    op.execute(f"DROP TRIGGER attempts_stay_as_they_are{'' if is_sqlite else ' ON attempts'}")
    _chain(bind)
    for statement in SQLITE if is_sqlite else POSTGRESQL:
        op.execute(statement)


def _chain(bind: sa.Connection) -> None:
    """Give each attempt its hash, in the order of recording, a portion at a time."""
    texts = [sa.column(name, sa.Text) for name in HASHED if name not in {"number", "person_number", "score", "seconds", "day"}]  # fmt: skip
    attempts = sa.table(
        "attempts",
        *texts,
        *(sa.column(name, sa.Integer) for name in ("number", "person_number")),
        *(sa.column(name, sa.Float) for name in ("score", "seconds")),
        *(sa.column(name, sa.Text) for name in ("when_utc", "previous_hash", "hash")),
    )
    day = sa.func.substr(attempts.c.when_utc, 1, 10).label("day")
    fields = [day if name == "day" else attempts.c[name] for name in HASHED]
    change = (
        attempts.update()
        .where(attempts.c.number == sa.bindparam("at"))
        .values(previous_hash=sa.bindparam("before"), hash=sa.bindparam("own"))
    )
    last, previous = 0, NO_HASH
    wanted = sa.select(*fields).order_by(attempts.c.number).limit(PORTION)
    while rows := bind.execute(wanted.where(attempts.c.number > last)).all():
        changes = []
        for row in rows:
            text = json.dumps([*row, previous], separators=(",", ":"))
            own = hashlib.sha256(text.encode("ascii")).hexdigest()
            changes.append({"at": row.number, "before": previous, "own": own})
            last, previous = row.number, own
        bind.execute(change, changes)
