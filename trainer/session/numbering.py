"""Number the parts of what lies on the bench: one number a part, the same in list, picture and answer.

Numbers run by sub-assembly, and in each from the suction end to the drive end, as one reads a half section
from left to right. A teardown order would teach too, but there are many right ones, and it is not known
before the relations are; where a part lies is known with the solids and is the same for everybody.
That item references follow a sequence that means something is drawing practice (ISO 6433, from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from models.spec.assembly import Assembly


@dataclass(frozen=True, slots=True)
class Group:
    """A sub-assembly and its parts, in the order of their numbers; its name is "" where nobody named one."""

    name: str
    parts: tuple[str, ...]


@dataclass(frozen=True)
class Numbering:
    """The sub-assemblies from the suction end, with the parts that belong to each."""

    groups: tuple[Group, ...]

    @cached_property
    def numbers(self) -> Mapping[str, int]:
        """The number of each part, from 1."""
        parts = [part for group in self.groups for part in group.parts]
        return {part: number for number, part in enumerate(parts, 1)}


def number_parts(assembly: Assembly, kept: Numbering | None = None) -> Numbering:
    """Number the parts of an assembly.

    Args:
        assembly: the pieces where they lie.
        kept: numbers given before. They stand while the parts are the same ones: other shims move the
            impeller a little, and that must not give it another number.
    """
    if kept is not None and kept.numbers.keys() == assembly.sets.keys():
        return kept
    middles: dict[str, float] = {}
    lowest: dict[str, float] = {}
    members: dict[str, list[str]] = {}
    for part, names in assembly.sets.items():
        pieces = [assembly.by_name[name] for name in names]
        low = float(np.min([piece.mesh.bounds[0][0] for piece in pieces]))
        high = float(np.max([piece.mesh.bounds[1][0] for piece in pieces]))
        group = pieces[0].group
        # A tenth of a millimetre is more than solids differ by where parts lie in one plane.
        middles[part] = round((low + high) / 2.0, 1)
        lowest[group] = min(low, lowest.get(group, low))
        members.setdefault(group, []).append(part)
    groups = sorted(members, key=lambda group: lowest[group])
    # Sorting keeps the order of the build among parts that lie in one plane.
    return Numbering(
        tuple(
            Group(group, tuple(sorted(members[group], key=lambda part: middles[part])))
            for group in groups
        )
    )
