"""The answer of `picture`: a build together, apart, or with a move tried that cannot be made yet."""

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
    draw_try,
    draw_view,
    read_size,
    write_picture,
)
from trainer.words import Words

if TYPE_CHECKING:
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

    @property
    def is_plain(self) -> bool:
        """Nobody said how the build is to be shown."""
        return not (self.apart or self.section or self.camera)


def make_wish(chosen: PictureChoice) -> Wish:
    """Take from the options of the command what speaks of the picture."""
    return Wish(
        chosen["out"], chosen["size"], chosen["apart"], chosen["section"], chosen["camera"],
        chosen["tried"], chosen["after"], chosen["view"],
    )  # fmt: skip


def answer_picture(words: Words, open_bench: Callable[[], Bench], wish: Wish) -> Answer:
    """Draw the picture that was wished for, write it, and say what it shows.

    Raises:
        click.UsageError: options that do not go together. PumpwrightError: what cannot be drawn or written.
    """
    pixels = read_size(words, wish.size)
    if wish.tried is None and wish.after is not None:
        raise click.UsageError(words.say("replay.after-needs-try"))
    if wish.tried is not None and not (wish.is_plain and wish.view is None):
        raise click.UsageError(words.say("replay.try-alone"))
    if wish.view is not None and not wish.is_plain:
        raise click.UsageError(words.say("console.view-alone"))
    check_apart(words, wish.apart)
    check_camera(wish.camera)
    told: Answer = {"file": str(wish.out.resolve())}
    bench = open_bench()
    view = _find_view(bench, wish)
    if view is not None:
        image = draw_view(words, bench, view, size=pixels)
        told["view"] = view.name
    elif wish.tried is None:
        image = draw_bench(bench, wish.apart, section=wish.section, camera=wish.camera, size=pixels)
        told["apart"] = wish.apart
    else:
        move = _try(bench, wish.tried, wish.after)
        image = draw_try(words, bench, move, size=pixels)
        told |= describe_try(words, bench, move)
    write_picture(words, image, wish.out)
    return told | {"width": pixels[0], "height": pixels[1]}


def _find_view(bench: Bench, wish: Wish) -> View | None:
    """Find the view asked for by name; when nobody says how to show it, the first of the family's own, if it has any."""
    if wish.view is not None:
        return bench.build.view(wish.view)
    views = bench.build.family.views
    return views[0] if views and wish.is_plain and wish.tried is None else None


def _try(bench: Bench, piece: str, after: Path | None) -> TriedMove:
    from trainer.session.typed import read_order_lines
    from trainer.session.wrong_move import try_piece

    lines = read_order_lines(after, bench.build) if after is not None else ()
    return try_piece(bench, piece, lines)


def describe_try(words: Words, bench: Bench, tried: TriedMove) -> Answer:
    """Describe a tried move for scripts: verdict `free`, `held` or `blocked`, and the reason in a sentence."""
    from trainer.words.tried import tell_tried

    return {
        "piece": tried.piece,
        "verdict": "free" if tried.is_free else "held" if tried.is_held else "blocked",
        "direction": tried.direction.name if tried.direction else None,
        "travel_mm": None if tried.is_held else round(tried.travel_mm, 3),
        "in_the_way": sorted(tried.hindrance),
        "why": tell_tried(words, bench.build, tried.found),
    }
