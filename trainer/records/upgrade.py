"""Bring records to the newest schema. Loads alembic: imported only when there is something to upgrade."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory

from models.spec.errors import SurroundingsError

if TYPE_CHECKING:
    import sqlalchemy as sa

MIGRATIONS = Path(__file__).parent / "migrations"


def list_revisions() -> tuple[str, ...]:
    """List the revisions this program knows, oldest first."""
    revisions = ScriptDirectory.from_config(_make_config()).walk_revisions()
    return tuple(reversed([each.revision for each in revisions]))


def upgrade_records(
    connection: sa.Connection, name: str, revision: str | None, *, target: str = "head"
) -> None:
    """Bring the records to `target` inside the transaction that `connection` is in.

    Args:
        connection: in a writing transaction, with foreign keys off (a rebuilt table would break them for a moment).
        name: where the records are kept, for the message.
        revision: what they hold now; nothing where nothing is kept yet.
        target: revision to stop at.

    Raises:
        SurroundingsError: the revision is unknown: a newer program wrote the file. Nothing is changed.
    """
    known = list_revisions()
    if revision is not None and revision not in known:
        msg = (
            f"The records {name} were written by a newer version of this program: its schema is {revision}, "
            f"this version knows up to {known[-1]}. Nothing in it was changed. Install the newer version to use it."
        )
        raise SurroundingsError(msg)
    config = _make_config()
    config.attributes["connection"] = connection
    command.upgrade(config, target)
    if connection.dialect.name != "sqlite":  # there no link can break even for a moment
        return
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if broken:
        raise RuntimeError(
            f"upgrading {name} from {revision} breaks the link of {len(broken)} rows, first {broken[0]}"
        )


def _make_config() -> Config:
    config = Config()
    # A percent sign in a folder's name would be read as the start of a variable.
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return config
