"""Do something in the background and take what came of it in the window's own thread, one thing after another."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any, TypeVar

import shiboken6
from PySide6.QtCore import QObject, Signal

from models.spec.errors import PumpwrightError

Made = TypeVar("Made")
_WORKER = ThreadPoolExecutor(max_workers=1, thread_name_prefix="later")
"""One for all: two threads that load one library trip over each other. It ends with the program."""
_CLERK = ThreadPoolExecutor(max_workers=1, thread_name_prefix="records")
"""Another for what is read from and written to the records: while a server is slow to answer, the rest goes on."""
ASKING = ThreadPoolExecutor(max_workers=1, thread_name_prefix="asking")
"""One for questions, so that a drawing that is being made holds up no mark; what they ask is a bench of their own."""
_WAITING: set[_Carrier] = set()
"""Those whose result is on its way: nobody else holds them."""


class _Carrier(QObject):
    """Carry what was made over to the thread in which it was asked for."""

    came = Signal(object)

    def __init__(
        self, take: Callable[[Any], object], refuse: Callable[[Any], object] | None
    ) -> None:
        super().__init__()
        self._take, self._refuse = take, refuse
        self.came.connect(self._hand_over)
        _WAITING.add(self)

    def _hand_over(self, made: object) -> None:
        _WAITING.discard(self)
        take = self._refuse if isinstance(made, PumpwrightError) else self._take
        owner = getattr(take, "__self__", None)
        if isinstance(made, Exception) and not isinstance(made, PumpwrightError):
            raise made  # a bug: told where others are told, and not lost in a thread
        if take is not None and (not isinstance(owner, QObject) or shiboken6.isValid(owner)):
            take(made)


def do_later(
    work: Callable[[], Made],
    take: Callable[[Made], object],
    refuse: Callable[[PumpwrightError], object] | None = None,
    *,
    in_records: bool = False,
    worker: ThreadPoolExecutor = _WORKER,
    then: Callable[[Made], object] | None = None,
) -> Future[None]:
    """Do work in the background, then hand over what it made, or why there is nothing.

    Args:
        work: done in another thread; it may touch no widget.
        take: called here with what was made; not at all where the widget that it belongs to is gone by then.
        refuse: called here with what was wrong.
        in_records: whether it reads from or writes to the records.
        worker: who does it, if not.
        then: what is done in the records with what was made, before that is handed over.

    Returns:
        What can be called off as long as it has not begun, and is done when all is that can be done in the background.
    """
    carrier, done = _Carrier(take, refuse), Future[None]()

    def finish(made: object) -> None:
        carrier.came.emit(made)
        done.set_result(None)

    def run() -> None:
        try:
            made = work()
        except Exception as error:  # noqa: BLE001 - whatever it is, it is told in the window's thread
            finish(error)
            return
        if then is None:
            finish(made)
        else:
            _CLERK.submit(file, made)

    def file(made: Made) -> None:
        assert then is not None
        try:
            then(made)
        except Exception as error:  # noqa: BLE001 - as above
            finish(error)
        else:
            finish(made)

    begun = (_CLERK if in_records else worker).submit(run)
    # What is called off hands nothing over, and would be held for ever.
    begun.add_done_callback(lambda one: _WAITING.discard(carrier) if one.cancelled() else None)
    return begun if then is None else done
