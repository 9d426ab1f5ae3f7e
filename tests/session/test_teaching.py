"""Questions asked on the real pump: marked, and recorded before they are called marked."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from models.builds import FAMILIES
from models.solids.cache import MeshCache
from models.spec.errors import RefusalError
from trainer.core.order.marking import Verdict
from trainer.lesson import check_lesson, list_lessons, read_lesson
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Given, Wanted
from trainer.records import Records, open_records
from trainer.session.answering import Asked, HandIn, answer_item
from trainer.session.asking import Benches, draw_item
from trainer.session.bench import Bench, list_every_build, open_bench
from trainer.session.relations import find_relations
from trainer.session.teaching import Learner, find_known, mark_lines

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
WET_END = (
    "cover-nut",
    "suction-cover",
    "impeller-screw",
    "tab-washer",
    "retaining-washer",
    "impeller",
)


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


@pytest.fixture
def records(tmp_path: Path) -> Iterator[Records]:
    with open_records(tmp_path / "attempts.db") as opened:
        yield opened


@pytest.fixture
def learner(records: Records) -> Learner:
    return Learner("Robin", lambda: records, lambda: NOON)


def ask(bench: Bench, kind: QuestionKind, **given: Given) -> Asked:
    item = draw_item(bench, Benches(), Wanted(kind, "wet-end", given=given), "1")
    return Asked(item, "1", "wet-end", "first-strip")


def test_right_order_is_right_and_recorded(bench: Bench, learner: Learner) -> None:
    asked = ask(bench, QuestionKind.PUT_IN_ORDER, parts=WET_END, way="teardown")
    mark = answer_item(asked, {"order": WET_END}, learner, HandIn(seconds=12.5))
    assert (mark.is_right, mark.score) == (True, 1.0)
    (attempt,) = learner.records.list_attempts()
    assert (attempt.person, attempt.when, attempt.question) == ("Robin", NOON, "wet-end")
    assert (attempt.lesson, attempt.seed, attempt.seconds) == ("first-strip", "1", 12.5)
    assert (attempt.score, attempt.answer) == (1.0, {"order": list(WET_END)})


def test_only_the_asked_parts_count(bench: Bench) -> None:
    wrong = ("suction-cover", *(part for part in WET_END if part != "suction-cover"))
    marked = mark_lines(bench, wrong, WET_END)
    refused = [step.piece for step in marked.steps if step.verdict is Verdict.REFUSED]
    assert refused == ["suction-cover"]


def test_pointing_accepts_any_piece_of_the_part(bench: Bench, learner: Learner) -> None:
    asked = ask(bench, QuestionKind.POINT_OUT, part="cover-nut")
    for picked, right in (("cover-nut-5", True), ("cover-stud-5", False)):
        assert answer_item(asked, {"part": picked}, learner).is_right is right
    with pytest.raises(RefusalError):
        answer_item(asked, {"part": "no-such-part"}, learner)
    assert len(learner.records.list_attempts()) == 2


def test_retry_with_the_same_id_is_no_second_attempt(bench: Bench, learner: Learner) -> None:
    asked, same = ask(bench, QuestionKind.SHIM_THICKNESS, clearance="back-vane"), HandIn(when=NOON)
    for _ in range(2):
        answer_item(asked, {"thickness": "0.95"}, learner, same)
    assert len(learner.records.list_attempts()) == 1


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


def test_damaged_relations_are_filled_anew(tmp_path: Path) -> None:
    bench = open_bench("radial-shaft-seals/45")
    cache = MeshCache(tmp_path / "meshes")
    first = find_relations(bench.build, bench.assembly, cache)
    (kept,) = (tmp_path / "relations").glob("*.npz")
    whole = kept.read_bytes()
    kept.write_bytes(whole[: len(whole) // 2])
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
