"""The tables of what suits what: read whole, and refused with every fault where one is wrong."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.spec.build import TABLES
from models.spec.errors import ContentError
from models.spec.fitting import DUTIES, MANY, SUITS, Fitting, Taken, read_fitting

ROWS = st.lists(
    st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=40), max_size=6
)


def copy_tables(tmp_path: Path, name: str, *changes: tuple[str, str]) -> Path:
    """Copy the tables of what suits what, with changes in one of them."""
    shutil.copytree(TABLES / "fitting", tmp_path / "fitting")
    text = (tmp_path / name).read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_of_many_components_every_duty_leaves_something_to_fit_and_something_not_to() -> None:
    fitting = read_fitting(TABLES)
    assert len(fitting.duties) > 20
    for duty in fitting.duties.values():
        suiting, components = fitting.list_suiting(duty), fitting.suits[duty.set]
        assert len(components) < MANY or 0 < len(suiting) < len(components), duty.name


def test_of_few_components_there_are_duties_for_which_any_would_do_and_none() -> None:
    fitting = read_fitting(TABLES)
    shares = [
        len(fitting.list_suiting(duty)) / len(fitting.suits[duty.set])
        for duty in fitting.duties.values()
    ]
    assert min(shares.count(0.0), shares.count(1.0)) > 2


def test_each_wrong_component_fails_a_criterion_that_it_has_a_row_for() -> None:
    fitting = read_fitting(TABLES)
    for duty in fitting.duties.values():
        for component in fitting.suits[duty.set]:
            for criterion in fitting.find_failed(duty, component):
                assert fitting.suits[duty.set][component][criterion].source


@pytest.mark.parametrize(
    ("name", "old", "new", "wrong"),
    [
        (SUITS, "shaft-seal.packing.drip,", "shaft-seal.pakking.drip,", "component 'pakking'"),
        (SUITS, "shaft-seal.packing.drip,", "shaftseal.packing.drip,", "set 'shaftseal'"),
        (SUITS, "shaft-seal.packing.drip,", "packing.drip,", "is no SET.NAME.CRITERION"),
        (SUITS, "allowed,practice", "allowed,hearsay", "source 'hearsay' is unknown"),
        (SUITS, "0..1000,practice", "1000..0,practice", "ends before it begins"),
        (SUITS, "0..1000,practice", "0..wide,practice", "'wide', not a number"),
        (SUITS, "allowed,practice", ",practice", "takes nothing"),
        (DUTIES, "1700..2400", "900..2400", "suits one part of pressure and not the other"),
        (DUTIES, "drip,none", "drip,allowed", "everything suits the duty flooded-basement"),
        (DUTIES, "impeller.rags.solids", "impeller.rags.colour", "of which nothing is known"),
        (DUTIES, "oil-seal.mud.surroundings,mud", "oil-seal.mud.surroundings,1..2", "no unit"),
    ],
)
def test_a_wrong_table_is_refused_with_what_is_wrong(
    tmp_path: Path, name: str, old: str, new: str, wrong: str
) -> None:
    tables = copy_tables(tmp_path, name, (old, new))
    with pytest.raises(ContentError) as caught:
        read_fitting(tables)
    assert wrong in str(caught.value)
    assert name in str(caught.value)


def test_every_fault_of_a_table_is_told_with_its_line(tmp_path: Path) -> None:
    changes = (("packing.drip,allowed", "packing.drip,"), ("0..1600", "1600..0"))
    tables = copy_tables(tmp_path, SUITS, *changes)
    with pytest.raises(ContentError) as caught:
        read_fitting(tables)
    assert [fault.line for fault in caught.value.faults] == [2, 14]


@given(rows=ROWS)
@settings(max_examples=40)
def test_no_table_breaks_the_reader(
    tmp_path_factory: pytest.TempPathFactory, rows: list[str]
) -> None:
    tables = copy_tables(tmp_path_factory.mktemp("tables"), SUITS)
    text = "\n".join(["suits,takes,source", *rows])
    (tables / SUITS).write_text(text, encoding="utf-8")
    with pytest.raises(ContentError):  # so few rows leave duties that everything suits
        read_fitting(tables)


@pytest.mark.parametrize(
    ("takes", "asked", "has", "meets"),
    [
        (Taken(between=(0, 10)), Taken(between=(2, 3)), True, True),
        (Taken(between=(0, 10)), Taken(between=(2, 11)), False, True),
        (Taken(between=(0, 10)), Taken(between=(11, 12)), False, False),
        (Taken(("a", "b")), Taken(("b",)), True, True),
        (Taken(("a",)), Taken(("b",)), False, False),
        (Taken(("a",)), Taken(between=(1, 2)), False, False),
    ],
)
def test_what_is_taken_holds_what_is_asked_or_not(
    takes: Taken, asked: Taken, *, has: bool, meets: bool
) -> None:
    assert takes.has(asked) == has
    assert takes.meets(asked) == meets


def test_the_reader_gives_frozen_values() -> None:
    assert isinstance(read_fitting(TABLES), Fitting)
