"""What verify remembers: whole after a stop, shared, bounded, worthless when anything behind it changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from models.solids import memory as memory_module
from models.solids import verify as verify_module
from models.solids.cache import MeshCache
from models.solids.measuring import Measurer
from models.solids.memory import FactMemory
from models.solids.verify import Report, Verifier
from models.spec.build import Build
from models.spec.family import Family
from models.spec.part import Part
from models.spec.seat import Place, Seat

MakeTiny = Callable[[Family, Mapping[str, float]], Build]


def test_what_is_saved_is_found_again_by_another(tmp_path: Path) -> None:
    one, other = FactMemory(tmp_path), FactMemory(tmp_path)
    one.learn("a", (1.0, 0.25))
    other.learn("b", (2.0,))
    assert FactMemory(tmp_path).find("a") is None, "not before it is saved"
    one.save()
    other.save()
    again = FactMemory(tmp_path)
    assert (again.find("a"), again.find("b"), again.find("c")) == ((1.0, 0.25), (2.0,), None)
    assert [path.name for path in tmp_path.iterdir()] == ["facts.json"]


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", '{"a":[NaN]}', '{"a":[Infinity]}', '{"a":[]}', '{"a":["1"]}', '{"a":1}', "[" * 9999],
)  # fmt: skip
def test_a_spoilt_file_holds_nothing_and_is_written_anew(tmp_path: Path, text: str) -> None:
    (tmp_path / "facts.json").write_text(text, encoding="utf-8")
    memory = FactMemory(tmp_path)
    assert memory.find("a") is None
    memory.learn("a", (3.0,))
    memory.save()
    assert FactMemory(tmp_path).find("a") == (3.0,)


def test_what_was_not_asked_for_longest_is_dropped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(memory_module, "MOST_FACTS", 3)
    first = FactMemory(tmp_path)
    for key in "abc":
        first.learn(key, (1.0,))
    first.save()
    second = FactMemory(tmp_path)
    second.find("a")
    second.learn("d", (1.0,))
    second.save()
    kept = FactMemory(tmp_path)
    assert [key for key in "abcd" if kept.find(key)] == ["a", "c", "d"]


def _pile(ring: Part, make_tiny: MakeTiny, bore_mm: float = 60.0) -> Build:
    """A ring with a lid on it that nothing declares wrong, and a collar that touches the bore undeclared."""
    places = (
        Place("base", ring),
        Place("lid", ring, Seat("low", "base", "high")),
        Place("collar", ring, Seat("high", "lid", "low")),
    )
    sizes = dict.fromkeys(("base.outside", "lid.outside"), 100.0)
    sizes |= {"base.bore": bore_mm, "base.length": 20.0, "lid.bore": 20.0, "lid.length": 10.0}
    sizes |= {"collar.outside": 60.0, "collar.bore": 30.0, "collar.length": 15.0}
    return make_tiny(Family("tiny", places, ()), sizes)


def _verify(build: Build, folder: Path) -> tuple[Report, list[str]]:
    """Verify with what lies in the folder; give the report and the names of what was measured."""
    measured: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        for name in ("measure_solid", "measure_pair", "measure_clearance"):
            true = getattr(Measurer, name)

            def told(
                self: Measurer, *given: object, true: object = true, name: str = name
            ) -> object:
                measured.append(name)
                return true(self, *given)  # type: ignore[operator]  # one of three methods

            patch.setattr(Measurer, name, told)
        verifier = Verifier(memory=FactMemory(folder), cache=MeshCache(folder / "meshes"))
        verifier.check(build)
    return verifier.report, measured


def test_a_second_verify_measures_nothing_and_reports_the_same(
    ring: Part, make_tiny: MakeTiny, tmp_path: Path
) -> None:
    build = _pile(ring, make_tiny)
    first, measured = _verify(build, tmp_path)
    assert measured.count("measure_solid") == 3
    assert not first.is_ok, "the undeclared contact is there to be remembered"
    second, again = _verify(build, tmp_path)
    assert again == []
    assert second == first


def test_only_what_a_change_touches_is_measured_again(
    ring: Part, make_tiny: MakeTiny, tmp_path: Path
) -> None:
    _verify(_pile(ring, make_tiny), tmp_path)
    report, measured = _verify(_pile(ring, make_tiny, bore_mm=59.0), tmp_path)
    assert measured.count("measure_solid") == 1, "only the base has another bore"
    assert measured.count("measure_pair") == 2, "lid and collar lie as they lay"
    assert [problem.what for problem in report.problems] == ["overlap-undeclared"]


def test_another_measuring_makes_all_memory_worthless(
    ring: Part, make_tiny: MakeTiny, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build = _pile(ring, make_tiny)
    _, measured = _verify(build, tmp_path)
    monkeypatch.setattr(verify_module, "_version", lambda: "another kernel")
    assert _verify(build, tmp_path)[1] == measured
