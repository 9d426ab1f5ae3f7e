"""Keep people, their attempts and their bench sheets in one SQLite file in the user's data folder.

Only the value types are loaded here; SQLAlchemy comes with `open_records` and `Records`, alembic with an upgrade.
"""

from typing import TYPE_CHECKING

from trainer.records.attempt import Attempt, check_person_name
from trainer.records.plain_json import Json
from trainer.records.sheet import FiledSheet, Sheet, SheetChain

if TYPE_CHECKING:
    from trainer.records.store import Records, open_records

__all__ = [
    "Attempt",
    "FiledSheet",
    "Json",
    "Records",
    "Sheet",
    "SheetChain",
    "check_person_name",
    "open_records",
]


def __getattr__(name: str) -> object:
    if name in {"Records", "open_records"}:
        from trainer.records import store

        return getattr(store, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
