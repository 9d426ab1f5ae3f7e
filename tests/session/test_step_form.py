"""The short form: what it may say, and every fault with its line."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import ContentError, SurroundingsError
from models.spec.joint import JointKind
from trainer.core.order.guess import Kind
from trainer.session.step_form import StepForm, parse_form, read_form
from trainer.session.toml_form import MOST_BYTES, find_lines

SETS = {
    "box": ("box",),
    "cover": ("cover",),
    "screw": ("screw-1", "screw-2"),
    "ring": ("ring",),
}


def parse(text: str) -> StepForm:
    return parse_form(text.encode(), "form.toml", SETS)


def test_a_full_form_is_read() -> None:
    form = parse(
        """
        up = "-y"
        [parts.screw]
        name = "cover screw"
        many = "cover screws"
        is = "screw"
        before = ["Drain it.", "Hang the cover in a sling."]
        [parts.box]
        base = true
        [parts.ring]
        flexible = true
        [[joints]]
        kind = "press"
        carrier = "cover"
        carried = "ring"
        tool = "with a ring puller"
        interference_mm = 0.03
        [[joints]]
        kind = "bolted"
        by = ["screw"]
        holds = ["cover", "box"]
        """
    )
    assert form.up == "-y"
    assert form.parts["screw"].kind is Kind.SCREW
    assert form.parts["screw"].many == "cover screws"
    assert form.parts["screw"].before[1] == "Hang the cover in a sling."
    assert form.parts["box"].base
    assert form.parts["ring"].flexible is True
    press, *bolted = form.joints
    assert (press.kind, press.members) == (JointKind.PRESS, ("cover", "ring"))
    assert (press.tool, press.interference_mm) == ("with a ring puller", 0.03)
    assert [(joint.by, joint.members) for joint in bolted] == [
        (("screw-1",), ("cover", "box")),
        (("screw-2",), ("cover", "box")),
    ]


def test_an_empty_form_says_nothing() -> None:
    assert parse("# nothing yet\n") == StepForm()


@pytest.mark.parametrize(
    ("text", "line", "hint"),
    [
        ("[parts.scew]\n", 1, "did you mean screw"),
        ('\n[parts.screw]\nnmae = "x"\n', 3, "name"),
        ('[parts.screw]\nis = "scrwe"\n', 2, "screw"),
        ('[parts.box]\nbase = "yes"\n', 2, "true or false"),
        ("[parts.screw]\nbase = true\n", 2, "2 pieces"),
        ("[parts.box]\nbase = true\n[parts.cover]\nbase = true\n", 4, "already the base"),
        ("[parts.box]\nbase = true\nignore = true\n", 2, "of no interest"),
        ('up = "w"\n', 1, "-x"),
        ("[parts.box]\nname = 3\n", 2, "no text"),
        ('[parts.box]\nbefore = "\\u0007"\n', 2, "one line"),
        ('[[joints]]\nkind = "glued"\n', 2, "no kind of joint"),
        ('[[joints]]\nkind = "bolted"\nby = ["screw-3"]\nholds = []\n', 3, "screw-1"),
        ('[[joints]]\nkind = "bolted"\nby = ["screw"]\nholds = ["box"]\n', 4, "two or more"),
        ('[[joints]]\nkind = "press"\ncarrier = "box"\n', 1, "carried"),
        ('[[joints]]\nkind = "press"\ncarrier = "box"\ncarried = "box"\n', 1, "itself"),
        (
            '[[joints]]\nkind="press"\ncarrier="box"\ncarried="ring"\ninterference_mm=-1\n',
            5,
            "from 0 to 10",
        ),
        ("up = z\n", 1, "TOML"),
        ("joints = 4\n", 1, "[[joints]]"),
        ("parts = 4\n", 1, "[parts.NAME]"),
        ("parts.box = 4\n", 1, "[parts.box]"),
    ],
)
def test_a_fault_is_told_with_its_line_and_what_was_meant(text: str, line: int, hint: str) -> None:
    with pytest.raises(ContentError) as caught:
        parse(text)
    assert f"form.toml:{line}" in str(caught.value)
    assert hint in str(caught.value)


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(ContentError) as caught:
        parse('up = "w"\n[parts.nothing]\n[parts.box]\nis = "thing"\n')
    assert [fault.line for fault in caught.value.faults] == [1, 2, 4]


def test_bad_files_are_refused(tmp_path: Path) -> None:
    with pytest.raises(SurroundingsError, match="cannot be read"):
        read_form(tmp_path / "none.toml", SETS)
    large = tmp_path / "large.toml"
    large.write_bytes(b"#" * (MOST_BYTES + 1))
    with pytest.raises(ContentError, match="short text"):
        read_form(large, SETS)
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b'[parts.box]\nname = "K\xf6rper"\n')
    with pytest.raises(ContentError, match=r":2: is not UTF-8"):
        read_form(latin, SETS)
    deep = tmp_path / "deep.toml"
    deep.write_text("x = " + "[" * 5000 + "]" * 5000, encoding="utf-8")
    with pytest.raises(ContentError):
        read_form(deep, SETS)


def test_lines_are_found_for_tables_and_keys() -> None:
    lines = find_lines('up = "z"\n\n[parts."box"]\nname = "a"\n[[joints]]\n[[joints]]\nkind = ""\n')
    assert lines["up",] == 1
    assert lines["parts", "box"] == 3
    assert lines["parts", "box", "name"] == 4
    assert lines["joints", 1, "kind"] == 7


@given(
    st.text(max_size=200)
    | st.sampled_from(["[[joints]]\n", "[parts.box]\n"]).flatmap(
        lambda head: st.text(alphabet='abkindy=[]".\n 0-', max_size=80).map(lambda t: head + t)
    )
)
def test_any_text_is_read_or_refused_and_nothing_else(text: str) -> None:
    try:
        form = parse_form(text.encode("utf-8", "replace"), "form.toml", SETS)
    except ContentError as error:
        assert error.faults != ()  # noqa: PT017 - either outcome is right, and each is checked
    else:
        assert isinstance(form, StepForm)
