"""Fill the table of relations in a fresh process, and say what that took: `python -m tests.bench.cold PARTS FILE`.

Prints one line of JSON; the table goes into FILE (npz).
"""

from __future__ import annotations

import json
import sys
import time

import numpy as np

from tests.bench.stack import make_stack


def main(parts: int, file: str) -> None:
    """Measure from before the program's own compiled loops are loaded."""
    assembly = make_stack(parts).assemble()
    begin = time.perf_counter()
    import numba  # noqa: F401 - loading it is told apart

    loaded = time.perf_counter()
    from trainer.core.order.blocking import find_blocking

    found = find_blocking(assembly)
    done = time.perf_counter()
    triangles = sum(len(piece.mesh.triangles) for piece in assembly.pieces)
    np.savez(file, travel_mm=found.travel_mm)
    told = {"load_s": loaded - begin, "relations_s": done - loaded, "triangles": triangles}
    sys.stdout.write(json.dumps(told) + "\n")


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2])
