"""Lay the first tables: people, and what they tried."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make both tables."""
    op.create_table(
        "people",
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_people"),
        sa.UniqueConstraint("name", name="uq_people_name"),
    )
    op.create_table(
        "attempts",
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("person_number", sa.Integer, nullable=False),
        sa.Column("when_utc", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("build", sa.Text, nullable=False),
        sa.Column("options_json", sa.Text, nullable=False),
        sa.Column("question", sa.Text, nullable=False),
        sa.Column("answer_json", sa.Text, nullable=False),
        sa.Column("result_json", sa.Text, nullable=False),
        sa.Column("score", sa.Float, nullable=True),
        sa.PrimaryKeyConstraint("number", name="pk_attempts"),
        sa.UniqueConstraint("id", name="uq_attempts_id"),
        sa.ForeignKeyConstraint(
            ["person_number"], ["people.number"], name="fk_attempts_person_number_people"
        ),
    )
    op.create_index("ix_attempts_person_number_when_utc", "attempts", ["person_number", "when_utc"])
