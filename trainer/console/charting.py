"""The command `chart`: the wall chart, one page for each value of an option that is not the usual one."""

from __future__ import annotations

import io
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from models.spec.errors import RefusalError, say_near
from trainer.console.asking import FOLDER, make_command, make_json_option, print_json
from trainer.words import Words

if TYPE_CHECKING:
    from trainer.session.bench import Bench

SHEET_PX = (3307, 2339)
"""A3 lying, at PRINT_DPI."""
PRINT_DPI = 200.0
DRAFT_PX = 1400
"""Lower pages are drawn without the soft shade in corners."""
JPEG_QUALITY = 92
MOST_NAMED = 16
"""Changed parts that are named beside the drawing, the bulkiest; smaller ones are listed below."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page of the chart: the value that it shows, what it is held against, and what goes with it."""

    option: str
    value: str
    usual: str
    chosen: dict[str, str]
    with_it: dict[str, str]

    @property
    def name(self) -> str:
        """The name of its file, without the ending."""
        return f"{self.option}-{self.value}"


def make_chart(words: Words) -> click.Command:
    """Make the command."""
    shape = "NAME=VALUE"
    options = (
        click.argument("build", required=False),
        click.option(
            "--with", "options", multiple=True, metavar=shape, help=words.say("console.help-with")
        ),
        click.option(
            "--only", multiple=True, metavar="NAME[=VALUE]", help=words.say("chart.help-only")
        ),
        click.option(
            "--out",
            type=FOLDER,
            default=Path("chart"),
            show_default=True,
            help=words.say("chart.help-out"),
        ),
        click.option(
            "--size",
            default=f"{SHEET_PX[0]}x{SHEET_PX[1]}",
            show_default=True,
            help=words.say("console.help-size"),
        ),
    )

    @make_command(words, "chart", *options, make_json_option(words))
    def chart(
        build: str | None,
        options: tuple[str, ...],
        only: tuple[str, ...],
        out: Path,
        size: str,
        as_json: bool,
    ) -> None:
        from trainer.console.drawing import read_size
        from trainer.session.bench import list_benches
        from trainer.session.typed import read_pair

        pixels = read_size(words, size)
        name = build or next(iter(list_benches()))
        base = dict(read_pair(text, "NAME=VALUE, like bracket=open") for text in options)
        sheets, left_out = find_sheets(name, base, only)
        told = [_make_sheet(words, name, sheet, out, pixels) for sheet in sheets]
        files = [out / f"{sheet.name}.png" for sheet in sheets]
        write_gathered(words, files, out / "chart.pdf", pixels)
        if as_json:
            print_json({"file": str((out / "chart.pdf").resolve()), "pages": told} | left_out)
            return
        for value, why in left_out["left_out"].items():
            click.echo(words.say("chart.left-out", value=value, why=why))
        click.echo(words.say("chart.done", count=len(files), folder=str(out.resolve())))

    return chart


def find_sheets(
    name: str, base: dict[str, str], only: tuple[str, ...] = ()
) -> tuple[list[Sheet], dict[str, dict[str, str]]]:
    """Find the pages of a build's chart.

    Args:
        name: FAMILY/SIZE.
        base: options that hold for every page.
        only: options, or NAME=VALUE, to which the chart is kept; all if empty.

    Returns:
        The pages, and under `left_out` by NAME=VALUE why one cannot be had with `base`.

    Raises:
        RefusalError: unknown build, option or value, or nothing is left to draw.
    """
    from models.builds import make_named_build
    from trainer.session.bench import list_benches

    usual = dict(make_named_build(name, base).options)
    values = [
        (option, value)
        for option, all_values in list_benches()[name].items()
        for value in all_values
        if option not in base and value != usual[option]
    ]
    known = [word for option, value in values for word in (option, f"{option}={value}")]
    for word in only:
        if word not in known:
            raise RefusalError(f"the chart has no page for {word!r}; {say_near(word, known)}")
    sheets: list[Sheet] = []
    left_out: dict[str, str] = {}
    for option, value in values:
        if only and option not in only and f"{option}={value}" not in only:
            continue
        try:
            chosen = dict(make_named_build(name, base | {option: value}).options)
        except RefusalError as refused:
            left_out[f"{option}={value}"] = str(refused)
            continue
        with_it = {
            other: taken
            for other, taken in chosen.items()
            if other != option and taken != usual[other]
        }
        if all(chosen != sheet.chosen for sheet in sheets):  # two values that only go together
            sheets.append(Sheet(option, value, usual[option], chosen, with_it))
    if not sheets:
        raise RefusalError(
            "nothing is left to draw: "
            + ("; ".join(left_out.values()) or f"{name} has no options left to choose between")
        )
    return sheets, {"left_out": left_out}


