"""The answer of `picture`: a build together, apart, with a move tried that cannot be made yet, or with a mistake in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from trainer.console.asking import BuildChoice
from trainer.console.drawing import (
    check_apart,
    check_camera,
    draw_bench,
    draw_fault,
    draw_try,
    draw_view,
    read_size,
    write_picture,
)
from trainer.words import Words
from trainer.words.telling import find_clearance

if TYPE_CHECKING:
    from PIL import Image

    from models.spec.view import View
    from trainer.session.bench import Bench
    from trainer.session.wrong_move import TriedMove

FILE = click.Path(dir_okay=False, path_type=Path)
Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]
Answer = dict[str, object]


def make_picture_options(words: Words) -> tuple[Decorator, ...]:
    """Make the options of the command beside those of the build."""
    return (
        click.option(
            "--apart",
            type=float,
            default=0.0,
            show_default=True,
            help=words.say("console.help-apart"),
        ),
        click.option("--out", required=True, type=FILE, help=words.say("console.help-out")),
        click.option("--section", is_flag=True, help=words.say("console.help-section")),
        click.option("--camera", default="", help=words.say("console.help-camera")),
        click.option("--view", metavar="NAME", help=words.say("console.help-view")),
        click.option("--try", "tried", metavar="PIECE", help=words.say("replay.help-try")),
        click.option("--after", type=FILE, metavar="FILE", help=words.say("replay.help-after")),
        click.option("--fault", metavar="FAULT", help=words.say("fault.help-fault")),
        click.option("--chain", metavar="NAME", help=words.say("chain.help-chain")),
        click.option(
            "--size", default="1280x720", show_default=True, help=words.say("console.help-size")
        ),
    )


class PictureChoice(BuildChoice):
    """What the options of the command say."""

    out: Path
    size: str
    apart: float
    section: bool
    camera: str
    tried: str | None
    after: Path | None
    view: str | None
    fault: str | None
    chain: str | None


@dataclass(frozen=True, slots=True)
class Wish:
    """What picture is wished for, as typed."""

    out: Path
    size: str
    apart: float = 0.0
    section: bool = False
    camera: str = ""
    tried: str | None = None
    after: Path | None = None
    view: str | None = None
    fault: str | None = None
    chain: str | None = None

    @property
    def is_plain(self) -> bool:
        """Nobody said how the build is to be shown."""
        return not (self.apart or self.section or self.camera)


def make_wish(chosen: PictureChoice) -> Wish:
    """Take from the options of the command what speaks of the picture."""
    return Wish(
        chosen["out"], chosen["size"], chosen["apart"], chosen["section"], chosen["camera"],
        chosen["tried"], chosen["after"], chosen["view"], chosen["fault"], chosen["chain"],
    )  # fmt: skip


def answer_picture(words: Words, open_bench: Callable[[], Bench], wish: Wish) -> Answer:
    """Draw the picture that was wished for, write it, and say what it shows.

    Raises:
        click.UsageError: options that do not go together. PumpwrightError: what cannot be drawn or written.
    """
    pixels = read_size(words, wish.size)
    _check_alone(words, wish)
    check_apart(words, wish.apart)
    check_camera(wish.camera)
    image, told = _draw(words, open_bench(), wish, pixels)
    write_picture(words, image, wish.out)
    size = {"width": pixels[0], "height": pixels[1]}
    return {"file": str(wish.out.resolve())} | told | size


def _check_alone(words: Words, wish: Wish) -> None:
    """Check that only one kind of picture is wished for. Raises click.UsageError."""
    if wish.tried is None and wish.after is not None:
        raise click.UsageError(words.say("replay.after-needs-try"))
    named = [one is not None for one in (wish.tried, wish.view, wish.fault, wish.chain)]
    if sum(named) > 1 or (any(named) and not wish.is_plain):
        keys = "replay.try-alone", "console.view-alone", "fault.alone", "chain.alone"
        raise click.UsageError(words.say(keys[named.index(True)]))


def _draw(
    words: Words, bench: Bench, wish: Wish, pixels: tuple[int, int]
) -> tuple[Image.Image, Answer]:
    """Draw what was wished for, and describe it for scripts."""
    if wish.fault is not None:
        return _draw_seeded(words, bench, wish.fault, pixels)
    if wish.chain is not None:
        from trainer.stage.told_chain import draw_told_chain

        name = find_clearance(words, bench.build, wish.chain)
        return draw_told_chain(words, bench, name, size=pixels), {"clearance": name}
    if wish.tried is not None:
        move = _try(bench, wish.tried, wish.after)
        return draw_try(words, bench, move, size=pixels), describe_try(words, bench, move)
    view = _find_view(bench, wish)
    if view is not None:
        return draw_view(words, bench, view, size=pixels), {"view": view.name}
    image = draw_bench(bench, wish.apart, section=wish.section, camera=wish.camera, size=pixels)
    return image, {"apart": wish.apart}


def _draw_seeded(
    words: Words, bench: Bench, key: str, pixels: tuple[int, int]
) -> tuple[Image.Image, Answer]:
    from trainer.console.faults import describe_seeded
    from trainer.session.faults import open_faulty

    both = open_faulty(bench, key)
    return draw_fault(words, both, size=pixels), describe_seeded(words, both)


def _find_view(bench: Bench, wish: Wish) -> View | None:
    """Find the view asked for by name; when nobody says how to show it, the first of the family's own, if it has any."""
    if wish.view is not None:
        return bench.build.view(wish.view)
    views = bench.build.family.views
    return views[0] if views and wish.is_plain else None


def _try(bench: Bench, piece: str, after: Path | None) -> TriedMove:
    from trainer.session.typed import read_order_lines
    from trainer.session.wrong_move import try_piece

    lines = read_order_lines(after, bench.build) if after is not None else ()
    return try_piece(bench, piece, lines)


def describe_try(words: Words, bench: Bench, tried: TriedMove) -> Answer:
    """Describe a tried move for scripts: verdict `free`, `held` or `blocked`, and the reason in a sentence."""
    from trainer.words.naming import BuildNaming
    from trainer.words.tried import tell_tried

    return {
        "piece": tried.piece,
        "verdict": "free" if tried.is_free else "held" if tried.is_held else "blocked",
        "direction": tried.direction.name if tried.direction else None,
        "travel_mm": None if tried.is_held else round(tried.travel_mm, 3),
        "in_the_way": sorted(tried.hindrance),
        "why": tell_tried(words, BuildNaming(words, bench.build), tried.found),
    }
