"""Read somebody's STEP file: bounds first, then the kernel in a process of its own, with a time and a memory limit.

Loads no kernel itself. What the kernel found is kept by the file's content, so that a file is read once.
"""

from __future__ import annotations

import hashlib
import json
import multiprocessing
import re
import struct
import tempfile
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import platformdirs

from models.solids.arrays import DAMAGED, read_arrays
from models.solids.builders import LOOK_S, StoppedError
from models.spec.errors import ContentError, Fault, SurroundingsError
from models.spec.mesh import Mesh
from models.spec.step import (
    Flat,
    LeftOut,
    Overlap,
    Ring,
    Round,
    SolidFacts,
    StepAssembly,
    StepPiece,
)

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import SpawnProcess

MOST_BYTES = 80_000_000
MOST_SECONDS = 240.0
MOST_MEMORY_BYTES = 8_000_000_000
MOST_KEPT_BYTES = 400_000_000
COUNTS = struct.Struct("<II")
"""How the reading process tells how far it is: solids cut into facets, of how many."""
FORM = 2
"""Raise when what is kept, or its meaning, changes."""
_MESH = ("points", "normals", "triangles", "edge_points", "edges")
_CODE = (
    "step_file.py",
    "step_reading.py",
    "step_facts.py",
    "step_names.py",
    "overlaps.py",
    "tessellate.py",
    "volume.py",
)
_REFUSALS = {
    "not-readable": ("is no STEP file that can be read", "export it again as STEP AP214 or AP242"),
    "too-many": ("holds more than {} solids", "export one sub-assembly at a time"),
    "too-deep": (
        "nests sub-assemblies more than {} deep",
        "export one sub-assembly, or flatten the tree",
    ),
    "too-fine": (
        "needs more than {} triangles",
        "leave out threads, lettering and bought-in detail, or export one sub-assembly",
    ),
    "no-solid": ("holds no solid", "export solids, not sketches, points or drawings"),
    "surfaces-only": (
        "holds surfaces only, no solid",
        "knit them into solids before the export: what is in the way is worked out from solids",
    ),
    "all-broken": (
        "holds no solid that the kernel can cut into facets",
        "repair it and export it again",
    ),
}


def read_step(
    path: Path,
    folder: Path | None = None,
    most_seconds: float = MOST_SECONDS,
    *,
    progress: Callable[[int, int], None] | None = None,
    is_wanted: Callable[[], bool] = lambda: True,
) -> StepAssembly:
    """Read a STEP assembly, in millimetres.

    Args:
        path: the file.
        folder: where what was read is kept; the user's cache if None.
        most_seconds: the kernel is stopped after that long.
        progress: called with (solids cut into facets, of) once the kernel knows how many there are.
        is_wanted: asked ten times a second while the kernel works, which is ended once nobody wants it.

    Raises:
        SurroundingsError: the file is not there or may not be read.
        ContentError: it is empty, no STEP file, cut short, too large, or holds no solid.
        StoppedError: nobody wanted it any more.
    """
    raw = _read_bytes(path)
    check_text(raw, str(path))
    digest = hashlib.sha256(raw).hexdigest()
    folder = folder or platformdirs.user_cache_path("pumpwright") / "step"
    kept = folder / f"{_key(digest)}.npz"
    found = _read_kept(kept)
    if found is None:
        folder.mkdir(parents=True, exist_ok=True)
        reader = _Reader(raw, kept, str(path), most_seconds)
        reader.run(progress or (lambda _done, _of: None), is_wanted)
        found = _read_kept(kept)
        _trim(folder, kept)
    if found is None:
        raise _refuse(str(path), "not-readable", 0)
    index, arrays = found
    if "refused" in index:
        kept.unlink(missing_ok=True)
        raise _refuse(str(path), *index["refused"])
    return _assemble(path.stem, digest, index, arrays)


