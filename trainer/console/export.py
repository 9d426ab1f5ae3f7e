"""The command `export`: a build, every piece in its place, as a STEP file for other programs."""

from __future__ import annotations

from pathlib import Path
from typing import Unpack

import click

from trainer.console.asking import (
    FILE,
    BuildChoice,
    make_build_options,
    make_command,
    make_json_option,
    open_chosen,
    print_json,
)
from trainer.words import Words

ENDINGS = (".step", ".stp")


def make_export(words: Words) -> click.Command:
    """Make the command."""
    out = click.option("--out", required=True, type=FILE, help=words.say("export.help-out"))

    @make_command(words, "export", *make_build_options(words), out, make_json_option(words))
    def export(out: Path, as_json: bool, **chosen: Unpack[BuildChoice]) -> None:
        if out.suffix.lower() not in ENDINGS:
            raise click.UsageError(words.say("export.format", file=str(out)))
        build = open_chosen(words, chosen).build

        from models.solids.step_writing import make_step_text
        from trainer.console.progress import make_progress
        from trainer.console.writing import write_whole
        from trainer.stage.look import MATERIAL_TONES

        tell = make_progress(words)
        text = make_step_text(
            build, MATERIAL_TONES, progress=lambda done, of: tell("solids", done, of)
        )
        write_whole(words, text, out)
        pieces, size = len(build.pieces), len(text)
        if as_json:
            print_json({"file": str(out.resolve()), "pieces": pieces, "bytes": size})
        else:
            told = words.say(
                "export.written", file=str(out), pieces=pieces, size=f"{size / 1e6:.1f}"
            )
            click.echo(told)

    return export
