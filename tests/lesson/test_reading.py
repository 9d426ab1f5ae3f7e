"""A lesson file reads back as written, and whatever is wrong in one is told with its place."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import ContentError
from trainer.lesson import (
    Camera,
    QuestionKind,
    Show,
    Wanted,
    list_lessons,
    parse_lesson,
    read_lesson,
)
from trainer.lesson.wanted import Given

SOUND = """\
title: Try
build: end-suction/100-250
with: {bracket: enclosed}
steps:
- title: One
  say: Hello
  show:
    lit: [volute]
    ghosted: [shaft]
    cutaway: true
    apart: 0.5
    camera: side
  ask:
    kind: shim-thickness
    id: shims
    prompt: How thick?
    clearance: back-vane
    found_gap_mm: 0.3
    with_pack_mm: [0.5, 0.2]
- title: Two
  caution: Mind
  ask: {kind: point-out, id: point, prompt: Where?, part: shim}
- title: Three
  show: {build: self-primer/80, apart: 1}
  ask: {kind: put-in-order, id: order, prompt: Order, parts: [shim, cover-nut-3]}
"""


def read_faults(text: str | bytes) -> list[str]:
    raw = text.encode() if isinstance(text, str) else text
    with pytest.raises(ContentError) as caught:
        parse_lesson(raw, "f")
    assert caught.value.faults
    return [
        f"{fault.line}:{fault.column} {fault.what}. {fault.remedy}" for fault in caught.value.faults
    ]


def test_a_sound_lesson_reads_as_it_is_written() -> None:
    lesson = parse_lesson(SOUND.encode(), "f")
    one, two, three = lesson.steps
    assert (lesson.title, lesson.build, lesson.options) == (
        "Try",
        "end-suction/100-250",
        {"bracket": "enclosed"},
    )
    assert one.show == Show(
        "end-suction/100-250",
        {"bracket": "enclosed"},
        ("volute",),
        ("shaft",),
        cutaway=True,
        apart=0.5,
        camera=Camera.SIDE,
    )
    given: dict[str, Given] = {
        "clearance": "back-vane",
        "found_gap_mm": 0.3,
        "with_pack_mm": (0.5, 0.2),
    }
    assert one.ask == Wanted(QuestionKind.SHIM_THICKNESS, "shims", "How thick?", given)
    assert two.ask == Wanted(QuestionKind.POINT_OUT, "point", "Where?", {"part": "shim"})
    parts = ("shim", "cover-nut-3")
    assert three.ask == Wanted(QuestionKind.PUT_IN_ORDER, "order", "Order", {"parts": parts})
    assert lesson.questions == (one.ask, two.ask, three.ask)


def test_a_step_without_a_view_keeps_the_one_before() -> None:
    one, two, _ = parse_lesson(SOUND.encode(), "f").steps
    assert two.show == one.show
    first = parse_lesson(b"title: T\nbuild: a/b\nsteps: [{title: One, say: Hello}]", "f").steps[0]
    assert first.show == Show("a/b")


def test_a_view_of_another_build_does_not_take_over_the_options_of_the_first() -> None:
    assert parse_lesson(SOUND.encode(), "f").steps[2].show == Show("self-primer/80", apart=1.0)


def test_positions_count_from_one() -> None:
    lesson = parse_lesson(SOUND.encode(), "f")
    position = lesson.find_position("steps", 0, "show", "lit", 0)
    assert position is not None
    assert (position.line, position.column) == (8, 11)
    assert lesson.find_position("steps", 1, "show") is None


def test_text_is_never_taken_for_something_else() -> None:
    lesson = parse_lesson(b"title: on\nbuild: a/b\nsteps: [{title: no, say: null}]", "f")
    assert (lesson.title, lesson.steps[0].title, lesson.steps[0].say) == ("on", "no", "null")


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("title: Try\n", "", "1:1 title is missing"),
        ("title: Try", "title: ''", "1:8 title is empty or too short"),
        ("title: Try", "title: " + "x" * 200, "1:8 title is too long"),
        ("title: Try", "title: [a]", "1:8 title is not a text"),
        ("title: Try", "titel: Try", "1:1 titel is not known here. Did you mean title"),
        ("title: Try", "title: !!python/name:os.system ''", "1:8 tags (!) are not used"),
        ("title: Try", "title: &a Try", "1:8 anchors (&) and aliases (*)"),
        ("title: Try", 'title: "\\uD800"', "1:8 title holds half a character"),
        ("title: Try", 'title: "a\\q"', "1:11 this is not YAML"),
        (
            "say: Hello",
            "say: a: b",
            "6:9 this is not YAML: a colon stands where there is no key. A text that holds a colon",
        ),
        (
            "  say: Hello",
            "\tsay: Hello",
            "6:1 this is not YAML: a tab stands here. Indent with spaces",
        ),
        ("title: Try", 'title: "Try', "1:8 this is not YAML: the quote that opens here is never"),
        ("title: Try", "title: @Try", "1:8 this is not YAML: a text cannot begin with @. Put"),
        ("title: Try", "title:Try", "2:6 this is not YAML: a colon stands where there is no key"),
        ("lit: [volute]", "lit: [volute", "8:10 this is not YAML: the bracket that opens here"),
        ("say: Hello", "say: {count: shim} shims", "6:22 this is not YAML: more stands behind a"),
        ("say: Hello", "say: |\n  Hello", "8:3 this is not YAML: a line above holds no key"),
        ("say: Hello", "say: a **b", "6:8 say leaves bold open. Put ** before and behind"),
        ("title: Try", "title: a\x07", "1:9 the character U+0007"),
        ("build: end", "build: End", "2:8 build is not a name"),
        ("{bracket: enclosed}", "[bracket]", "3:7 with does not hold keys of its own"),
        ("{bracket: enclosed}", "{Bracket: enclosed}", "3:17 Bracket is not a name"),
        ("{bracket: enclosed}", "{[a]: enclosed}", "3:8 a key has to be a plain word"),
        (
            "{bracket: enclosed}",
            "{bracket: a, bracket: b}",
            "3:20 bracket is already given in line 3",
        ),
        ("- title: One\n  say", "- say", "5:3 title is missing"),
        ("say: Hello", "say:", "6:3 say is empty"),
        ("say: Hello", "say: '![x](y.png)'", "6:8 say holds a link, a picture or HTML"),
        ("say: Hello", "say: a <img src=x>", "6:8 say holds a link, a picture or HTML"),
        ("say: Hello", "say: '[a]: file'", "6:8 say holds a link, a picture or HTML"),
        # Qt takes each of these for a picture of a file of this machine.
        ("say: Hello", 'say: "> [a]: file\\n\\n![a]"', "6:8 say holds a link, a picture or HTML"),
        ("say: Hello", 'say: "- [a]: file\\n\\n![a]"', "6:8 say holds a link, a picture or HTML"),
        ("say: Hello", "say: '[a\\]b]: file'", "6:8 say holds a link, a picture or HTML"),
        ("say: Hello", "say: See http://a.b", "6:8 say holds a link, a picture or HTML"),
        ("say: Hello", "say: See www.a.b", "6:8 say holds a link, a picture or HTML"),
        ("title: One", "title: <img src=x>", "5:10 title holds a link, a picture or HTML"),
        ("title: Try", "title: <img src=x>", "1:8 title holds a link, a picture or HTML"),
        ("lit: [volute]", "lit: volute", "8:10 lit is not a list"),
        ("lit: [volute]", "lit: [volute, No]", "8:19 lit, item 2 is not a name"),
        ("lit: [volute]", "lit: [volute, volute]", "8:10 lit names volute twice"),
        ("cutaway: true", "cutaway: yes", "10:14 cutaway is neither true nor false"),
        ("apart: 0.5", "apart: 1.01", "11:12 apart is 1.01. It has to be at most 1"),
        ("apart: 0.5", "apart: -1", "11:12 apart is -1. It has to be at least 0"),
        ("apart: 0.5", "apart: nan", "11:12 apart is not a number"),
        ("apart: 0.5", "apart: half", "11:12 apart is not a number"),
        ("camera: side", "camera: sid", "12:13 sid is not a camera. Did you mean side"),
        (
            "kind: shim-thickness",
            "kind: shims",
            "14:11 shims is not a kind of question. Did you mean shim-thickness",
        ),
        ("    kind: shim-thickness\n", "", "14:5 ask names no kind"),
        ("id: shims", "id: Shims", "15:9 id is not a name"),
        ("id: shims", "idd: shims", "15:5 idd is not known here. Did you mean id"),
        ("found_gap_mm: 0.3", "found_gap_mm: 0.3 mm", "18:19 found_gap_mm is not a number"),
        (
            "with_pack_mm: [0.5, 0.2]",
            "with_pack_mm: [0.5, x]",
            "19:25 with_pack_mm, item 2 is not a number",
        ),
        (
            "parts: [shim, cover-nut-3]",
            "way: off",
            "25:60 way is off. Write 'teardown' or 'assembly'",
        ),
        ("say: Hello", "say: Half of 3", "6:16 the number 3 stands bare. Refer to the build"),
        ("title: Try", "title: 'Of {count: shim}'", "1:12 the title of a lesson stands in lists"),
        ("title: One", "title: Mind 9.5 mm", "5:15 the number 9.5 stands bare"),
        (
            "say: Hello",
            "say: '{limt:a.least}'",
            "6:9 {limt:a.least} refers to nothing known. Did you mean limit",
        ),
        ("say: Hello", "say: '{limit: back-vane}'", "6:9 {limit: back-vane} names nothing"),
        ("say: Hello", "say: '{9 kg}'", "6:9 {9 kg} refers to nothing known"),
        ("say: Hello", "say: '{9 kg | me}'", "6:9 nobody is named behind the | of 9 kg"),
        ("say: Hello", "say: '{9 kg | }'", "6:9 nobody is named behind the | of 9 kg"),
        ("say: Hello", "say: '{kg | common practice}'", "6:9 there is no number before the |"),
        ("say: Hello", "say: a } b", "6:10 a } stands alone"),
        ("id: point", "id: shims", "22:30 another question is already called shims"),
        ("parts: [shim, cover-nut-3]", "parts: [shim]", "25:62 parts is empty or too short"),
        ("build: self-primer/80", "build: self-primer", "24:17 build is not a name"),
        ("- title: Two", "- Two\n- title: Two", "20:3 steps, item 2 does not hold keys"),
        ("- title: Two", "  - title: Two", "20:3 this is not YAML"),
        ("title: Try", "--- a\n--- b", "2:1 a second document"),
    ],
)
def test_a_fault_is_told_with_its_line_and_column(old: str, new: str, fault: str) -> None:
    assert SOUND.count(old) >= 1
    found = read_faults(SOUND.replace(old, new, 1))
    assert any(told.startswith(fault) for told in found), found


def test_all_faults_are_told_at_once_in_the_order_of_the_file() -> None:
    text = (
        SOUND.replace("Try", "''")
        .replace("0.5\n", "5\n")
        .replace("sid", "x")
        .replace("part: shim", "prat: shim")
    )
    places = [fault.split()[0] for fault in read_faults(text)]
    assert places == ["1:8", "11:12", "12:13", "22:53"]


def test_of_the_same_words_twice_in_a_text_each_is_told_in_its_place() -> None:
    faults = read_faults(
        SOUND.replace("say: Hello", "say: '9 kg, and 9 kg; {limt: x} or {limt: x}'")
    )
    assert [fault.split()[0] for fault in faults] == ["6:9", "6:19", "6:25", "6:38"]


def test_a_list_is_not_called_short_because_its_items_are_faulty() -> None:
    faults = read_faults("title: T\nbuild: a/b\nsteps:\n- titel: One\n")
    assert all("too short" not in fault for fault in faults)
    assert any("too short" in fault for fault in read_faults("title: T\nbuild: a/b\nsteps: []\n"))


@pytest.mark.parametrize(
    ("raw", "what"),
    [
        (b"", "does not hold keys"),
        (b"\xff\xfe", "not UTF-8"),
        (b"a: b\n\xff", "not UTF-8"),
        (b'a: "\\U99999999"', "this is not YAML"),
        (b"[" * 100_000, "nested more than 12 deep"),
        (b"- " * 100_000, "nested more than 12 deep"),
        (b"x: [" + b"a," * 100_000, "more than 20000 keys and values"),
        (b"a: b\n" * 50_000, "already given"),
        (b"#" * 256_001, "over 256000 bytes"),
        (b"a: &a [x,x]\nb: &b [*a,*a]\nc: [*b,*b]", "anchors (&) and aliases (*)"),
    ],
)
def test_a_file_beyond_its_bounds_is_refused(raw: bytes, what: str) -> None:
    faults = read_faults(raw)
    assert what in faults[0]
    assert len(faults) <= 102


def test_a_file_that_is_not_there_is_a_content_fault(tmp_path: Path) -> None:
    for path in (tmp_path / "no.yaml", tmp_path):
        with pytest.raises(ContentError, match="cannot be read"):
            read_lesson(path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes on this machine")
def test_what_is_no_file_is_never_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link.yaml").symlink_to(tmp_path / "pipe")
    for path in (tmp_path / "pipe", tmp_path / "link.yaml", Path("/dev/zero")):
        with pytest.raises(ContentError, match="it is no file"):
            read_lesson(path)


def test_of_a_huge_file_no_more_is_read_than_tells_so(tmp_path: Path) -> None:
    huge = tmp_path / "huge.yaml"
    with huge.open("wb") as stream:
        stream.truncate(2**40)  # more than any machine has memory; it takes no room on the disk
    with pytest.raises(ContentError, match="over 256000 bytes"):
        read_lesson(huge)


def test_lessons_are_listed_by_course_and_language(tmp_path: Path) -> None:
    for name in ("b/en", "a/en", "a/de"):
        (tmp_path / name).mkdir(parents=True)
        (tmp_path / name / "lesson.yaml").touch()
    assert list_lessons("en", tmp_path) == {
        course: tmp_path / course / "en" / "lesson.yaml" for course in "ab"
    }
    assert list(list_lessons("de", tmp_path)) == ["a"]
    assert list_lessons("..", tmp_path) == {}


def test_lessons_can_be_imported_without_the_readers_libraries() -> None:
    code = (
        "import sys, trainer.lesson; sys.exit(bool({'pydantic', 'ruamel.yaml'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def parse_or_refuse(raw: bytes) -> None:
    """Read; anything but a lesson or a ContentError with faults goes through and fails the test."""
    try:
        parse_lesson(raw, "f")
    except ContentError as error:
        assert error.faults  # noqa: PT017 - either outcome is right


@given(st.binary(max_size=300))
def test_any_bytes_give_a_lesson_or_a_content_error(raw: bytes) -> None:
    parse_or_refuse(raw)


PIECES = ["title", "steps", "ask", "show", ":", ": ", "- ", "\n", "  ", "[", "]", "{", "}", ",", "? ", "&a ", "*a", "!", "!!int ", "|", ">", "'", '"', "\\", "\\u", "D800", "%YAML 1.3\n", "---\n", "...\n", "#", "\t", "<<", "0.5", "nan", "true", "\ufeff", "\x85", "\u2028", "kind", "point-out"]  # fmt: skip


@given(st.lists(st.sampled_from(PIECES), max_size=40))
def test_any_yaml_pieces_give_a_lesson_or_a_content_error(pieces: list[str]) -> None:
    parse_or_refuse("".join(pieces).encode())


@given(st.data())
def test_any_damage_to_a_sound_lesson_gives_a_lesson_or_a_content_error(
    data: st.DataObject,
) -> None:
    raw = SOUND.encode()
    start = data.draw(st.integers(0, len(raw)))
    end = data.draw(st.integers(start, min(len(raw), start + 30)))
    middle = data.draw(
        st.sampled_from(PIECES).map(str.encode) | st.binary(max_size=6) | st.just(raw[:start])
    )
    parse_or_refuse(raw[:start] + middle + raw[end:])


KEYS = st.sampled_from(["title", "build", "with", "steps", "show", "say", "ask", "caution", "kind", "id", "parts", "lit", "apart", "camera"])  # fmt: skip
LEAVES = st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8) | st.sampled_from(["point-out", "put-in-order", "side", "a/b"])  # fmt: skip
TREES = st.recursive(
    LEAVES, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=5)
)


@given(st.dictionaries(KEYS, TREES))
def test_any_content_in_any_place_gives_a_lesson_or_a_content_error(
    content: dict[str, object],
) -> None:
    parse_or_refuse(json.dumps(content).encode())
