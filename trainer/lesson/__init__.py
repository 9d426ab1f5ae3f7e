"""Lessons: text files that show, say, caution and ask. Read here, checked here, marked here."""

from trainer.lesson.check import Known, check_lesson
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Lesson, Position, Show, Step
from trainer.lesson.reading import LESSONS_FOLDER, list_lessons, parse_lesson, read_lesson
from trainer.lesson.wanted import Wanted

__all__ = [
    "LESSONS_FOLDER",
    "Camera",
    "Known",
    "Lesson",
    "Position",
    "QuestionKind",
    "Show",
    "Step",
    "Wanted",
    "check_lesson",
    "list_lessons",
    "parse_lesson",
    "read_lesson",
]
