"""Keep what is known of a fault of the program itself, for whoever mends it."""

from __future__ import annotations

import tempfile
import traceback


def keep_own_fault(error: BaseException) -> tuple[str, str]:
    """Keep the traceback in a file of its own.

    Returns:
        What the fault is, and the name of the file.
    """
    with tempfile.NamedTemporaryFile(
        "w", prefix="pumpwright-fault-", suffix=".txt", delete=False, encoding="utf-8"
    ) as file:
        file.writelines(traceback.format_exception(error))
    return f"{type(error).__name__}: {error}", file.name
