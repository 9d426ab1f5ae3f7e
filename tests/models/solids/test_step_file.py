"""What a STEP file gives, and how a bad one is refused; the kernel runs in a process of its own."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import cadquery as cq
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.solids import step_file
from models.solids.overlaps import make_facets
from models.solids.step_file import check_text, read_step
from models.solids.step_names import make_part_names, make_piece_names, make_slug
from models.spec.errors import ContentError, Fault, SurroundingsError
from models.spec.step import StepAssembly
from tests.step_scenes import (
    Solid,
    make_cover_scene,
    make_overlap_scene,
    solid_of,
    write_scene,
)

pytestmark = pytest.mark.xdist_group("step-file")  # the file is read once


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("kept")


@pytest.fixture(scope="module")
def cover_file(kept: Path) -> Path:
    return write_scene(kept / "Cover of box.step", make_cover_scene(), depth=2)


@pytest.fixture(scope="module")
def cover(cover_file: Path, kept: Path) -> StepAssembly:
    return read_step(cover_file, kept)


def size_of(assembly: StepAssembly) -> list[float]:
    low = np.min([piece.mesh.bounds[0] for piece in assembly.pieces], axis=0)
    high = np.max([piece.mesh.bounds[1] for piece in assembly.pieces], axis=0)
    return [float(x) for x in high - low]


def test_every_solid_is_a_piece_and_equal_ones_share_their_part(cover: StepAssembly) -> None:
    assert [piece.name for piece in cover.pieces if piece.part == "screw"] == [
        f"screw-{i}" for i in (1, 2, 3, 4)
    ]
    assert {piece.part for piece in cover.pieces} == {"box", "cover", "washer", "screw"}
    assert len(cover.pieces) == 10
    assert cover.left_out == ()
    assert cover.unchecked == ()


def test_names_are_plain_and_the_file_s_own_are_kept(cover: StepAssembly) -> None:
    shown = {piece.name: piece.shown for piece in cover.pieces}
    assert shown["screw-3"] == "screw:3"
    assert cover.name == "Cover of box"
    assert make_slug("Flansch Ø 40 (Größe_2)") == "flansch-40-grosse-2".replace("grosse", "groe")
    assert make_slug("螺钉") == ""


def test_every_name_is_there_once() -> None:
    parts = make_part_names(["Nut", "nut", "nut-1", "", "螺钉"])
    assert parts == ["nut", "nut-b", "nut-1", "part", "part-b"]
    assert make_piece_names(parts, [0, 0, 2, 1]) == ["nut-2", "nut-3", "nut-1", "nut-b"]


def test_equal_solids_drawn_twice_are_one_part(kept: Path, tmp_path: Path) -> None:
    cube = solid_of(cq.Workplane("XY").box(20, 20, 20))
    far = solid_of(cq.Workplane("XY").box(20, 20, 20).translate((100, 30, 5)))
    lid = solid_of(cq.Workplane("XY").box(20, 20, 20).translate((0, 0, 60)))
    scene = {"foot 1": Solid(cube), "foot 2": Solid(far), "lid": Solid(lid)}
    found = read_step(write_scene(tmp_path / "feet.step", scene), kept)
    assert [(piece.name, piece.part) for piece in found.pieces] == [
        ("foot-1", "foot"),
        ("foot-2", "foot"),
        ("lid", "lid"),
    ]
    low, high = found.pieces[1].mesh.bounds
    assert (low + high) / 2 == pytest.approx([100, 30, 5], abs=1e-3)


def test_sub_assemblies_are_groups_outermost_first(cover: StepAssembly) -> None:
    groups = {piece.name: piece.groups for piece in cover.pieces}
    assert groups["box"] == ("Cover of box",)
    assert groups["cover"] == ("Cover of box", "Lid set", "Lid set")


def test_colours_come_along(cover: StepAssembly) -> None:
    colours = {piece.name: piece.colour for piece in cover.pieces}
    assert colours["box"] == (90, 120, 150)
    assert colours["cover"] == (200, 60, 40)
    assert colours["screw-1"] is None


def test_places_and_meshes_are_true(cover: StepAssembly) -> None:
    pieces = {piece.name: piece for piece in cover.pieces}
    low, high = pieces["screw-4"].mesh.bounds
    assert (low + high)[:2] / 2 == pytest.approx([35.0, 25.0], abs=0.05)
    assert float(high[2]) == pytest.approx(13.6, abs=0.01)
    for piece in cover.pieces:
        facets = make_facets(piece.mesh)
        assert facets is not None
        assert facets.volume() == pytest.approx(piece.facts.volume_mm3, rel=0.02)
        assert np.linalg.norm(piece.mesh.normals, axis=1) == pytest.approx(1.0, abs=1e-4)


def test_bores_and_shanks_are_found_where_they_are(cover: StepAssembly) -> None:
    pieces = {piece.name: piece for piece in cover.pieces}
    bores = [one for one in pieces["cover"].facts.rounds if one.hollow]
    assert [one.radius_mm for one in bores] == pytest.approx([3.3] * 4, abs=1e-3)
    assert [one.length_mm for one in bores] == pytest.approx([8.0] * 4, abs=1e-3)
    (shank,) = pieces["screw-1"].facts.rounds
    assert not shank.hollow
    assert (shank.radius_mm, shank.length_mm) == pytest.approx((3.0, 22.0), abs=1e-3)


def test_a_file_in_inches_gives_the_same_millimetres(
    cover: StepAssembly, kept: Path, tmp_path: Path
) -> None:
    file = write_scene(tmp_path / "inch.step", make_cover_scene(), unit="INCH")
    inch = read_step(file, kept)
    assert inch.unit.lower() == "inch"
    assert size_of(inch) == pytest.approx(size_of(cover), abs=0.01)
    volumes = {piece.name: piece.facts.volume_mm3 for piece in inch.pieces}
    for piece in cover.pieces:
        assert volumes[piece.name] == pytest.approx(piece.facts.volume_mm3, rel=1e-4)


def test_threads_drawn_at_full_size_are_measured_as_overlaps(cover: StepAssembly) -> None:
    depths = {one.pair: one.depth_mm for one in cover.overlaps}
    assert depths[frozenset({"box", "screw-2"})] == pytest.approx(0.5, abs=0.06)
    assert frozenset({"box", "cover"}) not in depths


def test_the_deepest_point_of_an_overlap_is_found(kept: Path, tmp_path: Path) -> None:
    file = write_scene(tmp_path / "overlap.step", make_overlap_scene(1.5))
    (only,) = read_step(file, kept).overlaps
    assert only.pair == {"lower-block", "upper-block"}
    assert only.depth_mm == pytest.approx(1.5, abs=0.01)
    assert only.volume_mm3 == pytest.approx(30 * 30 * 1.5, rel=1e-3)
    assert 18.5 - 1e-3 <= only.at_mm[2] <= 20.0 + 1e-3


def test_a_file_is_read_once(
    cover: StepAssembly, cover_file: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(step_file, "_Reader", lambda *_: pytest.fail("read again"))
    again = read_step(cover_file, kept)
    assert [piece.name for piece in again.pieces] == [piece.name for piece in cover.pieces]
    assert (again.pieces[3].mesh.points == cover.pieces[3].mesh.points).all()


def test_what_is_kept_and_spoilt_is_read_anew(
    cover: StepAssembly, cover_file: Path, kept: Path, tmp_path: Path
) -> None:
    spoilt = Path(shutil.copytree(kept, tmp_path / "kept"))
    files = list(spoilt.glob("*.npz"))
    assert files
    for file in files:
        file.write_bytes(file.read_bytes()[:5000])
    assert len(read_step(cover_file, spoilt).pieces) == len(cover.pieces)
    assert any(file.stat().st_size > 5000 for file in files), "it was read anew and kept"


# ------------------------------------------------------------------ bad files
def refuse(path: Path, kept: Path, most_seconds: float = 240.0) -> str:
    with pytest.raises(ContentError) as caught:
        read_step(path, kept, most_seconds)
    assert str(caught.value).startswith(f"{path}: ")
    return str(caught.value)


def test_a_missing_file_is_a_matter_of_the_surroundings(kept: Path, tmp_path: Path) -> None:
    with pytest.raises(SurroundingsError, match=r"nowhere.step cannot be read"):
        read_step(tmp_path / "nowhere.step", kept)
    with pytest.raises(SurroundingsError, match="cannot be read"):
        read_step(tmp_path, kept)


@pytest.mark.parametrize(
    ("content", "hint"),
    [
        (b"", "is empty"),
        (b" \n\n", "is empty"),
        (b"solid cube\nfacet normal 0 0 1\n", "does not begin with ISO-10303-21"),
        (b"\x89PNG\r\n\x1a\n" + bytes(500), "does not begin with ISO-10303-21"),
        (b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=CARTESIAN", "ends in the middle"),
        (
            b"ISO-10303-21;\nDATA;\n#1=DOCUMENT_FILE('../secret.stp','',$,#2,'',$);\nEND-ISO-10303-21;",
            "points to other files",
        ),
        (
            b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n",
            "export it again",
        ),
    ],
)
def test_what_is_no_whole_step_file_is_refused_with_its_remedy(
    content: bytes, hint: str, kept: Path, tmp_path: Path
) -> None:
    file = tmp_path / "bad.step"
    file.write_bytes(content)
    assert hint in refuse(file, kept)


def test_a_huge_file_is_refused_unread(
    cover_file: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(step_file, "MOST_BYTES", 1000)
    assert "sub-assembly" in refuse(cover_file, kept)


def test_a_cut_off_file_is_refused(cover_file: Path, kept: Path, tmp_path: Path) -> None:
    file = tmp_path / "cut.step"
    file.write_bytes(cover_file.read_bytes()[:40_000])
    assert "ends in the middle" in refuse(file, kept)


def test_surfaces_alone_are_refused(kept: Path, tmp_path: Path) -> None:
    sheet = cq.Face.makePlane(20, 20)
    file = write_scene(tmp_path / "sheet.step", {"sheet": Solid(sheet)})
    assert "surfaces only" in refuse(file, kept)


def test_a_surface_beside_solids_is_left_out_and_told(kept: Path, tmp_path: Path) -> None:
    scene = {**make_overlap_scene(0.0), "sheet": Solid(cq.Face.makePlane(20, 20))}
    found = read_step(write_scene(tmp_path / "mixed.step", scene), kept)
    assert len(found.pieces) == 2
    assert [(one.shown, one.why) for one in found.left_out] == [("sheet", "no-solid")]


def test_a_file_of_lines_only_is_refused(kept: Path, tmp_path: Path) -> None:
    line = cq.Edge.makeLine(cq.Vector(0, 0, 0), cq.Vector(10, 0, 0))
    file = write_scene(tmp_path / "line.step", {"line": Solid(line)})
    assert "no solid" in refuse(file, kept)


def test_too_many_pieces_are_refused(kept: Path, tmp_path: Path) -> None:
    places = tuple((3.0 * i, 0.0, 0.0) for i in range(401))
    cube = solid_of(cq.Workplane("XY").box(2, 2, 2))
    file = write_scene(tmp_path / "many.step", {"cube": Solid(cube, places)})
    assert "more than 400 solids" in refuse(file, kept)


def test_a_bottomless_tree_is_refused(kept: Path, tmp_path: Path) -> None:
    cube = solid_of(cq.Workplane("XY").box(2, 2, 2))
    file = write_scene(tmp_path / "deep.step", {"cube": Solid(cube, group="set")}, depth=70)
    assert "more than 60 deep" in refuse(file, kept)


def test_a_file_that_takes_too_long_is_given_up(
    cover_file: Path, kept: Path, tmp_path: Path
) -> None:
    file = tmp_path / "slow.step"
    file.write_bytes(cover_file.read_bytes().replace(b"Cover", b"Slows"))
    assert "takes more than" in refuse(file, kept, most_seconds=0.05)


def garble(raw: bytes, seed: int) -> bytes:
    """Spoil a file beyond its first line: bytes changed, a line repeated, references redirected."""
    chance = random.Random(seed)
    spoilt = bytearray(raw)
    for _ in range(60):
        spoilt[chance.randrange(40, len(raw) - 40)] = chance.choice(
            b"0123456789#(),.'$*;ABC\x00\xff"
        )
    lines = bytes(spoilt).split(b"\n")
    at = chance.randrange(10, len(lines) - 10)
    return b"\n".join([*lines[:at], *lines[at : at + 5], *lines[at:]])


@pytest.mark.parametrize("seed", range(5))
def test_a_garbled_file_is_read_or_refused_and_nothing_else(
    cover_file: Path, tmp_path: Path, seed: int
) -> None:
    file = tmp_path / "garbled.step"
    file.write_bytes(garble(cover_file.read_bytes(), seed))
    try:
        pieces = read_step(file, tmp_path, 60.0).pieces
    except ContentError as error:
        pieces, told = (), str(error)
    else:
        told = f"{file}: {len(pieces)} pieces"
    assert told.startswith(f"{file}: ")
    assert all(np.isfinite(piece.mesh.points).all() for piece in pieces)


@given(st.binary(max_size=300), st.booleans(), st.booleans())
def test_the_first_look_refuses_or_lets_through_and_nothing_else(
    middle: bytes, begins: bool, ends: bool
) -> None:
    raw = b"ISO-10303-21;" * begins + middle + b"END-ISO-10303-21;" * ends
    faults: tuple[Fault, ...] = ()
    try:
        check_text(raw, "x.step")
    except ContentError as error:
        faults = error.faults
    whole = raw.startswith(b"ISO-10303-21") and b"END-ISO-10303-21" in raw
    assert len(faults) == (0 if begins and ends else 1) or whole
