"""Say to a screen reader what changes on the screen without the keyboard going there."""

from __future__ import annotations

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QWidget


def speak(widget: QWidget, text: str, *, urgent: bool = False) -> None:
    """Let a screen reader say a text; without one that listens nothing happens.

    Args:
        widget: what it belongs to; it must be in a window.
        text: what to say.
        urgent: break off what is being said: for what a person must know before going on.
    """
    if not text or not QAccessible.isActive():
        return
    told = QAccessibleAnnouncementEvent(widget, text)
    if urgent:
        told.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
    QAccessible.updateAccessibility(told)
