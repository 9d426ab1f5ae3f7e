"""One number a part, in an order that can be followed, the same as long as the parts are the same."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from models.builds import make_named_build
from models.spec.assembly import Assembly, AssemblyPiece
from models.spec.mesh import Mesh
from tests.covering_sample import SAMPLE
from trainer.session.bench import open_bench
from trainer.session.numbering import number_parts
from trainer.words import load_words


def make_piece(name: str, part: str, group: str, from_mm: float, to_mm: float) -> AssemblyPiece:
    points = np.array([[from_mm, 0, 0], [to_mm, 0, 0], [from_mm, 1, 1]], np.float32)
    mesh = Mesh(points, points, np.array([[0, 1, 2]], np.int32), points, np.zeros((0, 2), np.int32))
    return AssemblyPiece(name, part, "kind", "cast-iron", group, mesh)


def make_assembly(*pieces: AssemblyPiece) -> Assembly:
    return Assembly("test/1", pieces)


def test_numbers_run_by_group_from_the_suction_end_and_are_one_for_a_set() -> None:
    assembly = make_assembly(
        make_piece("shaft", "shaft", "rotating", 40, 90),
        make_piece("nut-1", "nut", "wet", -5, 0),
        make_piece("impeller", "impeller", "rotating", 10, 30),
        make_piece("nut-2", "nut", "wet", -5, 0),
        make_piece("casing", "casing", "wet", 0, 50),
    )
    assert dict(number_parts(assembly).numbers) == {
        "nut": 1,
        "casing": 2,
        "impeller": 3,
        "shaft": 4,
    }


def test_parts_in_one_plane_keep_the_order_of_the_build() -> None:
    assembly = make_assembly(
        make_piece("ring", "ring", "wet", 0.0, 10.0),
        make_piece("plug", "plug", "wet", 0.01, 10.01),
    )
    assert list(number_parts(assembly).numbers) == ["ring", "plug"]


def test_other_shims_change_no_number() -> None:
    pieces = (make_piece("a", "a", "wet", 0, 10), make_piece("b", "b", "wet", 1, 11))
    first = number_parts(make_assembly(*pieces))
    moved = make_assembly(make_piece("a", "a", "wet", 5, 15), pieces[1])
    assert number_parts(moved).numbers != first.numbers
    assert number_parts(moved, first) is first
    more = make_assembly(*pieces, make_piece("c", "c", "wet", -9, -8))
    assert number_parts(more, first).numbers == {"c": 1, "a": 2, "b": 3}


@pytest.fixture(scope="module")
def assembly() -> Assembly:
    return open_bench("end-suction/100-250").assembly


def test_every_part_of_a_pump_has_a_number_and_sides_follow(assembly: Assembly) -> None:
    numbering = number_parts(assembly)
    assert sorted(numbering.numbers.values()) == list(range(1, len(assembly.sets) + 1))
    assert [group.name for group in numbering.groups] == [
        "wet-end",
        "rotating-element",
        "shaft-seal",
        "bearing-frame",
    ]
    numbers = numbering.numbers
    assert numbers["suction-cover"] < numbers["volute"] < numbers["bracket-nut"]
    assert numbers["impeller"] < numbers["shaft"] < numbers["coupling-key"]


def test_numbers_do_not_hang_on_the_order_of_the_pieces(assembly: Assembly) -> None:
    turned = replace(assembly, pieces=tuple(sorted(assembly.pieces, key=lambda one: one.name)))
    ours, theirs = number_parts(assembly).numbers, number_parts(turned).numbers
    differing = {part for part in ours if ours[part] != theirs[part]}
    # Only parts that lie in one plane may change places with each other.
    for part in differing:
        other = next(one for one in ours if theirs[one] == ours[part])
        assert find_middle(assembly, part) == pytest.approx(find_middle(assembly, other), abs=0.11)


def find_middle(assembly: Assembly, part: str) -> float:
    bounds = [assembly.by_name[name].mesh.bounds for name in assembly.sets[part]]
    return float(min(low[0] for low, _ in bounds) + max(high[0] for _, high in bounds)) / 2.0


def test_every_sub_assembly_of_every_build_is_named() -> None:
    words = load_words()
    # Every value of every option stands in the sample, and a place is filled by values one by one.
    builds = [make_named_build(name, chosen) for name, chosen in SAMPLE]
    groups = {piece.place.group for build in builds for piece in build.pieces.values()}
    assert groups >= {"wet-end", "shaft-seal"}
    assert [group for group in groups if group and not words.has(f"group.{group}")] == []
