"""A build written as STEP comes back from the reader with the same pieces, names, colours, volumes and centres."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from models.solids.memory import FactMemory
from models.solids.shape import make_shape
from models.solids.step_file import read_step
from models.solids.step_writing import make_step_text
from models.solids.weighing import weigh_build
from models.spec.build import TABLES, Build
from models.spec.materials import read_densities
from models.spec.step import StepPiece
from trainer.console import make_console
from trainer.stage.look import MATERIAL_TONES

SHARE = 1e-4
"""Largest difference allowed: of the volume, and of the centre as a share of the piece's longest side."""
FEW = frozenset(
    {"bearing-outboard", "seal-spring", "bracket-stud-1", "bracket-stud-4", "oil-fill-plug"}
)
"""Many bodies in one piece; a spline surface; one solid in two places; a piece that stands on end."""


def _read(folder: Path, build: Build, names: frozenset[str] | None) -> dict[str, list[StepPiece]]:
    path = folder / "pump.step"
    path.write_bytes(make_step_text(build, MATERIAL_TONES, names))
    read = read_step(path, folder / "kept")
    assert not read.left_out
    found: dict[str, list[StepPiece]] = {}
    for piece in read.pieces:
        found.setdefault(piece.shown, []).append(piece)
    return found


def _compare(build: Build, found: dict[str, list[StepPiece]]) -> None:
    densities = read_densities(TABLES)
    weights = {one.name: one for one in weigh_build(build, densities, FactMemory())}
    for name, bodies in found.items():
        volumes = np.array([one.facts.volume_mm3 for one in bodies])
        centre = volumes @ np.array([one.facts.centre for one in bodies]) / volumes.sum()
        points = np.concatenate([one.mesh.points for one in bodies])
        assert volumes.sum() == pytest.approx(weights[name].volume_mm3, rel=SHARE), name
        off_mm = SHARE * float(np.ptp(points, axis=0).max())
        assert centre == pytest.approx(weights[name].centre_mm, abs=off_mm), name
        tone = MATERIAL_TONES[build.pieces[name].part.material]
        for body in bodies:
            assert body.colour is not None
            assert np.abs(np.subtract(body.colour, tone)).max() <= 1, name


def test_a_few_parts_come_back_as_they_were_written(pump: Build, tmp_path: Path) -> None:
    found = _read(tmp_path, pump, FEW)
    assert set(found) == FEW
    bodies = {name: len(make_shape(pump.pieces[name]).Solids()) for name in FEW}
    assert {name: len(pieces) for name, pieces in found.items()} == bodies
    _compare(pump, found)


@pytest.mark.long
def test_the_whole_pump_comes_back_as_it_was_written(pump: Build, tmp_path: Path) -> None:
    found = _read(tmp_path, pump, None)
    assert set(found) == set(pump.pieces)
    _compare(pump, found)


def test_another_ending_is_refused_before_anything_is_made(tmp_path: Path) -> None:
    out = tmp_path / "pump.obj"
    result = CliRunner().invoke(
        make_console(), ["export", "end-suction/100-250", "--out", str(out)]
    )
    assert result.exit_code == 2
    assert "STEP" in result.output
    assert not out.exists()
