"""Keep people, their attempts, sign-offs, certificates and bench sheets, in a file or in a database on a server.

Only the value types are loaded here; SQLAlchemy comes with `open_records` and `Records`, alembic with an upgrade,
psycopg with a database on a server.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from trainer.records.attempt import Attempt, check_person_name
from trainer.records.certificate import Certificate, FiledCertificate, Standing, Verified
from trainer.records.chain import Chain
from trainer.records.chosen import choose_place
from trainer.records.plain_json import Json
from trainer.records.sheet import FiledSheet, Sheet
from trainer.records.sign_off import FiledSignOff, LineSigned, SignOff, check_signature

if TYPE_CHECKING:
    from trainer.records.backup import Restored, back_up, restore
    from trainer.records.erasing import Erased
    from trainer.records.exporting import write_attempts_csv
    from trainer.records.opening import open_records
    from trainer.records.store import Records

__all__ = [
    "Attempt",
    "Certificate",
    "Chain",
    "Erased",
    "FiledCertificate",
    "FiledSheet",
    "FiledSignOff",
    "Json",
    "LineSigned",
    "Records",
    "Restored",
    "Sheet",
    "SignOff",
    "Standing",
    "Verified",
    "back_up",
    "check_person_name",
    "check_signature",
    "choose_place",
    "open_records",
    "restore",
    "write_attempts_csv",
]
_LATE = {
    "Erased": "erasing",
    "Records": "store",
    "Restored": "backup",
    "back_up": "backup",
    "open_records": "opening",
    "restore": "backup",
    "write_attempts_csv": "exporting",
}


def __getattr__(name: str) -> object:
    if name in _LATE:
        return getattr(import_module(f"trainer.records.{_LATE[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
