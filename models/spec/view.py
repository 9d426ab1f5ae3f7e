"""A view: how a build is best shown for a lesson, declared with its family."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class View:
    """Say how a build is shown while it is together. The first view of a family is its usual picture.

    name: told in words as the picture's title. camera: name of a standing view of the stage.
    section: cut in half. named: places whose names stand beside the picture. close_to: places that
    fill the picture; all of them when empty. core: what share of these, round the shaft, fills it.
    above: only what of these stands right above the shaft fills it, for what is a ring small in
    section. away: places left off, so that what lies behind is seen. loads: arrows at each bearing
    show what it carries. Of places that a build lacks nothing is asked.
    """

    name: str
    camera: str
    section: bool = False
    named: tuple[str, ...] = ()
    close_to: tuple[str, ...] = ()
    core: float = 1.0
    above: bool = False
    away: tuple[str, ...] = ()
    loads: bool = False
