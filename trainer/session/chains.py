"""Answer where in the pump the dimensions of a clearance lie."""

from __future__ import annotations

from trainer.core.measure.chain import MeasuredClearance
from trainer.core.measure.legs import Leg, list_legs
from trainer.session.bench import Bench


def find_chain(bench: Bench, name: str) -> tuple[tuple[Leg, ...], MeasuredClearance]:
    """Find the parts that a clearance's chain crosses, in the order of the walk, and the clearance as measured.

    Raises:
        RefusalError: unknown clearance (with near matches), or one that is computed otherwise than by a walk from face to face.
    """
    return list_legs(bench.build, bench.build.clearance(name)), bench.clearance(name)
