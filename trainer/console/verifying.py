"""The answer of `verify`: walk one build, the short list or every combination, and say what was found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from trainer.words import Words


@dataclass(frozen=True, slots=True)
class Asked:
    """What to verify: one build with options, all combinations, or (neither) the short list."""

    build: str | None
    options: Sequence[str]
    tables: Path | None
    all_builds: bool
    afresh: bool


def answer_verify(words: Words, asked: Asked) -> tuple[dict[str, object], str, int]:
    """Verify what was asked for; gives the answer as JSON, as a person's last line, and the exit status."""
    from models.builds import make_named_build
    from models.solids.memory import FactMemory
    from models.solids.verify import Verifier
    from models.spec.build import TABLES
    from trainer.console import show
    from trainer.console.progress import make_progress
    from trainer.session.bench import list_every_build
    from trainer.session.typed import read_pair
    from trainer.session.walking import plan_walk

    folder = asked.tables or TABLES
    memory = None if asked.afresh else FactMemory()
    verifier = Verifier(make_progress(words, "console.verifying-"), memory)
    told: dict[str, object] = {}
    last = ""
    if asked.build:
        chosen = dict(read_pair(text, "NAME=VALUE, like bracket=open") for text in asked.options)
        verifier.check(make_named_build(asked.build, chosen, tables=folder))
    elif asked.all_builds:
        walk = plan_walk(folder)
        for build in walk.builds():
            verifier.check(build)
        verifier.check_places()
        key = "verify.covering" if walk.is_covering else "verify.every"
        last = words.say(key, builds=len(walk.steps), combinations=walk.combinations)
        told = {"combinations": walk.combinations, "covering": walk.is_covering}
    else:
        for build in list_every_build(folder):
            verifier.check(build)
        verifier.check_places()
    told = show.describe_report(words, verifier.report) | told
    lines = [*show.tell_report(words, verifier.report), *([last] if last else [])]
    return told, "\n".join(lines), 0 if verifier.report.is_ok else 1
