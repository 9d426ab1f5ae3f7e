"""Parts are found by what a person types, and near matches are offered where nothing fits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.session.finding import Entry, Found, find_parts, fold_text

NAMES = (
    "cover nut",
    "suction cover",
    "cover O-ring",
    "impeller",
    "impeller screw",
    "outboard bearing",
    "seal ring of the filling plug",
    "Öl-Einfüllschraube",
    "back plate",
)
ENTRIES = [
    Entry(name, number, name, "Wet end" if number < 4 else "Bearing frame")
    for number, name in enumerate(NAMES, 1)
]


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("4", "impeller"),
        ("impeller", "impeller"),
        ("IMPELLER  screw", "impeller screw"),
        ("screw imp", "impeller screw"),
        ("o-ring", "cover O-ring"),
        ("o ring", "cover O-ring"),
        ("oring", "cover O-ring"),
        ("backplate", "back plate"),
        ("back-plate", "back plate"),
        ("oleinfull", "Öl-Einfüllschraube"),
        ("einfüll", "Öl-Einfüllschraube"),
        ("bearing", "outboard bearing"),
    ],
)
def test_what_is_typed_finds_the_part_meant(typed: str, first: str) -> None:
    found = find_parts(typed, ENTRIES)
    assert found.fits[0] == first
    assert found.near == ()


def test_of_names_that_begin_alike_the_shortest_is_meant() -> None:
    backwards = ENTRIES[::-1]  # the screw stands before the impeller, as in a teardown it does
    assert find_parts("impel", backwards).fits == ("impeller", "impeller screw")


def test_letters_within_a_word_are_not_its_beginning() -> None:
    assert "outboard bearing" not in find_parts("o ring", ENTRIES).fits
    assert "seal ring of the filling plug" not in find_parts("o ring", ENTRIES).fits


def test_a_sub_assembly_lists_its_parts_after_those_called_so() -> None:
    assert find_parts("bearing", ENTRIES).fits == (
        "outboard bearing",
        *(entry.part for entry in ENTRIES if entry.number > 3 and "bearing" not in entry.name),
    )


def test_a_number_finds_itself_before_those_it_begins() -> None:
    many = [Entry(f"part-{n}", n, f"part {n}") for n in range(1, 25)]
    assert find_parts("2", many).fits == ("part-2", *(f"part-{n}" for n in range(20, 25)))


@pytest.mark.parametrize("typed", ["empeller", "impelar", "impelller"])
def test_what_is_nearly_right_is_offered(typed: str) -> None:
    found = find_parts(typed, ENTRIES)
    assert found.fits == ()
    assert found.near[0] == "impeller"


def test_what_is_nothing_finds_nothing() -> None:
    assert find_parts("xylophone", ENTRIES) == Found(())


@given(st.text(max_size=30))
def test_anything_can_be_typed(typed: str) -> None:
    found = find_parts(typed, ENTRIES)
    known = {entry.part for entry in ENTRIES}
    assert known.issuperset(found.fits)
    assert known.issuperset(found.near)
    assert not (found.fits and found.near)
    if not fold_text(typed):
        assert found.fits == tuple(entry.part for entry in ENTRIES)


@given(st.sampled_from(ENTRIES))
def test_every_part_is_the_best_for_its_own_name_and_number(entry: Entry) -> None:
    assert find_parts(entry.name, ENTRIES).fits[0] == entry.part
    assert find_parts(str(entry.number), ENTRIES).fits[0] == entry.part


def test_some_of_the_words_offer_the_sub_assembly_called_so_else_what_holds_them() -> None:
    entries = (
        Entry("drain-ring", 1, "drain seal ring", "Wet end"),
        Entry("spring", 2, "seal spring", "Shaft seal"),
        Entry("face", 3, "O-ring of the face", "Shaft seal"),
        Entry("rotor", 4, "rotor", "Rotor"),
    )
    assert find_parts("mechanical seal", entries) == Found((), ("spring", "face"))
    assert find_parts("copper ring", entries) == Found((), ("drain-ring", "face"))
    assert find_parts("mechanical", entries).near == ()
