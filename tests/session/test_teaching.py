"""Questions asked on the real pump: marked, and recorded before they are called marked."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

import pytest

from models.builds import FAMILIES
from models.solids.cache import MeshCache
from models.spec.errors import RefusalError
from trainer.core.order.marking import Marked, Verdict
from trainer.lesson import (
    GapMarked,
    PointMarked,
    PointOut,
    PutInOrder,
    ShimThickness,
    check_lesson,
    list_lessons,
    read_lesson,
)
from trainer.records import Records, open_records
from trainer.session.bench import Bench, list_every_build, open_bench
from trainer.session.relations import find_relations
from trainer.session.teaching import (
    Learner,
    answer_question,
    find_known,
    find_shim_truth_mm,
    shuffle_parts,
)

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
WET_END = PutInOrder(
    "wet-end",
    "Put in order",
    ("cover-nut", "suction-cover", "impeller-screw", "tab-washer", "retaining-washer", "impeller"),
)
SHIMS = ShimThickness("shims", "How thick?", "back-vane", 0.25, (0.5, 0.2), 0.05)


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


@pytest.fixture
def records(tmp_path: Path) -> Iterator[Records]:
    with open_records(tmp_path / "attempts.db") as opened:
        yield opened


@pytest.fixture
def learner(records: Records) -> Learner:
    return Learner("Robin", records, lambda: NOON)


def test_right_order_is_right_and_recorded(bench: Bench, learner: Learner) -> None:
    outcome = answer_question(bench, WET_END, WET_END.parts, learner)
    assert isinstance(outcome, Marked)
    assert (outcome.is_valid, outcome.score) == (True, 1.0)
    (attempt,) = learner.records.list_attempts()
    assert (attempt.person, attempt.when, attempt.question, attempt.score) == (
        "Robin",
        NOON,
        "wet-end",
        1.0,
    )


def test_only_the_asked_parts_count(bench: Bench) -> None:
    wrong = ("suction-cover", *(part for part in WET_END.parts if part != "suction-cover"))
    outcome = answer_question(bench, WET_END, wrong, None)
    assert isinstance(outcome, Marked)
    refused = [step.piece for step in outcome.steps if step.verdict is Verdict.REFUSED]
    assert refused == ["suction-cover"]


def test_pointing_accepts_any_piece_of_the_part(bench: Bench, learner: Learner) -> None:
    question = PointOut("nut", "Point out a cover nut", "cover-nut")
    for picked, right in (("cover-nut-5", True), ("cover-stud-5", False)):
        outcome = answer_question(bench, question, picked, learner)
        assert isinstance(outcome, PointMarked)
        assert outcome.is_right is right
    with pytest.raises(RefusalError):
        answer_question(bench, question, "no-such-part", learner)
    assert len(learner.records.list_attempts()) == 2


def test_thickness_truth_is_what_a_build_with_it_shows(bench: Bench) -> None:
    """The rule t = t0 + (aim - gap) / s against the build: the change of pack moves the gap from found to aim."""
    truth = find_shim_truth_mm(bench, SHIMS)
    more = truth - sum(SHIMS.with_pack_mm)
    clearance = bench.clearance("back-vane")
    assert SHIMS.found_gap_mm + more == pytest.approx(clearance.aim_mm)
    outcome = answer_question(bench, SHIMS, truth + 0.06, None)
    assert isinstance(outcome, GapMarked)
    assert not outcome.is_right


def test_retry_with_the_same_id_is_no_second_attempt(bench: Bench, learner: Learner) -> None:
    same = uuid4()
    for _ in range(2):
        answer_question(bench, SHIMS, 0.95, learner, same)
    assert len(learner.records.list_attempts()) == 1


@pytest.mark.parametrize("seed", range(5))
def test_shuffling_never_hands_out_the_listed_order(seed: int) -> None:
    shuffled = shuffle_parts(WET_END, random.Random(seed))
    assert shuffled != list(WET_END.parts)
    assert sorted(shuffled) == sorted(WET_END.parts)
    assert shuffled == shuffle_parts(WET_END, random.Random(seed))


def test_shipped_lessons_refer_to_what_exists() -> None:
    known = find_known()
    for path in list_lessons().values():
        assert check_lesson(read_lesson(path), known) == []


def test_every_value_of_every_option_stands_in_a_build() -> None:
    builds = list_every_build()
    for family in FAMILIES.values():
        for option in family.options:
            for value in option.values:
                assert any(build.options.get(option.name) == value for build in builds)
    assert len({(build.name, *sorted(build.options.items())) for build in builds}) == len(builds)


def test_damaged_relations_are_filled_anew(bench: Bench, tmp_path: Path) -> None:
    cache = MeshCache(tmp_path / "meshes")
    first = find_relations(bench.build, bench.assembly, cache)
    (kept,) = (tmp_path / "relations").glob("*.npz")
    kept.write_bytes(kept.read_bytes()[:5000])
    told: list[int] = []
    again = find_relations(bench.build, bench.assembly, cache, lambda done, _of: told.append(done))
    assert told
    assert (first.travel_mm == again.travel_mm).all()
    told.clear()
    find_relations(bench.build, bench.assembly, cache, lambda done, _of: told.append(done))
    assert told == []


def test_unknown_names_are_refused_with_near_matches(bench: Bench) -> None:
    assert bench.find_pieces("cover-nut") == tuple(f"cover-nut-{i}" for i in range(1, 9))
    with pytest.raises(RefusalError, match="cover-nut"):
        bench.find_pieces("cover-nutt")
    with pytest.raises(RefusalError, match="back-vane"):
        bench.clearance("back-vain")
    with pytest.raises(RefusalError, match="end-suction/100-250"):
        open_bench("end-suction/100-251")
