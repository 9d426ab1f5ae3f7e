"""Draw a bench into a file."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from models.spec.errors import RefusalError, say_near
from trainer.console.writing import write_whole
from trainer.session.bench import Bench
from trainer.words import Words

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt
    from PIL import Image

    from models.spec.assembly import Assembly
    from models.spec.view import View
    from trainer.session.faults import FaultyBench
    from trainer.session.wrong_move import TriedMove
    from trainer.stage.load_arrows import LoadArrow

LEAST_PX, MOST_PX = 64, 7680


def read_size(words: Words, text: str) -> tuple[int, int]:
    """Read WIDTHxHEIGHT in pixels. Raises click.UsageError for anything else."""
    match = re.fullmatch(r"(\d{1,5})[xX](\d{1,5})", text.strip())
    if match is None:
        raise click.UsageError(words.say("console.size-wrong", text=text))
    width, height = int(match[1]), int(match[2])
    if not (LEAST_PX <= width <= MOST_PX and LEAST_PX <= height <= MOST_PX):
        raise click.UsageError(words.say("console.size-range", text=text))
    return width, height


def check_camera(camera: str) -> None:
    """Check that there is a standing view of that name; "" is the usual one. Raises RefusalError with near matches."""
    from trainer.stage.camera import ViewName

    if camera and camera not in set(ViewName):
        raise RefusalError(f"no view is called {camera!r}; {say_near(camera, ViewName)}")


def check_apart(words: Words, apart: float) -> None:
    """Check that `apart` lies from 0 to 1. Raises click.UsageError."""
    if not 0.0 <= apart <= 1.0:
        raise click.UsageError(words.say("console.apart-wrong", value=f"{apart:g}"))


def draw_bench(
    bench: Bench,
    apart: float = 0.0,
    *,
    section: bool = False,
    camera: str = "",
    size: tuple[int, int] = (1280, 720),
    labels: Mapping[str, str] | None = None,
    title: str = "",
    caption: str = "",
) -> Image.Image:
    """Draw a bench as a finished picture, `apart` from 0 (together) to 1; labels name pieces.

    camera: a standing view; "" is the corner view together, and the exploded view apart, whose long
    string of parts is laid out in strips.
    """
    from trainer.stage.camera import ViewName
    from trainer.stage.exploded import draw_exploded
    from trainer.stage.picture import draw_picture

    camera = camera or (ViewName.EXPLODED if apart else ViewName.ISO)
    if apart and camera == ViewName.EXPLODED and not section and not labels:
        return draw_exploded(
            bench.assembly, bench.layout, apart=apart, size=size, title=title, caption=caption
        )
    return draw_picture(
        bench.assembly,
        size=size,
        camera=camera,
        offsets=bench.layout.offsets_at(apart) if apart else None,
        seats=bench.layout.seats_at(apart) if apart else None,
        section=section,
        labels=labels,
        title=title,
        caption=caption,
    )


def draw_view(
    words: Words, bench: Bench, view: View, *, size: tuple[int, int] = (1280, 720)
) -> Image.Image:
    """Draw a bench as one of its family's views shows it, under the view's own title."""
    from trainer.stage.picture import draw_picture
    from trainer.words.telling import tell_part

    build, assembly = bench.build, bench.assembly
    return draw_picture(
        assembly,
        size=size,
        camera=view.camera,
        section=view.section,
        hidden=frozenset(name for place in view.away for name in build.pieces_at(place)),
        labels={
            _choose_shown(assembly, build.pieces_at(place), view): tell_part(words, place)
            for place in view.named
            if place in build.places  # a place cast into another has no name of its own
        },
        fit_to=_find_near(bench, view),
        loads=_make_loads(words, bench) if view.loads else (),
        title=words.say(f"view.{view.name}"),
        caption=_tell_caption(words, bench, view),
    )


def _choose_shown(assembly: Assembly, names: Sequence[str], view: View) -> str:
    """Choose which of equal pieces bears the name: in a section the upper one of those nearest behind the cut."""
    highest = {name: assembly.by_name[name].mesh.bounds[1] for name in names}
    behind = [name for name in names if highest[name][1] > 0]
    if not view.section or not behind:
        return names[0]
    return min(behind, key=lambda name: (round(float(highest[name][1]), 3), -highest[name][2]))


def _tell_caption(words: Words, bench: Bench, view: View) -> str:
    """Tell what a view's own caption says, if it has one, and the named results of the build."""
    from trainer.words.telling import tell_result

    key = f"view.{view.name}.caption"
    told = [words.say(key)] if words.has(key) else []
    told += [tell_result(words, name, float(value)) for name, value in bench.build.results.items()]
    return " ".join(told)


