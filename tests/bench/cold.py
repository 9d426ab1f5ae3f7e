"""Fill the table of relations in a fresh process, and say what that took: `python -m tests.bench.cold PARTS FILE`.

Prints one line of JSON; the table goes into FILE (npz).
"""

from __future__ import annotations

import json
import sys
import time

import numpy as np

from models.spec.assembly import Assembly
from tests.bench.bodies import Block, Body, Round, add, cut
from tests.bench.stack import Stack, make_stack


def main(parts: int, file: str) -> None:
    """Measure from before numba and the program's own compiled loops are loaded: that is told apart."""
    assembly, tiny = make_stack(parts).assemble(), _make_tiny()
    begin = time.perf_counter()
    from trainer.core.order.blocking import find_blocking

    find_blocking(tiny)
    loaded, busy = time.perf_counter(), time.process_time()
    found = find_blocking(assembly)
    done, done_busy = time.perf_counter(), time.process_time()
    triangles = sum(len(piece.mesh.triangles) for piece in assembly.pieces)
    np.savez(file, travel_mm=found.travel_mm)
    told = {
        "load_s": loaded - begin,
        "relations_s": done - loaded,
        "busy_s": done_busy - busy,
        "triangles": triangles,
    }
    sys.stdout.write(json.dumps(told) + "\n")


def _make_tiny() -> Assembly:
    """Make a pin in a tilted hole: every compiled loop is asked for."""
    axis = 0.6, 0.0, 0.8
    pin = Body(add(Round((0, 0, 0), (6, 0, 8), 1, 1)), axis=axis)
    hole = cut(Round((0, 0, 0), (12, 0, 16), 1, 1))
    block = Body((*add(Block((-5, -5, -3), (9, 5, 5))), *hole))
    return Stack({"pin": pin, "block": block}).assemble()


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2])
