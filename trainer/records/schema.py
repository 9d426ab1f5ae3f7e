"""The tables as they are now. Every change here needs a revision under `migrations/versions`."""

from __future__ import annotations

import sqlalchemy as sa

# The newest revision. Kept here too, so that opening a current file needs no alembic; a test holds the two together.
NEWEST_REVISION = "0006"

# Constraints have names because SQLite can alter a table only by rebuilding it, and then each must be named.
METADATA = sa.MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)

# name: a name or a staff number, nothing else is kept of a person; a stand-in once erased.
PEOPLE = sa.Table(
    "people",
    METADATA,
    sa.Column("number", sa.Integer, primary_key=True),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("erased_utc", sa.Text, nullable=True),
    sa.UniqueConstraint("name"),
)

# `number` counts in the order of recording; `id` is the caller's.
# Each is chained to the one before, over all but the hour and the seed, which an erasure takes.
# `when_utc` is ISO 8601 to the microsecond, always the same width, so that text sorts as time does.
ATTEMPTS = sa.Table(
    "attempts",
    METADATA,
    sa.Column("number", sa.Integer, primary_key=True),
    sa.Column("id", sa.Text, nullable=False),
    sa.Column("person_number", sa.Integer, sa.ForeignKey("people.number"), nullable=False),
    sa.Column("when_utc", sa.Text, nullable=False),
    sa.Column("kind", sa.Text, nullable=False),
    sa.Column("build", sa.Text, nullable=False),
    sa.Column("options_json", sa.Text, nullable=False),
    sa.Column("question", sa.Text, nullable=False),
    sa.Column("answer_json", sa.Text, nullable=False),
    sa.Column("result_json", sa.Text, nullable=False),
    sa.Column("score", sa.Float, nullable=True),
    sa.Column("lesson", sa.Text, nullable=False, server_default=""),
    sa.Column("subject", sa.Text, nullable=False, server_default=""),
    sa.Column("seed", sa.Text, nullable=False, server_default=""),
    sa.Column("seconds", sa.Float, nullable=True),
    sa.Column("marks_json", sa.Text, nullable=False, server_default="{}"),
    sa.Column("previous_hash", sa.Text, nullable=False, server_default=""),
    sa.Column("hash", sa.Text, nullable=False, server_default=""),
    sa.UniqueConstraint("id"),
    sa.Index(None, "person_number", "when_utc"),
    sa.Index(None, "kind", "subject"),
)

# Append-only: triggers of revision 0002 refuse any change, and the hashes show one made around them.
# Each sheet has its own predecessor, so that the chain cannot fork. AUTOINCREMENT keeps the highest number given.
SHEETS = sa.Table(
    "sheets",
    METADATA,
    sa.Column("number", sa.Integer, primary_key=True),
    sa.Column("id", sa.Text, nullable=False),
    sa.Column("when_utc", sa.Text, nullable=False),
    sa.Column("corrects", sa.Text, sa.ForeignKey("sheets.id"), nullable=True),
    sa.Column("content_json", sa.Text, nullable=False),
    sa.Column("previous_hash", sa.Text, nullable=False),
    sa.Column("hash", sa.Text, nullable=False),
    sa.UniqueConstraint("id"),
    sa.UniqueConstraint("previous_hash"),
    sa.UniqueConstraint("hash"),
    sa.UniqueConstraint("corrects"),
    sqlite_autoincrement=True,
)

# Sign-offs, certificates, erasures: append-only and chained as sheets are. Nobody's name is in here: content_json
# holds a salted hash of each, and the names stand in NAMES until they are erased. See entry.py.
HISTORY = sa.Table(
    "history",
    METADATA,
    sa.Column("number", sa.Integer, primary_key=True),
    sa.Column("id", sa.Text, nullable=False),
    sa.Column("when_utc", sa.Text, nullable=False),
    sa.Column("kind", sa.Text, nullable=False),
    sa.Column("content_json", sa.Text, nullable=False),
    sa.Column("previous_hash", sa.Text, nullable=False),
    sa.Column("hash", sa.Text, nullable=False),
    sa.UniqueConstraint("id"),
    sa.UniqueConstraint("previous_hash"),
    sa.UniqueConstraint("hash"),
)

NAMES = sa.Table(
    "history_names",
    METADATA,
    sa.Column("entry_number", sa.Integer, sa.ForeignKey("history.number"), primary_key=True),
    sa.Column("role", sa.Text, primary_key=True),
    sa.Column("person_number", sa.Integer, sa.ForeignKey("people.number"), nullable=False),
    sa.Column("salt", sa.Text, nullable=True),
    sa.Column("said_json", sa.Text, nullable=True),
    sa.Index(None, "person_number"),
)

# Which sheets had a name taken out, and the entry of the history that says so and holds the hash of what was left.
ERASED_SHEETS = sa.Table(
    "erased_sheets",
    METADATA,
    sa.Column("sheet_number", sa.Integer, sa.ForeignKey("sheets.number"), primary_key=True),
    sa.Column("entry_number", sa.Integer, sa.ForeignKey("history.number"), primary_key=True),
)

# The highest number that each chain ever had, and how many attempts were ever recorded, kept by triggers: it outlasts
# rows that are taken away.
CHAINS = sa.Table(
    "chains",
    METADATA,
    sa.Column("name", sa.Text, primary_key=True),
    sa.Column("highest", sa.Integer, nullable=False),
)