def _find_near(bench: Bench, view: View) -> npt.NDArray[np.float32] | None:
    """Find the points (n, 3) mm that a view comes close to; None when it shows everything."""
    import numpy as np

    from trainer.stage.close_up import keep_above

    names = [name for place in view.close_to for name in bench.build.pieces_at(place)]
    if not names:
        return None
    points: npt.NDArray[np.float32] = np.concatenate(
        [bench.assembly.by_name[name].mesh.points for name in names]
    )
    reach = view.core * float(np.abs(points[:, 1:]).max())
    points = np.clip(points, (-np.inf, -reach, -reach), (np.inf, reach, reach))
    return keep_above(points) if view.above else points


def _make_loads(words: Words, bench: Bench) -> list[LoadArrow]:
    """Make an arrow for each load that a bearing of the build carries or does not carry."""
    import numpy as np

    from models.spec.loads import find_bearers
    from models.spec.part import Load
    from trainer.stage.load_arrows import make_load_arrows

    arrows: list[LoadArrow] = []
    for bearer in find_bearers(bench.build):
        bounds = [bench.assembly.by_name[name].mesh.bounds for name in bearer.pieces]
        told = {}
        for load in Load:
            text, carries = words.say(f"load.{load}"), load in bearer.carries
            told[load.value] = (text if carries else words.say("load.not", load=text), carries)
        low, high = (
            pick([ends[i] for ends in bounds], axis=0) for i, pick in enumerate((np.min, np.max))
        )
        arrows += make_load_arrows(low, high, told)
    return arrows


def draw_try(
    words: Words, bench: Bench, tried: TriedMove, *, size: tuple[int, int] = (1280, 720)
) -> Image.Image:
    """Draw a tried move: the start as glass, the end at the contact, what stops it, and why."""
    from trainer.stage.tried import draw_tried
    from trainer.words.naming import BuildNaming
    from trainer.words.tried import make_title, tell_tried

    naming = BuildNaming(words, bench.build)
    labels = {tried.piece: naming.tell_piece(tried.piece)}
    if tried.hindrance:
        told = naming.tell_pieces(sorted(tried.hindrance))
        labels[min(tried.hindrance)] = words.say("replay.tag", part=told)
    return draw_tried(
        bench.assembly,
        tried,
        labels=labels,
        title=make_title(words, naming, tried.found),
        caption=tell_tried(words, naming, tried.found),
        size=size,
    )


def draw_fault(
    words: Words, both: FaultyBench, *, size: tuple[int, int] = (1280, 720)
) -> Image.Image:
    """Draw a mistake beside the pump as it should be, with what it leads to."""
    from trainer.stage.amiss import Amiss, Headings, draw_amiss

    right, wrong = _label_concerned(words, both)
    headings = Headings(
        title=words.say(f"fault.{both.fault.key}"),
        where=words.say("fault.where"),
        right=words.say("fault.right"),
        wrong=words.say("fault.wrong"),
        caption=words.say(f"fault.{both.fault.key}.leads-to"),
    )
    amiss = Amiss(both.missing, both.wrong, both.shown, right, wrong, both.near_mm)
    return draw_amiss(both.sound.assembly, both.faulty.assembly, amiss, headings, size=size)


def _label_concerned(words: Words, both: FaultyBench) -> tuple[dict[str, str], dict[str, str]]:
    """Label the first piece of each part that a mistake concerns: as it should be, and as it is."""
    from trainer.words.telling import tell_part, tell_pieces

    build = both.sound.build
    right: dict[str, str] = {}
    wrong: dict[str, str] = {}
    for key, names in (("fault.tag-missing", both.missing), ("fault.tag-wrong", both.wrong)):
        for place in dict.fromkeys(build.pieces[name].place.name for name in names):
            of_place = [name for name in names if build.pieces[name].place.name == place]
            # of one of several equal pieces its number says nothing here
            told = tell_pieces(words, build, of_place) if of_place[1:] else tell_part(words, place)
            right[of_place[0]], wrong[of_place[0]] = told, words.say(key, parts=told)
    if words.has(
        f"fault.{both.fault.key}.sign"
    ):  # what no shape can show, such as the hand of a thread
        first = next(iter(right))
        sign = words.say(f"fault.{both.fault.key}.sign")
        right = {first: words.say(f"fault.{both.fault.key}.sign-right")}
        wrong = {first: words.say("fault.tag-wrong", parts=sign)}
    return right, wrong


def write_picture(words: Words, image: Image.Image, path: Path) -> None:
    """Write a picture whole or not at all, as PNG. Raises SurroundingsError when the disk refuses."""
    if path.suffix.lower() != ".png":
        raise click.UsageError(words.say("console.picture-format", file=str(path)))
    data = io.BytesIO()
    image.save(data, format="PNG")
    write_whole(words, data.getvalue(), path)
