"""Make in the background what is to stand on the bench: solids, light stand-ins, relations, order; to be left at any time."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from PySide6.QtCore import QThread, Signal

from models.builds import make_named_build
from models.solids.assemble import find_missing
from models.solids.builders import Builders, Made, StoppedError
from models.solids.step_file import read_step
from models.solids.times import MakingTimes
from models.spec.assembly import Assembly
from models.spec.build import Build
from models.spec.dimension import Dimension
from models.spec.errors import PumpwrightError
from trainer.desktop.apart import listen_to
from trainer.desktop.picture.lighten import Known, keep_meshes, lighten_assembly
from trainer.desktop.time_left import StepPace
from trainer.session.bench import Bench, Progress, Watch
from trainer.session.on_bench import OnBench
from trainer.session.step_bench import StepBench, list_sets
from trainer.session.step_form import NO_FORM, StepForm, parse_form, read_form
from trainer.session.typed import make_pack
from trainer.stage.ahead import prepare_cut, prepare_reach
from trainer.words import Words
from trainer.words.telling import tell_pump

if TYPE_CHECKING:
    from pathlib import Path

    from models.spec.step import StepAssembly

RELATIONS = "relations"
"""What the time of all relations of a pump is remembered by, a piece of it."""


@dataclass(frozen=True, slots=True)
class BenchChoice:
    """A pump of ours to be put on the bench; `pack_mm` None is the drawing's pack. Plain, so that processes can share it.

    limits: what the shop itself requires of clearances, by their names.
    """

    build: str
    options: Mapping[str, str] = field(default_factory=dict)
    pack_mm: tuple[float, ...] | None = None
    limits: Mapping[str, Dimension] | None = None

    def open(
        self,
        progress: Progress | None = None,
        builders: Builders | None = None,
        watch: Watch | None = None,
    ) -> Bench:
        """Open the bench. Raises RefusalError for what cannot be built."""
        pack = make_pack(self.pack_mm) if self.pack_mm is not None else None
        build = make_named_build(self.build, self.options, pack=pack, limits=self.limits)
        return Bench(build, progress, builders=builders, watch=watch)


@dataclass(frozen=True, slots=True)
class StepChoice:
    """Somebody's assembly to be put on the bench.

    step: what was read of the file; None while it is still to be read. form: what a person says of it.
    form_path: a form to be read with it, in the place of `form`. said: the text of such a form.
    """

    path: Path
    step: StepAssembly | None = None
    form: StepForm = NO_FORM
    form_path: Path | None = None
    said: str = ""

    def open(
        self,
        progress: Progress | None = None,
        builders: Builders | None = None,
        watch: Watch | None = None,
    ) -> StepBench:
        """Open the bench, reading what is still to be read.

        Raises:
            SurroundingsError, ContentError: see read_step and read_form. StoppedError: nobody wants it any more.
        """
        del builders  # whoever drew it has made its solids
        step, form = self.step, self.form
        if step is None:
            is_wanted = watch.is_wanted if watch is not None else lambda: True
            tell = (lambda done, of: progress("reading", done, of)) if progress else None
            step = read_step(self.path, progress=tell, is_wanted=is_wanted)
        if self.form_path is not None:
            form = read_form(self.form_path, list_sets(step))
        elif self.said:
            form = parse_form(self.said.encode(), self.path.name, list_sets(step))
        return StepBench(step, form, progress=progress)


Choice = BenchChoice | StepChoice


def name_choice(words: Words, choice: Choice) -> str:
    """Name what is chosen."""
    return choice.path.name if isinstance(choice, StepChoice) else tell_pump(words, choice.build)


@dataclass(frozen=True, slots=True)
class Told:
    """How far the work is.

    what: "reading" (a file), "solids", "relations" or "order". name: the piece that was made last, "" where none was.
    left_s: how long all of it will still take, as far as it was ever measured; None where it was not.
    """

    what: str
    done: int
    of: int
    name: str = ""
    left_s: float | None = None


class BenchWork(QThread):
    """Make a bench's solids, then their light stand-ins, then its order.

    Signals carry plain values and frozen arrays only, first of all the choice that was worked on;
    nothing of the picture library crosses threads. Once it is interrupted it tells nothing more.
    """

    told = Signal(object, object)
    solids_ready = Signal(object, object, object)
    light_ready = Signal(object, object, object)
    order_ready = Signal(object, object)
    failed = Signal(object, str)

    def __init__(
        self,
        choice: Choice,
        builders: Builders,
        known: Known,
        before: Assembly | None = None,
        *,
        is_shown_at_once: bool = True,
        is_first: bool = False,
    ) -> None:
        """Prepare the work.

        Args:
            choice: what to make.
            builders: the processes that make solids.
            known: light stand-ins made so far; new ones are put in.
            before: what stands there now, whose meshes are taken over where nothing changed.
            is_shown_at_once: tell of the solids as soon as they are there; else all is told at the end.
            is_first: nothing has been seen yet; whoever shows the solids says when they are seen (`go_on`). Until then
                nothing else is worked out, which would hold up the picture: the interpreter does one thing at a time.
        """
        super().__init__()
        self.choice = choice
        self._builders, self._known, self._before = builders, known, before
        self._is_shown_at_once = is_shown_at_once
        self._goes_on = threading.Event()
        if not is_first:
            self._goes_on.set()
        self._times = MakingTimes()
        self._waiting: dict[str, str] = {}
        self._relations_s: float | None = 0.0

    def run(self) -> None:
        """Do the work; what goes wrong is told and leaves the window as it was."""
        try:
            self._run()
        except StoppedError:
            return
        except (PumpwrightError, RuntimeError, OSError) as error:
            if self.is_wanted():
                self.failed.emit(self.choice, str(error))
        except Exception as error:
            # Nobody foresaw it, and whoever minds such faults gets it; but nobody waits here for ever either.
            if self.is_wanted():
                self.failed.emit(self.choice, f"{type(error).__name__}: {error}")
            raise

    def _run(self) -> None:
        bench: OnBench = self.choice.open(self._tell_reading, self._builders, self)
        if isinstance(bench, Bench):
            self._estimate(bench)
        elif not bench.has_relations:
            self._relations_s = (
                None  # of an assembly that nobody has seen nothing was ever measured
            )
        full = bench.assembly
        if self._before:
            full = keep_meshes(full, self._before)
        self._check_wanted()
        prepare_reach(full)
        if self._is_shown_at_once:
            self.solids_ready.emit(self.choice, bench, full)
            self._wait_for_picture()
        _measure_ahead(bench)
        light = lighten_assembly(full, self._known)
        self._check_wanted()
        prepare_reach(light)
        if self._is_shown_at_once:
            self.light_ready.emit(self.choice, bench, light)
        if not bench.has_relations:
            self._fill_relations(_without_files(self.choice, bench), len(full.pieces))
        prepare_cut(full)
        prepare_cut(light)
        _ = bench.layout
        self._check_wanted()
        if not self._is_shown_at_once:
            self.solids_ready.emit(self.choice, bench, full)
            self.light_ready.emit(self.choice, bench, light)
        self.order_ready.emit(self.choice, bench)

    # ------------------------------------------------------------------ whether it is wanted
    def go_on(self) -> None:
        """Go on with all that the picture of the solids does not need."""
        self._goes_on.set()

    def stop(self) -> None:
        """Ask it to end by itself, and tell nothing more."""
        self.requestInterruption()
        self._goes_on.set()

    def _wait_for_picture(self) -> None:
        self._goes_on.wait()
        self._check_wanted()

    def is_wanted(self) -> bool:
        """Say whether somebody still waits for it."""
        return not self.isInterruptionRequested()

    def _check_wanted(self) -> None:
        if not self.is_wanted():
            raise StoppedError

    # ------------------------------------------------------------------ how long it takes
    def _tell_reading(self, what: str, done: int, of: int) -> None:
        if what == "reading":
            self.told.emit(self.choice, Told(what, done, of))

    def _estimate(self, bench: Bench) -> None:
        """Tell what has to be made before any of it is: only what changed."""
        missing = find_missing(bench.build).missing
        self._waiting = {piece.name: piece.part.kind for piece in missing.values()}
        if not bench.has_relations:
            each = self._times.find_left_s([RELATIONS], 1)
            self._relations_s = each * len(bench.build.pieces) if each is not None else None
        if self._waiting:
            self.told.emit(self.choice, Told("solids", 0, len(missing), "", self._find_left_s()))

    def _find_left_s(self) -> float | None:
        """Find how long solids and relations will take from now on."""
        solids = self._times.find_left_s(self._waiting.values(), self._builders.workers)
        if solids is None or self._relations_s is None:
            return None
        return solids + self._relations_s

    def note_made(self, done: int, of: int, made: Made) -> None:
        """Tell of a solid that was made, and remember how long its kind takes."""
        self._times.learn(made.piece.part.kind, made.seconds)
        self._waiting.pop(made.piece.name, None)
        if done == of:
            self._times.save()
        told = Told("solids", done, of, made.piece.place.name, self._find_left_s())
        self.told.emit(self.choice, told)

    # ------------------------------------------------------------------ relations
    def _fill_relations(self, choice: Choice, pieces: int) -> None:
        """Fill the table in a process of its own: its loops hold the interpreter, and the window would stand still.

        Raises:
            RuntimeError: the process ended without having filled it. StoppedError: it is not wanted any more.
        """
        begun_s, pace = time.monotonic(), StepPace()
        try:
            for done, of in listen_to(fill_relations, (choice,), self.is_wanted):
                left_s = pace.find_left_s(done, of)
                if left_s is None and self._relations_s:
                    left_s = max(self._relations_s - (time.monotonic() - begun_s), 0.0)
                self.told.emit(self.choice, Told("relations", done, of, "", left_s))
        except RuntimeError as error:
            raise RuntimeError(f"the table of relations could not be filled ({error})") from error
        self._check_wanted()
        self._times.learn(RELATIONS, (time.monotonic() - begun_s) / pieces)
        self._times.save()
        self.told.emit(self.choice, Told("order", 0, 1))


def _measure_ahead(bench: OnBench) -> None:
    """Measure what several panes begin with, before they ask for it in the window's thread."""
    if isinstance(bench, Bench):
        _ = bench.clearances


