"""Questions and the picture: picks are answers, and feedback is played where it concerns a move, a gap or pieces."""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import Future
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from models.spec.assembly import Assembly
from trainer.desktop.asking.item_control import ItemControl
from trainer.desktop.asking.point_form import PointForm
from trainer.desktop.asking.question_box import QuestionBox
from trainer.desktop.later import ASKING, do_later
from trainer.desktop.picture.numbers import Lettered
from trainer.lesson import Show
from trainer.lesson.item import GapShown, Item, MoveShown, OneOf, PiecesShown, Shown, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Name
from trainer.session.asking import list_subjects
from trainer.session.asking.drawing import find_kind
from trainer.session.bench import Bench
from trainer.session.wrong_move import TriedMove, try_shown
from trainer.stage.camera import ViewName
from trainer.stage.cut import Cut

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow


class Answering(QObject):
    """Look after the questions of the window's panes."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self.boxes: dict[str, QuestionBox] = {}
        self._ahead: Future[None] | None = None
        self.add_box("lesson", window.lesson.question)
        window.order_came.connect(window.lesson.set_order)
        window.order_came.connect(self._find_out)
        window.came.connect(self._tell_bench)

    def close(self) -> None:
        """Let what is being marked be recorded."""
        for box in self.boxes.values():
            box.end()

    def add_box(self, pane: str, box: QuestionBox) -> None:
        """Take a box in which questions are asked, and the name of its pane."""
        self.boxes[pane] = box
        box.made.connect(self._connect)
        box.shown_asked.connect(self.show)
        box.proof_asked.connect(self.prove)
        box.bench_asked.connect(self._window.changing.change_build)

    def _tell_bench(self) -> None:
        bench = self._window.bench
        for box in self.boxes.values():
            box.take_bench(bench.build if bench else None)

    @property
    def control(self) -> ItemControl | None:
        """What the question of the open pane is answered with."""
        box = self.boxes.get(self._window.pane)
        return box.control if box else None

    @property
    def is_pointing(self) -> bool:
        """Is a part to be pointed out in the picture now?"""
        form = self.control.find_form(PointForm) if self.control else None
        return form is not None and not form.is_marked

    @property
    def is_naming(self) -> bool:
        """Is the name of what is lit asked for now?"""
        control = self.control
        return control is not None and not control.is_marked and is_name_asked(control.item)

    @property
    def keeps_names(self) -> bool:
        """Would a name in the picture give the answer away?"""
        return self.is_pointing or self.is_naming

    def take_pick(self, piece: str) -> bool:
        """Hand a picked piece to the question of the open pane, if it asks for one.

        While the name of what is lit is asked for, a piece that is picked is not named either: its card would be there
        before the answer is.
        """
        if self.control is None:
            return False
        if self.control.take_pick(piece):
            return True
        if self.is_naming:
            self._window.motion.tell("", "", self._window.words.say("answering.name-kept"), "")
        return self.is_naming

    def _find_out(self) -> None:
        """Find out in the background what waits for what in the pump: the first question of its order takes long else."""
        if self._ahead is not None:
            self._ahead.cancel()  # else pumps that are long gone wait here, with their solids
        bench = self._window.ordered
        if isinstance(bench, Bench):
            self._ahead = do_later(partial(find_out, bench.twin), len, worker=ASKING)

    # ------------------------------------------------------------------ numbers to point by
    def _connect(self, control: ItemControl) -> None:
        form = control.find_form(PointForm)
        if form is not None:
            form.set_numbers(self._find_numbers, self._show_numbers)

    def _find_numbers(self) -> dict[str, int]:
        return dict(self._window.finding.labelling.numbering.numbers)

    def _show_numbers(self) -> None:
        button = self._window.finding.labelling.buttons[Lettered.NUMBERS]
        if not button.isChecked():
            button.click()

    # ------------------------------------------------------------------ what is seen of an answer
    def stand(self, show: Show | None) -> None:
        """Let the pump stand as a question of practice asks it; None: as it did, but with no mistake in it."""
        window = self._window
        window.proving.withdraw()
        if show is not None:
            window.show_page(show)
            return
        self._end_measuring()
        window.lessons.faulting.stop()
        window.missing = frozenset()
        window.speak_of((), ghosted=frozenset())
        window.tell_where_it_stands()

    def show_lit(self) -> None:
        """Let what a question lights be seen; where its name would give the answer away a mark stands for it."""
        control, view = self.control, self._window.view
        if control is None or control.is_marked or not control.can_show:
            return
        self._uncover(view.marks.lit)
        if self.is_naming:
            view.set_marks(
                view.marks, {piece: replace(tag, text="?") for piece, tag in view.tags.items()}
            )

    def _uncover(self, lit: frozenset[str]) -> None:
        """Turn to glass what stands before pieces; what a section has taken away is looked at whole."""
        window, view = self._window, self._window.view
        if not lit or window.assembly is None or window.motion.is_gliding:
            return
        if view.cut is not None and is_cut_away(window.assembly, lit, view.cut):
            window.section.setChecked(False)
            view.set_section(False)
            window.look_from(ViewName.ISO)
        glass = view.find_in_front(lit, view.shown_marks.hidden - lit)
        view.set_marks(replace(view.marks, ghosted=glass), view.tags)

    def _end_measuring(self) -> None:
        """Play and measure nothing any more; after a close-up the whole comes back into the picture."""
        window = self._window
        was_close = window.measuring.is_on
        window.trying.stop()
        if was_close:
            window.fit_view()

    def show(self, shown: Shown) -> None:
        """Show what an answer, or what is said of it, speaks of."""
        window = self._window
        window.proving.withdraw()
        match shown:
            case PiecesShown():
                self._light(shown.pieces)
            case GapShown():
                window.trying.stop()
                window.measuring.show(shown.clearance)
            case MoveShown():
                tried = self._try(shown)
                if tried is None:
                    return
                window.speak_of({tried.piece}, tried.hindrance - {tried.piece})
                window.trying.play(tried, together=True)

    def _light(self, pieces: tuple[str, ...]) -> None:
        """Light pieces; their names stay away while one is to be pointed out."""
        window = self._window
        if window.standing is None:
            return
        self._end_measuring()
        there = window.standing.assembly.by_name
        control = self.control
        lit = [name for name in pieces or self._list_asked() if name in there]
        if self.is_pointing:
            window.speak_of(lit, named=False)
            return
        window.speak_of(lit, named=control is not None and control.is_marked, ghosted=frozenset())
        self._uncover(frozenset(lit))

    def _list_asked(self) -> list[str]:
        """List the pieces that a question has lit, to be seen with their names once it is marked."""
        control, bench = self.control, self._window.bench
        if bench is None or control is None or not control.is_marked or control.item.show is None:
            return []
        known = [name for name in control.item.show.lit if name in bench.build.places]
        return [piece for name in known for piece in bench.find_pieces(name)]

    def _try(self, shown: MoveShown) -> TriedMove | None:
        """Try a move on what stands on the bench, once its order is known."""
        bench = self._window.ordered
        if not isinstance(bench, Bench) or shown.piece not in bench.assembly.by_name:
            return None
        there = bench.assembly.by_name
        return try_shown(bench, shown.piece, [name for name in shown.taken if name in there])

    def prove(self, shown: Shown) -> None:
        """Show what stands behind a move or a gap that a mark rests on."""
        if isinstance(shown, GapShown):
            self._window.proving.prove_clearance(shown.clearance)
        elif isinstance(shown, MoveShown):
            tried = self._try(shown)
            if tried is not None:
                self._window.proving.prove_move(tried)


def is_name_asked(item: Item) -> bool:
    """Is something lit that is among the choices, and not named in what is asked?"""
    lit = set(item.show.lit) if item.show else set()
    offered = {
        choice.id
        for field in item.fields
        if isinstance(field.form, OneOf | SomeOf)
        for choice in field.form.choices
    }
    named = {
        filling.name
        for said in item.stem
        for filling in said.fields.values()
        if isinstance(filling, Name)
    }
    return bool((lit & offered) - named)


def is_cut_away(assembly: Assembly, pieces: Iterable[str], cut: Cut) -> bool:
    """Is nothing left of pieces by a cut?"""
    beyond = (
        max(cut.keeps * (float(end[cut.number]) - cut.at_mm) for end in assembly.by_name[name].mesh.bounds)
        for name in pieces
        if name in assembly.by_name
    )  # fmt: skip
    return max(beyond, default=1.0) <= 0.0


def find_out(bench: Bench) -> list[str]:
    """Find out what the kinds of question that need the solids can be about; it is remembered for as long as the bench is."""
    kinds = [kind for kind in QuestionKind if find_kind(kind).needs_solids]
    return [subject for kind in kinds for subject in list_subjects(bench, kind)]
