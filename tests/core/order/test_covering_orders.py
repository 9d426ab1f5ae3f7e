"""Every build of the sample comes apart completely; a pump's impeller is reached by back pull-out, and from the front where it can be.

The long run asks the same of every build that `verify --all` walks.
"""

from __future__ import annotations

import pytest

from models.builds import list_builds
from models.exhibits import EXHIBITS
from tests.covering_sample import NAMES, SAMPLE, Chosen
from trainer.core.order.directions import Direction
from trainer.core.order.reach import find_routes
from trainer.session.bench import Bench, open_bench
from trainer.session.walking import plan_walk

WALK = plan_walk().steps
WALK_NAMES = [f"{name}-{i}" for i, (name, _) in enumerate(WALK)]
OF_EXHIBITS = {name for name, family in list_builds().items() if family in EXHIBITS}
ON_THE_WAY = ("suction-cover", "back-plate", "shaft-seal", "priming", "hub-ring")
"""Options whose parts stand between the impeller and either end."""


def list_ways() -> list[tuple[str, Chosen]]:
    """List one pump of the sample for each choice of what stands on the way: the search takes seconds in each."""
    found: dict[tuple[object, ...], tuple[str, Chosen]] = {}
    for name, chosen in SAMPLE:
        if name not in OF_EXHIBITS:
            on_the_way = (list_builds()[name].name, *(chosen.get(one) for one in ON_THE_WAY))
            found.setdefault(on_the_way, (name, chosen))
    return list(found.values())


PUMPS = list_ways()


def check_comes_apart(bench: Bench) -> None:
    """Check that every step takes off something new, and that nothing stays."""
    assert bench.order.stuck == ()
    taken = [piece for step in bench.order.steps for piece in step.pieces]
    assert len(set(taken)) == len(taken)


def check_ways(bench: Bench) -> None:
    """Check that the impeller leaves rearward without the casing, and to the front unless the suction side is cast in."""
    routes = find_routes(bench.assembly, bench.blocking, "impeller")
    back = routes[Direction.DRIVE]
    assert back is not None
    taken = {piece for step in back.steps for move in step for piece in move.along}
    assert not taken & {"volute", "casing"}
    options = bench.build.options
    if options.get("suction-cover") == "cast-in":
        assert routes[Direction.SUCTION] is None
    elif options.get("shaft-seal") != "packed":  # of packing behind a priming front no way is found
        assert routes[Direction.SUCTION] is not None


@pytest.mark.parametrize(("name", "chosen"), SAMPLE, ids=NAMES)
def test_nothing_is_stuck(name: str, chosen: Chosen) -> None:
    check_comes_apart(open_bench(name, chosen))


@pytest.mark.parametrize(("name", "chosen"), PUMPS, ids=[name for name, _ in PUMPS])
def test_the_impeller_is_reached_by_back_pull_out_and_from_the_front_where_a_cover_comes_off(
    name: str, chosen: Chosen
) -> None:
    check_ways(open_bench(name, chosen))


@pytest.mark.long
@pytest.mark.parametrize(("name", "chosen"), WALK, ids=WALK_NAMES)
def test_every_build_of_the_walk_comes_apart(name: str, chosen: Chosen) -> None:
    bench = open_bench(name, chosen)
    check_comes_apart(bench)
    if name not in OF_EXHIBITS:
        check_ways(bench)


def test_what_stands_in_the_way_of_back_pull_out_comes_off_first_and_nothing_else() -> None:
    """In pieces, in whichever order, the frame does not come: it must be led off whole once the balance line is away."""
    bench = open_bench("end-suction/100-250", {"hub-ring": "balance-line"})
    back = find_routes(bench.assembly, bench.blocking, "impeller")[Direction.DRIVE]
    assert back is not None
    parts = [bench.assembly.by_name[step[0].piece].part for step in back.steps]
    assert parts[:3] == ["bracket-nut", "balance-line", "bearing-housing"]
    assert parts[3:] == ["impeller-screw", "tab-washer", "retaining-washer", "impeller"]
