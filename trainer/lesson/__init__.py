"""Lessons: text files that show, say, caution and ask. Read here, checked here, marked here."""

from trainer.lesson.check import Known, check_lesson
from trainer.lesson.lesson import Camera, Lesson, Position, Show, Step
from trainer.lesson.question import (
    GapMarked,
    PointMarked,
    PointOut,
    PutInOrder,
    Question,
    QuestionKind,
    ShimThickness,
    mark_point_out,
    mark_shim_thickness,
)
from trainer.lesson.reading import LESSONS_FOLDER, list_lessons, parse_lesson, read_lesson

__all__ = [
    "LESSONS_FOLDER",
    "Camera",
    "GapMarked",
    "Known",
    "Lesson",
    "PointMarked",
    "PointOut",
    "Position",
    "PutInOrder",
    "Question",
    "QuestionKind",
    "ShimThickness",
    "Show",
    "Step",
    "check_lesson",
    "list_lessons",
    "mark_point_out",
    "mark_shim_thickness",
    "parse_lesson",
    "read_lesson",
]
