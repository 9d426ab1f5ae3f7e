"""Keep with an attempt which item it was, what it was drawn from, how long it took and how each field was marked."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

# What attempts were called before kinds of question had names of their own → the name now.
KINDS = {
    "order": "put-in-order",
    "point": "point-out",
    "gap": "shim-thickness",
    "shims": "shim-thickness",
}


def upgrade() -> None:
    """Add the columns, and call the kinds of old attempts by their names now."""
    for name, default in (("lesson", ""), ("subject", ""), ("seed", ""), ("marks_json", "{}")):
        op.add_column("attempts", sa.Column(name, sa.Text, nullable=False, server_default=default))
    op.add_column("attempts", sa.Column("seconds", sa.Float, nullable=True))
    op.create_index("ix_attempts_kind_subject", "attempts", ["kind", "subject"])
    attempts = sa.table("attempts", sa.column("kind"))
    for old, new in KINDS.items():
        op.execute(attempts.update().where(attempts.c.kind == old).values(kind=new))
