"""Each fault of each family breaks exactly the rule that it names, in every size, and the sound pump breaks none."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from models.builds import FAMILIES, list_builds, make_named_build
from models.spec.build import Build, PlacedPiece
from models.spec.errors import RefusalError
from models.spec.family import Family
from models.spec.fault import SeededFault
from models.spec.making import find_fault, make_faulty
from models.spec.rule import check_rules
from models.spec.seat import LeftOut, Reseated, Rows, Without
from models.spec.turning import find_rotation, find_shift_mm
from tests.covering_sample import NAMES, SAMPLE

pytestmark = pytest.mark.xdist_group("faults")  # two tests share what build_both has made
PUMP = "end-suction/100-250"
CASES = [(name, fault.key) for name, family in list_builds().items() for fault in family.faults]
OF_FAMILIES = [(family, fault) for family in FAMILIES.values() for fault in family.faults]


def needed(family: Family, fault: SeededFault) -> dict[str, str]:
    return {option: values[0] for option, values in family.list_needs(fault).items()}


@cache
def sound_build(name: str, chosen: tuple[tuple[str, str], ...]) -> Build:
    return make_named_build(name, dict(chosen))


@cache
def build_both(name: str, key: str) -> tuple[Build, Build]:
    family = list_builds()[name]
    fault = find_fault(family, key)
    sound = sound_build(name, tuple(needed(family, fault).items()))
    return sound, make_faulty(sound, fault)


@pytest.mark.parametrize(("name", "key"), CASES)
def test_a_fault_breaks_its_one_rule_and_the_sound_build_none(name: str, key: str) -> None:
    sound, faulty = build_both(name, key)
    fault = find_fault(sound.family, key)
    assert check_rules(sound, sound.family.rules) == ()
    broken = check_rules(faulty, faulty.family.rules)
    assert [one.number for one in broken] == [fault.rule]
    assert set(broken[0].pieces) <= set(faulty.pieces)


@pytest.mark.parametrize(("name", "key"), CASES)
def test_a_fault_changes_the_pieces_that_it_concerns(name: str, key: str) -> None:
    sound, faulty = build_both(name, key)
    for place in find_fault(sound.family, key).places[:1]:
        pieces = sound.pieces_at(place)
        assert pieces
        assert pieces != faulty.pieces_at(place) or any(
            is_other(sound, faulty, piece) for piece in pieces
        )


def numbers(piece: PlacedPiece) -> dict[str, float]:
    return {key: float(value) for key, value in piece.row.items()}


def is_other(sound: Build, faulty: Build, name: str) -> bool:
    """Say whether a piece has another shape, stands elsewhere or stands otherwise."""
    one, other = sound.pieces[name], faulty.pieces[name]
    return (
        numbers(one) != numbers(other)
        or not np.allclose(find_shift_mm(one.pose), find_shift_mm(other.pose))
        or not np.allclose(find_rotation(one.pose), find_rotation(other.pose))
    )


@pytest.mark.parametrize(("family", "fault"), OF_FAMILIES, ids=lambda one: getattr(one, "key", ""))
def test_a_fault_names_places_options_and_values_that_there_are(
    family: Family, fault: SeededFault
) -> None:
    places, options = family.every_place(), family.option_values()
    for fill in fault.fills:
        if isinstance(fill, LeftOut | Reseated | Rows | Without):
            assert re.sub(r"-\d+$", "", fill.place) in places or fill.place in places
    assert set(fault.at) <= places.keys()
    for option, value in fault.needs:
        assert option not in options or value in options[option]


@pytest.mark.parametrize(
    ("family", "fault"), [one for one in OF_FAMILIES if needed(*one)], ids=lambda one: getattr(one, "key", "")
)  # fmt: skip
def test_a_fault_whose_options_are_not_chosen_is_refused_with_the_reason(
    family: Family, fault: SeededFault
) -> None:
    for option, allowed in family.list_needs(fault).items():
        others = [value for value in family.option_values()[option] if value not in allowed]
        assert others, f"{option} has no value that bars {fault.key}: the row says nothing"
        size = next(name for name, one in list_builds().items() if one is family)
        sound = make_named_build(size, {option: others[0]})
        with pytest.raises(RefusalError, match=rf"{fault.key}.* choose {option}={allowed[0]}"):
            make_faulty(sound, fault)


def test_a_fault_of_a_part_that_is_not_there_is_refused(pump: Build) -> None:
    fault = SeededFault("slinger-lost", 12, (LeftOut("slinger"),))
    with pytest.raises(RefusalError, match="slinger-lost: as chosen it has no slinger"):
        make_faulty(pump, fault)


def test_an_unknown_fault_is_refused_with_the_near_ones(pump: Build) -> None:
    with pytest.raises(RefusalError, match=r"did you mean .*casing-gasket-left-out"):
        find_fault(pump.family, "casing-gasket")


def test_keys_are_told_apart_and_written_alike() -> None:
    for family in FAMILIES.values():
        count = Counter(fault.key for fault in family.faults)
        assert all(times == 1 for times in count.values())
        assert all(re.fullmatch(r"[a-z]+(-[a-z]+)+", key) for key in count)


def test_what_rested_on_a_part_left_out_rests_on_what_that_rested_on(pump: Build) -> None:
    faulty = make_faulty(pump, find_fault(pump.family, "casing-gasket-left-out"))
    face = faulty.position("back-plate", "casing-face")
    assert float(face) == pytest.approx(float(faulty.position("volute", "rear-face")))
    assert "casing-gasket" not in faulty.pieces


def test_a_turned_part_looks_the_other_way_and_carries_along_what_lies_in_it(pump: Build) -> None:
    faulty = make_faulty(pump, find_fault(pump.family, "inboard-lip-reversed"))

    def looks(build: Build, place: str) -> float:
        return float(build.position(place, "lip-side") - build.position(place, "back"))

    assert looks(pump, "oil-seal-inboard") == -looks(faulty, "oil-seal-inboard") != 0
    assert looks(pump, "bath-seal") == looks(faulty, "bath-seal")
    spring = "garter-of-oil-seal-inboard"
    assert faulty.pieces[spring].pose.sign == -pump.pieces[spring].pose.sign


def test_measured_values_and_pack_stay_as_they_were() -> None:
    sound = make_named_build(PUMP, measured={("shaft", "middle-diameter"): 59.5})
    faulty = make_faulty(sound, find_fault(sound.family, "casing-gasket-left-out"))
    assert float(faulty.pieces["shaft"].row["middle-diameter"]) == 59.5
    assert faulty.pack == sound.pack
    assert faulty.name == sound.name


@pytest.mark.parametrize(("name", "chosen"), SAMPLE, ids=NAMES)
def test_whatever_else_is_chosen_a_fault_breaks_its_one_rule(
    name: str, chosen: Mapping[str, str]
) -> None:
    sound = make_named_build(name, chosen)
    broken = {}
    for fault in sound.family.faults:
        needs = sound.family.list_needs(fault).items()
        if not sound.has(*fault.places) or any(sound.options[o] not in v for o, v in needs):
            continue  # what is chosen does not allow it, or has taken its part away
        faulty = make_faulty(sound, fault)
        found = [one.number for one in check_rules(faulty, faulty.family.rules)]
        if found != [fault.rule]:
            broken[fault.key] = found
    assert broken == {}