def _without_files(choice: Choice, bench: OnBench) -> Choice:
    """Make a choice that needs no file any more: that may be gone, or another, by now."""
    if isinstance(bench, StepBench) and isinstance(choice, StepChoice):
        return StepChoice(choice.path, bench.step, bench.form)
    return choice


def fill_relations(choice: Choice, tell: Callable[[tuple[int, int]], None]) -> None:
    """Fill and keep the table of who stands in whose way; runs in a process of its own."""
    bench: OnBench = choice.open(lambda _what, done, of: tell((done, of)))
    _ = bench.blocking


class CountWork(QThread):
    """Count which parts of a pump would be new, and how long they would take."""

    counted = Signal(object, int, int, object)

    def __init__(self, choice: BenchChoice, workers: int) -> None:
        super().__init__()
        self.choice, self._workers = choice, workers

    def run(self) -> None:
        """Count; of what cannot be built nothing is told: that is said where it is asked for."""
        try:
            build: Build = self.choice.open().build
        except PumpwrightError:
            return
        found = find_missing(build)
        kinds = [piece.part.kind for piece in found.missing.values()]
        left_s = MakingTimes().find_left_s(kinds, self._workers)
        if not self.isInterruptionRequested():
            self.counted.emit(self.choice, len(found.missing), found.solids, left_s)
