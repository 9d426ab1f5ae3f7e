"""`faults` and `picture --fault`: what is listed, what is drawn, and what is refused with the reason."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from models.builds import FAMILIES
from models.spec.errors import RefusalError
from trainer.console import make_console

PUMP = "end-suction/100-250"
FAULTS = FAMILIES["end-suction"].faults


def run(*arguments: str) -> Result:
    return CliRunner().invoke(make_console(), [*arguments])


def test_every_fault_is_listed_with_its_rule_and_its_words() -> None:
    told = json.loads(run("faults", PUMP, "--json").stdout)
    assert [one["fault"] for one in told] == [fault.key for fault in FAULTS]
    tab = next(one for one in told if one["fault"] == "tab-not-bent")
    assert (tab["family"], tab["rule"], tab["rule_key"]) == ("end-suction", 31, "tab-bent")
    assert tab["must_be"].startswith("One tab of the tab washer stands at a flat")
    assert tab["needs"] == {"fixing": ["keyed"]}
    assert tab["what"] == "No tab of the tab washer was bent up"
    assert tab["leads_to"].startswith("Starting and stopping work the impeller screw loose")


def test_without_a_build_the_faults_of_all_families_are_listed() -> None:
    told = json.loads(run("faults", "--json").stdout)
    assert len(told) == sum(len(family.faults) for family in FAMILIES.values())


def test_a_person_is_shown_a_table() -> None:
    shown = run("faults", PUMP).stdout
    for fault in FAULTS:
        assert fault.key in shown


def test_an_unknown_build_has_no_faults() -> None:
    result = run("faults", "end-suction/100-251")
    assert isinstance(result.exception, RefusalError)
    assert "did you mean end-suction/100-250" in str(result.exception)


def test_a_fault_is_drawn_and_told(tmp_path: Path) -> None:
    out = tmp_path / "fault.png"
    asked = ("picture", PUMP, "--fault", "casing-gasket-left-out", "--out", str(out))
    told = json.loads(run(*asked, "--size", "800x450", "--json").stdout)
    assert (told["fault"], told["rule"]) == ("casing-gasket-left-out", 1)
    assert (told["missing"], told["wrong"]) == (["casing-gasket"], [])
    with Image.open(out) as image:
        assert image.size == (800, 450)


def test_a_fault_whose_options_are_not_chosen_is_refused_with_the_reason(tmp_path: Path) -> None:
    out = str(tmp_path / "fault.png")
    asked = ("picture", PUMP, "--with", "fixing=acme", "--fault", "tab-not-bent", "--out", out)
    result = run(*asked)
    assert isinstance(result.exception, RefusalError)
    assert "choose fixing=keyed" in str(result.exception)


@pytest.mark.parametrize("other", [("--section",), ("--apart", "1"), ("--try", "cap-screw")])
def test_a_fault_chooses_its_own_view(tmp_path: Path, other: tuple[str, ...]) -> None:
    out = str(tmp_path / "fault.png")
    result = run("picture", PUMP, "--fault", "tab-not-bent", "--out", out, *other)
    assert result.exit_code == 2
