"""From any claim to its proof in one click: a clearance, a refused move, a mark; with the two faces lit in the section."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QEvent, QObject

from models.solids.exact import can_be_measured
from models.spec.errors import RefusalError
from trainer.desktop.bench_work import BenchChoice
from trainer.desktop.doing.proof_texts import (
    list_clearance_passages,
    list_move_passages,
    tell_contact,
)
from trainer.desktop.panes.proof_pane import ProofPane
from trainer.desktop.picture.patch_tracing import PatchTracing
from trainer.desktop.pieces import make_button
from trainer.desktop.proof_work import Asked, ProofWork
from trainer.desktop.telling_proof import tell_claim, tell_solids
from trainer.session.bench import Bench
from trainer.session.proof import ClearanceProof, prove_clearance
from trainer.session.wrong_move import TriedMove
from trainer.stage.lit_faces import (
    Line,
    cut_triangles,
    find_behind,
    find_face_triangles,
    find_meeting,
)
from trainer.words.telling import tell_clearance
from trainer.words.tried import make_title, tell_tried

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow


class Proving(QObject):
    """Show proofs in a pane of their own, and in the picture what they speak of."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window, words = window, window.words
        self._proof: ClearanceProof | None = None
        self._move: TriedMove | None = None
        self._offered: TriedMove | None = None
        self._works: list[ProofWork] = []
        self._asked: Asked | None = None
        self._lit: list[tuple[str, list[Line], bool]] = []
        self.patches = PatchTracing()
        window.view.tracings.append(self.patches)
        self.pane = ProofPane(words)
        window.add_pane("proof", self.pane, self.close)
        self.pane.chosen.connect(self.prove_clearance)
        self.pane.closed.connect(self.close)
        self.open_list = make_button(words.say("proof.open"), self.open, spoken=words.say("proof.open-spoken"))  # fmt: skip
        window.tools.add_gap()
        window.tools.addWidget(self.open_list)
        window.add_key("Ctrl+M", self.open)
        self.why = make_button(
            words.say("proof.button"),
            self._prove_offered,
            name="link",
            spoken=words.say("proof.move-spoken"),
        )
        self.why.hide()
        window.motion.head.addWidget(self.why)
        window.installEventFilter(self)
        window.came.connect(self._take_bench)
        for other in (
            window.motion.moved,
            window.view.picked,
            window.lesson.show_asked,
            window.measuring.shown,
        ):
            other.connect(self.withdraw)
        window.measuring.strip.proof_asked.connect(lambda: self.prove_clearance(window.measuring.name))  # fmt: skip
        window.measuring.shown.connect(self._light)
        window.measuring.drawn.connect(self._draw_lit)
        for asking in (window.shims, window.service, window.part, window.sheet):
            asking.proof_asked.connect(self.prove_clearance)

    # ------------------------------------------------------------------ what is proved
    def open(self) -> None:
        """Open the list of clearances, at the one that is measured or the first."""
        bench = self._window.bench
        names = [one.name for one in bench.build.clearances] if bench else []
        if not names:
            self.pane.forget()
            self.pane.tell_solids(self._window.words.say("proof.no-clearance"))
            self._window.show_pane("proof")
            return
        self.prove_clearance(self._window.measuring.name or names[0])

    def prove(self, claim: str | TriedMove) -> None:
        """Prove a clearance by its name, or a move that was tried."""
        if isinstance(claim, TriedMove):
            self.prove_move(claim)
        else:
            self.prove_clearance(claim)

    def prove_clearance(self, name: str) -> None:
        """Show what stands behind a clearance, and measure it in the picture."""
        window, words, bench = self._window, self._window.words, self._window.bench
        if bench is None:
            return
        try:
            proof = prove_clearance(bench, name)
        except RefusalError:
            return  # a link to a clearance of the pump that stood here before
        self._proof, self._move = proof, None
        self.patches.clear()
        if window.measuring.name != name:
            window.measuring.show(name)
        one = proof.measured
        self.pane.show_proof(
            tell_clearance(words, name),
            tell_claim(words, one),
            list_clearance_passages(words, bench.build, proof),
            is_fault=not one.is_inside,
            name=name,
        )
        window.show_pane("proof")
        if can_be_measured(bench.build, proof.clearance):
            self._ask(bench, Asked(name))
            return
        self._stop_asking()
        key = "proof.no-gap-pressed" if proof.clearance.is_plain else "proof.no-gap-computed"
        self.pane.tell_solids(words.say(key))

    def prove_move(self, tried: TriedMove) -> None:
        """Show what stands behind a move that was tried: both parts, the way, the travel, and what the solids say."""
        window, words = self._window, self._window.words
        if window.ordered is None:
            return
        window.leave_close_up()
        self._proof, self._move = None, tried
        naming = window.naming
        self.pane.show_proof(
            make_title(words, naming, tried.found),
            tell_tried(words, naming, tried.found),
            list_move_passages(words, naming, tried),
            is_fault=not tried.is_free,
        )
        window.show_pane("proof")
        self._stop_asking()
        self.pane.tell_solids("")
        if tried.is_free or tried.direction is None or window.assembly is None:
            self.patches.clear()
            return
        blocker = min(tried.hindrance)
        way = np.asarray(tried.direction.vector, dtype=np.float64)
        self.patches.show(
            tried.piece, blocker, *find_meeting(window.assembly, tried.piece, blocker, way, tried.travel_mm)
        )  # fmt: skip
        window.view.update()
        if window.bench is None:
            self.pane.tell_solids(words.say("proof.sizes-of-file"))
            return
        x, y, z = (float(one) for one in tried.shift_mm)
        self._ask(window.bench, Asked(pieces=(tried.piece, blocker), shift_mm=(x, y, z)))

    def offer(self, tried: TriedMove) -> None:
        """Offer the proof of a move beside what is said of it; the next motion takes the offer back."""
        self._offered = tried
        self.why.show()

    def _prove_offered(self) -> None:
        if self._offered is not None:
            self.prove_move(self._offered)

    def withdraw(self, *_told: object) -> None:
        """Take the offer back: what is said beside it is of something else now."""
        self._offered = None
        self.why.hide()

    def close(self) -> None:
        """Go back to what was beside the picture before; what is measured in the picture stays."""
        self._stop_asking()
        self.patches.clear()
        self._window.view.update()
        self._window.close_pane()

    # ------------------------------------------------------------------ another pump, other shims
    def _take_bench(self) -> None:
        """Prove the same of what stands here now, or nothing where that is gone."""
        bench = self._window.bench
        self.pane.list_clearances(bench.build if bench else None)
        self.patches.clear()
        self.withdraw()
        name = self._proof.clearance.name if self._proof else ""
        is_there = bench is not None and bench.build.has_clearance(name)
        if self._window.pane == "proof" and is_there:
            self.prove_clearance(name)
            return
        self._proof = self._move = None
        self._stop_asking()
        self.pane.forget()
        if self._window.pane == "proof":
            self._window.close_pane()

    # ------------------------------------------------------------------ in the picture
    def _light(self, name: str) -> None:
        """Find the two faces of what is measured, where they stand in the section."""
        window = self._window
        bench, assembly, cut = window.bench, window.assembly, window.view.cut
        self._lit = []
        if name and bench is not None and assembly is not None and cut is not None:
            clearance = bench.build.clearance(name)
            for place, face in (clearance.low, clearance.high):
                piece = bench.build.piece_at(place)
                triangles = find_face_triangles(assembly, piece, face)
                lines = cut_triangles(triangles, cut)
                behind = [] if lines else find_behind(triangles, cut)
                self._lit.append((piece.name, lines or behind, not lines))
        self._draw_lit()

    def _draw_lit(self) -> None:
        """Light the two faces where they are seen now."""
        shift = self._window.measuring.enlarging.shift
        self._window.measuring.tracing.faces = [
            ([(shift(piece, a), shift(piece, b)) for a, b in lines], is_behind)
            for piece, lines, is_behind in self._lit
        ]
        self._window.view.update()

    # ------------------------------------------------------------------ the solids
    def _ask(self, bench: Bench, asked: Asked) -> None:
        """Ask the solids in the background, unless the very same is being asked."""
        self._stop_asking()
        self._asked = asked
        self.pane.tell_solids(self._window.words.say("proof.measuring"), is_waiting=True)
        choice = self._window.changing.stands
        assert isinstance(choice, BenchChoice)
        work = ProofWork(choice, bench.build, asked, self)
        work.told.connect(self._take_answer)
        work.failed.connect(self._take_failure)
        self._works = [one for one in self._works if one.isRunning()]
        self._works.append(work)
        work.start()

    def _stop_asking(self) -> None:
        self._asked = None
        for work in self._works:
            work.requestInterruption()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let what is being measured end when the window closes."""
        if event.type() == QEvent.Type.Close:
            self._stop_asking()
            for work in self._works:
                work.wait()
        return super().eventFilter(watched, event)

    def _take_answer(self, asked: Asked, lengths_mm: tuple[float, ...]) -> None:
        if asked is not self._asked:
            return
        words = self._window.words
        if self._proof is not None:
            text = tell_solids(words, self._proof.measured, lengths_mm[0]) if lengths_mm else words.say("proof.face-missing")  # fmt: skip
        elif self._move is not None:
            text = tell_contact(words, self._window.naming, self._move, lengths_mm)
        else:
            return
        self.pane.tell_solids(text)

    def _take_failure(self, asked: Asked, reason: str) -> None:
        if asked is self._asked:
            self.pane.tell_solids(self._window.words.say("proof.failed", reason=reason))
