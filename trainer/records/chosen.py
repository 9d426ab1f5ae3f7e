"""Say where the records are kept, for this program and all that it starts. Loads nothing."""

from __future__ import annotations

import os

VARIABLE = "PUMPWRIGHT_RECORDS"


def choose_place(where: str) -> None:
    """Keep the records there: a file, or the URL of a PostgreSQL database."""
    os.environ[VARIABLE] = where