def check_text(raw: bytes, shown: str) -> None:
    """Check what can be seen without a kernel: that it is a whole STEP file of one piece.

    Raises:
        ContentError: with what to do about it.
    """
    fault = None
    if not raw.strip():
        fault = "is empty", "export the assembly again, as STEP"
    elif not re.match(rb"(\xef\xbb\xbf)?\s*(/\*.*?\*/\s*)*ISO-10303-21\s*;", raw[:4096], re.DOTALL):
        fault = (
            "is no STEP file: it does not begin with ISO-10303-21",
            "export the assembly as STEP (.step, .stp), AP214 or AP242",
        )
    elif b"END-ISO-10303-21" not in raw[-4096:]:
        fault = (
            "ends in the middle: END-ISO-10303-21 is missing",
            "copy or export it again, it was cut short",
        )
    elif re.search(rb"=\s*DOCUMENT_FILE\s*\(", raw) and not re.search(
        rb"=\s*(MANIFOLD_SOLID_BREP|BREP_WITH_VOIDS|FACETED_BREP)\s*\(", raw
    ):
        fault = (
            "only points to other files, which are never opened from here",
            "export it as one file that holds all parts",
        )
    if fault:
        raise ContentError([Fault(shown, 0, 0, *fault)])


def _refuse(shown: str, key: str, number: int) -> ContentError:
    what, remedy = _REFUSALS[key]
    return ContentError([Fault(shown, 0, 0, what.format(number), remedy)])


def _read_bytes(path: Path) -> bytes:
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            what = (
                f"is {size / 1e6:.0f} MB large; {MOST_BYTES / 1e6:.0f} MB is the most that is read"
            )
            remedy = "export one sub-assembly at a time, without threads and lettering"
            raise ContentError([Fault(str(path), 0, 0, what, remedy)])
        return path.read_bytes()
    except OSError as error:
        reason = error.strerror or str(error)
        raise SurroundingsError(f"{path} cannot be read ({reason}); check the path") from error


@dataclass(frozen=True, slots=True)
class _Reader:
    """Let a spawned process read a copy of the file that lies alone in a folder; end it when it takes too long."""

    raw: bytes
    result: Path
    shown: str
    most_seconds: float

    def run(self, progress: Callable[[int, int], None], is_wanted: Callable[[], bool]) -> None:
        spawn = multiprocessing.get_context("spawn")
        with tempfile.TemporaryDirectory(prefix="pumpwright-step-") as alone:
            copy = Path(alone) / "assembly.step"
            copy.write_bytes(self.raw)
            ours, theirs = spawn.Pipe(duplex=False)
            child = spawn.Process(
                target=run_limited, args=(str(copy), str(self.result), theirs), daemon=True
            )
            child.start()
            theirs.close()
            try:
                self._wait(child, ours, progress, is_wanted)
            finally:
                child.kill()
                child.join()
                status = child.exitcode
                child.close()
                ours.close()
        if status:
            self._refuse(
                "makes the solid kernel fail",
                "open it where it was drawn, let that repair it, and export it again",
            )

    def _wait(
        self,
        child: SpawnProcess,
        news: Connection,
        progress: Callable[[int, int], None],
        is_wanted: Callable[[], bool],
    ) -> None:
        """Wait until the process ends, hearing of it only plain counts: what a hostile file makes of it may say anything."""
        end_s = time.monotonic() + self.most_seconds
        has_more = True
        while child.is_alive():
            if not is_wanted():
                raise StoppedError
            if time.monotonic() > end_s:
                self._refuse(
                    f"takes more than {self.most_seconds:.0f} s to read",
                    "export one sub-assembly at a time, without threads and lettering",
                )
            if not has_more:
                child.join(LOOK_S)
                continue
            if not news.poll(LOOK_S):
                continue
            try:
                told = news.recv_bytes(COUNTS.size)
            except (EOFError, OSError):
                has_more = False  # or what it said was no count
                continue
            if len(told) == COUNTS.size:
                done, of = COUNTS.unpack(told)
                progress(min(done, of), of)

    def _refuse(self, what: str, remedy: str) -> None:
        raise ContentError([Fault(self.shown, 0, 0, what, remedy)])


def run_limited(path: str, result: str, news: Connection) -> None:
    """Read a file within the memory limit, away from everything else; runs in the spawned process."""
    import os
    import sys

    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)  # the kernel prints what it thinks of a file
    os.dup2(silent, 2)
    os.chdir(Path(path).parent)
    if sys.platform == "linux":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY_BYTES, MOST_MEMORY_BYTES))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    from models.solids.step_reading import read_to_file

    def tell(done: int, of: int) -> None:
        news.send_bytes(COUNTS.pack(done, of))

    read_to_file(path, result, tell)


