"""Choose among the lessons, begin the one about the pump on the bench, and read one anew while it is being written."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer

from trainer.desktop.doing.faulting import Faulting
from trainer.desktop.doing.keeping import When
from trainer.desktop.work import LessonWork
from trainer.lesson import LESSONS_FOLDER, Lesson, Show, list_lessons
from trainer.session.bench import Bench
from trainer.session.choosing import is_shown
from trainer.stage.close_up import find_near_points

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

RIM_SHARE = 0.06
SOON_MS = 150
"""An editor writes a file in several moves; they are over by then."""


class Lessons(QObject):
    """Hold the lessons that were read, and watch their files.

    Of a file that is wrong the last good lesson stays, at the page where it is open, and what is wrong
    is said beside it.
    """

    def __init__(self, window: PumpWindow, folder: Path = LESSONS_FOLDER) -> None:
        super().__init__(window)
        self._window = window
        self.folder = folder
        self._lessons: dict[str, Lesson] = {}
        self._faults: dict[str, str] = {}
        self._seen: dict[str, tuple[int, int]] = {}
        self._reading: LessonWork | None = None
        self._is_read = False
        self._waits = False
        """What the open page takes off could not be shown yet: the order was not known."""
        self.faulting = Faulting(window)
        self._watcher = QFileSystemWatcher(self)
        self._soon = QTimer(self, singleShot=True, interval=SOON_MS)
        self._soon.timeout.connect(self._look)
        for changed in (self._watcher.fileChanged, self._watcher.directoryChanged):
            changed.connect(lambda _path: self._soon.start())
        pane = window.lesson
        pane.lessons.activated.connect(lambda _row: self._choose())
        pane.ended.connect(self._go_after)
        pane.bench_asked.connect(window.changing.change_build)
        pane.show_asked.connect(self._note_shown)
        window.order_came.connect(self._take_order)
        window.add_key("F3", self.show_page)

    def make_reading(self) -> LessonWork:
        """Make the work that reads all lessons for the first time; whoever has it starts it."""
        files = self._note_files()
        self._reading = self._make_work(files)
        return self._reading

    @property
    def is_busy(self) -> bool:
        """Is a lesson being read?"""
        return self._reading is not None or self._soon.isActive()

    def close(self) -> None:
        """Watch nothing any more, and let the reading end."""
        self._soon.stop()
        self.faulting.close()
        if self._reading is not None:
            self._reading.wait()

    def show_closely(self, show: Show) -> None:
        """Show what a page wants to be looked at: a mistake, a gap with its chain, or some parts from near by."""
        window, view = self._window, self._window.view
        if window.bench is None:
            return
        self.faulting.show(show.fault, mirrored=show.mirrored)
        if show.clearance:
            window.measuring.show(show.clearance)
        points_mm = find_near_points(window.bench, show)
        if points_mm is not None:
            view.stay_at(view.camera.fitted(points_mm, view.size_px, view.find_room(RIM_SHARE)))

    # ------------------------------------------------------------------ files
    def _make_work(self, files: list[str]) -> LessonWork:
        work = LessonWork(map(Path, files), self)
        work.taken.connect(self._take)
        work.failed.connect(self._fail)
        work.finished.connect(self._finish)
        return work

    def _note_files(self) -> list[str]:
        """Note the lessons' files as they are now; list those that are new or written since."""
        files = [
            str(path) for path in list_lessons(self._window.words.language, self.folder).values()
        ]
        seen = {file: mark for file in files if (mark := _read_mark(Path(file))) is not None}
        changed = [file for file, mark in seen.items() if self._seen.get(file) != mark]
        self._seen = seen
        for file in {*self._lessons, *self._faults} - seen.keys():
            self._faults.pop(file, None)
        watched = {*self._watcher.files(), *self._watcher.directories()}
        # A file that was replaced is watched no more, and its folder tells when the new one comes.
        wanted = {*seen, *(str(Path(file).parent) for file in seen), str(self.folder)}
        missing = [one for one in wanted - watched if Path(one).exists()]
        if missing:
            self._watcher.addPaths(missing)
        return changed

    def _look(self) -> None:
        """Read what was written since."""
        if self._reading is not None:
            self._soon.start()  # it is looked at again once that has been read
            return
        changed = self._note_files()
        if changed:
            self._reading = self._make_work(changed)
            self._reading.start()

    def _take(self, file: str, lesson: Lesson) -> None:
        self._faults.pop(file, None)
        self._lessons[file] = lesson
        self._tell_faults()
        self._list()
        pane = self._window.lesson
        if pane.lesson is not None and pane.lesson.file == file:
            pane.take_new(lesson)

    def _fail(self, file: str, told: str) -> None:
        self._faults[file] = told
        self._tell_faults()

    def _finish(self) -> None:
        self._reading = None
        self._is_read = True
        self._begin()

    def _tell_faults(self) -> None:
        self._window.lesson.say_faults("\n\n".join(self._faults.values()))

    # ------------------------------------------------------------------ which lesson
    def _list(self) -> None:
        listed = self._sort()
        pane = self._window.lesson
        chosen = pane.lesson.file if pane.lesson else ""
        pane.list_lessons([one.file for one in listed], [one.title for one in listed], chosen)
        self._tell_after()

    def _sort(self) -> list[Lesson]:
        """Put the lessons into the order in which the terminal lists them, too: that of their folders' names."""
        return sorted(self._lessons.values(), key=lambda lesson: lesson.course)

    def _find_after(self) -> Lesson | None:
        """Find the lesson that comes after the open one; None after the last."""
        listed, now = self._sort(), self._window.lesson.lesson
        files = [one.file for one in listed]
        if now is None or now.file not in files:
            return None
        rest = listed[files.index(now.file) + 1 :]
        return rest[0] if rest else None

    def _tell_after(self) -> None:
        words, after = self._window.words, self._find_after()
        told = words.say("lesson.next-walk", title=after.title) if after else ""
        self._window.lesson.say_after(told or words.say("lesson.next-practice"))

    def _go_after(self) -> None:
        """Go on where a lesson ends: to the next, or to practice."""
        after = self._find_after()
        if after is None:
            self._window.practising.open()
        else:
            self._start(after)

    def show_page(self) -> None:
        """Show the walk, and in the picture what its page is about."""
        self._window.show_pane("lesson")
        self._window.lesson.show_again()

    def _choose(self) -> None:
        """Begin the lesson that was chosen."""
        pane = self._window.lesson
        lesson = self._lessons.get(pane.lessons.name)
        if lesson is not None and lesson.file != (pane.lesson.file if pane.lesson else ""):
            self._start(lesson)

    def _start(self, lesson: Lesson) -> None:
        pane = self._window.lesson
        pane.start(lesson, self._window.bench)
        pane.lessons.choose(lesson.file)
        self._tell_after()
        pane.ask_bench()

    def _note_shown(self) -> None:
        self._waits = self._window.ordered is None

    def _take_order(self) -> None:
        if self._waits:
            self._waits = False
            self._window.lesson.show_again()
        self._begin()

    def _begin(self) -> None:
        """Begin the walk once both are there: the lessons, and the order of the pump they are asked about."""
        window = self._window
        if (
            not self._is_read
            or window.lesson.lesson is not None
            or not isinstance(window.ordered, Bench)
        ):
            return
        lesson = self._find_first(window.ordered)
        if lesson is None:
            window.lesson.say_none()
        else:
            window.lesson.start(lesson, window.ordered)
            self._list()
        window.keeping.reach(When.WALK)

    def _find_first(self, bench: Bench) -> Lesson | None:
        """Find the lesson to begin with: the one that was open, or one about the pump on the bench."""
        left = self._window.keeping.find("walk")
        course = left.get("lesson") if isinstance(left, dict) else None
        lessons = self._lessons.values()
        about = [one for one in lessons if is_shown(one.steps[0].show, bench.build)]
        opened = [one for one in lessons if one.course == course]
        return next(iter((*opened, *about)), None)


def _read_mark(path: Path) -> tuple[int, int] | None:
    """Read by what a file that was written anew is known; None where it is just being replaced."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size
