"""Draw what a step of a lesson, or a question, asks to be shown: the same in a terminal, on paper and on a sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from PIL import Image

from models.spec.mirroring import mirror_assembly
from trainer.lesson.lesson import Show
from trainer.session.bench import Bench
from trainer.session.faults import open_faulty
from trainer.stage.close_up import find_near_points
from trainer.stage.look import Look
from trainer.stage.picture import draw_picture
from trainer.stage.scene import Finish
from trainer.stage.told_chain import draw_told_chain
from trainer.words import Words
from trainer.words.telling import tell_part

LABEL_SHARE = 0.052
"""Height of a label's letters, as a share of the picture's: a picture on a sheet is small."""
MOST_NAMED = 8
PX_OF_LOOK = 720.0


@dataclass(frozen=True, slots=True)
class _Chosen:
    """Pieces by what they are shown as."""

    lit: frozenset[str]
    ghosted: frozenset[str]
    labels: Mapping[str, str]


def draw_show(
    words: Words,
    bench: Bench,
    show: Show,
    *,
    size: tuple[int, int] = (900, 600),
    named: bool = True,
) -> Image.Image:
    """Draw a view of a bench.

    Args:
        words: to name what is lit.
        bench: the build of the view, with its options.
        show: what is to be seen.
        size: in pixels.
        named: whether the lit parts bear their names, and what a mistake left out is marked; not where a
            question asks for it.

    Raises:
        RefusalError: the bench lacks what is to be shown. SurroundingsError: this machine cannot draw.
    """
    if show.clearance:
        return draw_told_chain(words, bench, show.clearance, size=size)
    chosen = _choose(words, bench, show, named=named)
    assembly, missing = bench.assembly, frozenset[str]()
    if show.fault:
        both = open_faulty(bench, show.fault)
        if named and not both.wrong:  # what lacks is seen best where it would stand
            missing = frozenset(both.missing)
        else:
            assembly = both.faulty.assembly
        chosen = _keep(chosen, assembly.by_name.keys() - missing)
    if show.mirrored:
        assembly = mirror_assembly(assembly)
    apart = find_apart(bench, show)
    label_px = round(LABEL_SHARE * PX_OF_LOOK)
    return draw_picture(
        assembly,
        size=size,
        camera=show.camera.value,
        offsets=bench.layout.offsets_at(apart) if apart else None,
        seats=bench.layout.seats_at(apart) if apart else None,
        section=show.cutaway,
        lit=chosen.lit,
        ghosted=chosen.ghosted,
        labels=chosen.labels,
        missing=missing,
        hidden=frozenset(show.taken),
        fit_to=find_near_points(bench, show),
        look=Look(label_px=label_px),
        finish=Finish.REST,
    )


def find_apart(bench: Bench, show: Show) -> float:
    """Find how far a view takes the pump apart, 0 to 1."""
    return bench.order.find_share(bench.find_pieces(show.off)) if show.off else show.apart


def _choose(words: Words, bench: Bench, show: Show, *, named: bool) -> _Chosen:
    lit, ghosted = (
        frozenset(piece for name in names for piece in bench.find_pieces(name))
        for names in (show.lit, show.ghosted)
    )
    first = {name: bench.find_pieces(name)[0] for name in show.lit[:MOST_NAMED]}
    labels = {
        piece: tell_part(words, bench.build.pieces[piece].place.name) for piece in first.values()
    }
    return _Chosen(lit, ghosted - lit, labels if named else {})


def _keep(chosen: _Chosen, there: Iterable[str]) -> _Chosen:
    """Keep of what is marked what a pump that was built wrong has at all."""
    names = frozenset(there)
    labels = {piece: text for piece, text in chosen.labels.items() if piece in names}
    return _Chosen(chosen.lit & names, chosen.ghosted & names, labels)