def _key(digest: str) -> str:
    here = Path(__file__).parent
    told = [FORM, digest, *(hashlib.sha256((here / f).read_bytes()).hexdigest() for f in _CODE)]
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()


def _read_kept(path: Path) -> tuple[dict[str, Any], dict[str, Any]] | None:
    try:
        (packed,) = read_arrays(path, ("index",))
        index = json.loads(packed.tobytes())
        names = [f"{n}.{key}" for n in index.get("prototypes", ()) for key in _MESH]
        arrays = dict(zip(names, read_arrays(path, names), strict=True)) if names else {}
    except DAMAGED:  # json's own error is a ValueError
        return None
    return index, arrays


def _trim(folder: Path, newest: Path) -> None:
    """Drop the oldest of what is kept once it is too much."""
    files = sorted(
        (f for f in folder.glob("*.npz") if f != newest), key=lambda f: f.stat().st_mtime
    )
    total = sum(f.stat().st_size for f in files)
    for file in files:
        if total <= MOST_KEPT_BYTES:
            return
        total -= file.stat().st_size
        file.unlink(missing_ok=True)


def _assemble(
    name: str, digest: str, index: Mapping[str, Any], arrays: Mapping[str, Any]
) -> StepAssembly:
    scale = float(index["scale"])
    meshes = {
        number: _unscale(Mesh(*(arrays[f"{number}.{key}"] for key in _MESH)), scale)
        for number in index["prototypes"]
    }
    facts = {
        number: _make_facts(told["facts"], scale) for number, told in index["prototypes"].items()
    }
    pieces = []
    for told in index["pieces"]:
        number = str(told["prototype"])
        place = np.array(told["place"], np.float64)
        prototype = index["prototypes"][number]
        colour = told["colour"]
        pieces.append(
            StepPiece(
                told["name"],
                told["shown"],
                prototype["part"],
                prototype["shown"],
                tuple(told["groups"]),
                (colour[0], colour[1], colour[2]) if colour else None,
                meshes[number].moved(place[:, :3], place[:, 3]),
                facts[number].moved(place[:, :3], place[:, 3]),
            )
        )
    overlaps = tuple(
        Overlap(
            one["one"],
            one["other"],
            one["depth_mm"] / scale,
            one["volume_mm3"] / scale**3,
            (one["at_mm"][0] / scale, one["at_mm"][1] / scale, one["at_mm"][2] / scale),
        )
        for one in index["overlaps"]
    )
    left_out = tuple(LeftOut(shown, why) for shown, why in index["left_out"])
    unchecked = tuple((one, other) for one, other in index["unchecked"])
    unit = str(index["unit"])
    return StepAssembly(name, digest, unit, scale, tuple(pieces), overlaps, left_out, unchecked)


def _unscale(mesh: Mesh, scale: float) -> Mesh:
    if scale == 1.0:
        return mesh
    share = np.float32(1.0 / scale)
    return Mesh(
        mesh.points * share, mesh.normals, mesh.triangles, mesh.edge_points * share, mesh.edges
    )


def _make_facts(told: Mapping[str, Any], scale: float) -> SolidFacts:
    def point(at: list[float]) -> tuple[float, float, float]:
        return at[0] / scale, at[1] / scale, at[2] / scale

    def way(axis: list[float]) -> tuple[float, float, float]:
        return axis[0], axis[1], axis[2]

    return SolidFacts(
        told["volume_mm3"] / scale**3,
        point(told["centre"]),
        tuple(
            Round(
                point(r["at"]),
                way(r["axis"]),
                r["radius_mm"] / scale,
                r["low_mm"] / scale,
                r["high_mm"] / scale,
                r["turn_deg"],
                r["hollow"],
            )
            for r in told["rounds"]
        ),
        tuple(
            Flat(point(f["at"]), way(f["normal"]), f["area_mm2"] / scale**2) for f in told["flats"]
        ),
        tuple(
            Ring(point(r["at"]), way(r["axis"]), r["ring_mm"] / scale, r["section_mm"] / scale)
            for r in told["rings"]
        ),
        told["others"],
    )