def _make_sheet(
    words: Words, name: str, sheet: Sheet, out: Path, pixels: tuple[int, int]
) -> dict[str, object]:
    """Draw a page, write it, and describe it for scripts."""
    from trainer.console.drawing import write_picture
    from trainer.console.progress import make_progress
    from trainer.session.bench import open_bench
    from trainer.stage.scene import Finish
    from trainer.stage.wall_chart import Headings, draw_wall_chart, find_changed, find_named
    from trainer.words.telling import tell_pieces

    path = out / f"{sheet.name}.png"
    sys.stderr.write(words.say("tour.drawing", file=path.name) + "\n")
    bench = open_bench(name, sheet.chosen, progress=make_progress(words))
    other = _open_other(name, sheet)
    changed, gone = find_changed(bench.assembly, other.assembly)
    named = find_named(bench.assembly, changed)
    told = {
        name: tell_pieces(
            words, bench.build, [one for one in bench.assembly.sets[part] if one in changed]
        )
        for part, name in named.items()
    }
    labels = dict(list(told.items())[:MOST_NAMED])
    caption = words.say("chart.caption", usual=tell_choice(words, sheet.option, sheet.usual))
    if len(told) > MOST_NAMED:
        rest = words.join(list(told.values())[MOST_NAMED:])
        caption += " " + words.say("chart.rest", parts=rest)
    if gone:
        caption += " " + words.say("chart.gone", parts=tell_pieces(words, other.build, gone))
    headings = Headings(
        title=make_title(words, bench, sheet),
        assembled=words.say("chart.assembled"),
        section=words.say("chart.section"),
        exploded=words.say("chart.exploded"),
        caption=caption,
    )
    image = draw_wall_chart(
        bench.assembly,
        bench.layout,
        labels,
        headings,
        lit=changed,
        size=pixels,
        finish=Finish.REST if pixels[1] < DRAFT_PX else Finish.PRINT,
    )
    write_picture(words, image, path)
    return {
        "option": sheet.option,
        "value": sheet.value,
        "with": sheet.with_it,
        "file": str(path.resolve()),
        "changed": sorted(changed),
        "gone": sorted(gone),
    }


def _open_other(name: str, sheet: Sheet) -> Bench:
    """Open the build that the value is held against: the same in all else, where that can be had."""
    from models.builds import list_builds
    from models.spec.choosing import find_clashes
    from trainer.session.bench import open_bench

    family = list_builds()[name]
    kept = {sheet.option: sheet.usual}
    for other, value in sheet.chosen.items():
        if (
            other != sheet.option
            and next(find_clashes(family, kept | {other: value}), None) is None
        ):
            kept[other] = value
    return open_bench(name, kept)


def make_title(words: Words, bench: Bench, sheet: Sheet) -> str:
    """Make a page's title: the build, the option and its value in words, and what else it needs."""
    family, _, size = bench.build.name.partition("/")
    title = words.say(
        "chart.title",
        family=words.say(f"family.{family}"),
        size=size,
        choice=tell_choice(words, sheet.option, sheet.value),
    )
    if sheet.with_it:
        needed = words.join([tell_choice(words, *pair) for pair in sheet.with_it.items()])
        title += words.say("chart.needs", choices=needed)
    return title


def tell_choice(words: Words, option: str, value: str) -> str:
    """Tell an option and its value in a fitter's words."""
    return words.say(
        "chart.choice",
        option=words.say(f"option.{option}"),
        value=words.say(f"option.{option}.{value}"),
    )


def write_gathered(words: Words, files: list[Path], path: Path, pixels: tuple[int, int]) -> None:
    """Write pictures as the pages of one PDF, each as large as an A3 sheet lying.

    Raises:
        SurroundingsError: where the disk refuses.
    """
    from PIL import Image

    from trainer.console.writing import write_whole

    dpi = PRINT_DPI * pixels[0] / SHEET_PX[0]
    first, *others = (Image.open(file) for file in files)
    data = io.BytesIO()
    first.save(
        data,
        format="PDF",
        save_all=True,
        append_images=others,
        resolution=dpi,
        quality=JPEG_QUALITY,
    )
    write_whole(words, data.getvalue(), path)
