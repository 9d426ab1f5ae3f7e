"""Reading a size table: all or nothing, and every fault at once with file, line and column."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from models.spec.build import TABLES
from models.spec.cells import MOST_BYTES
from models.spec.dimension import Distribution, Unit
from models.spec.errors import ContentError, Fault
from models.spec.table import read_size

HEADING = "dimension,nominal,lower_deviation,upper_deviation,unit,distribution,source"
GOOD = "shaft.length,100,-0.1,0.1,mm,normal,bench"
SETTINGS = '[sources]\nbench = "invented for this test"\n'
BEARINGS = "designation,bore_mm,bore_lower_um,bore_upper_um,outside_mm\n6308,40,-12,0,90\n"
FILE = "sizes/bench/a.csv"


def _write(
    folder: Path, table: str | bytes, toml: str = SETTINGS, bearings: str = BEARINGS
) -> Path:
    (folder / "sizes" / "bench").mkdir(parents=True, exist_ok=True)
    (folder / "standard").mkdir(exist_ok=True)
    raw = table if isinstance(table, bytes) else table.encode()
    (folder / "sizes" / "bench" / "a.csv").write_bytes(raw)
    (folder / "sizes" / "bench.toml").write_text(toml, encoding="utf-8")
    (folder / "standard" / "bearings.csv").write_text(bearings, encoding="utf-8")
    (folder / "standard" / "bearings.toml").write_text('source = "made up"\n', encoding="utf-8")
    return folder


def _faults(
    folder: Path, table: str | bytes, toml: str = SETTINGS, bearings: str = BEARINGS
) -> tuple[Fault, ...]:
    with pytest.raises(ContentError) as caught:
        read_size(_write(folder, table, toml, bearings), "bench", "a")
    assert caught.value.faults, "a refusal names its faults"
    return caught.value.faults


# one broken row each: what is wrong, the row, the column at which it says so, words it must say
BROKEN_ROWS = [
    ("missing value", "a.one,,0,0,mm,normal,bench", 7, "nominal is missing"),
    ("missing deviation", "a.one,5,,0,mm,normal,bench", 9, "lower_deviation is missing"),
    ("upper below lower", "a.one,5,0.2,0.1,mm,normal,bench", 13, "below lower"),
    ("unknown unit", "a.one,5,0,0,furlong,normal,bench", 13, "unit 'furlong' is unknown"),
    ("text for a number", "a.one,five,0,0,mm,normal,bench", 7, "not a number"),
    ("nan", "a.one,nan,0,0,mm,normal,bench", 7, "nominal is nan"),
    ("infinite", "a.one,5,0,inf,mm,normal,bench", 11, "upper_deviation is inf"),
    ("decimal comma", "a.one,5,25,0,0,mm,normal,bench", 1, "8 cells where the heading has 7"),
    ("too short", "a.one,5", 1, "2 cells where the heading has 7"),
    ("unknown distribution", "a.one,5,0,0,mm,gaussian,bench", 16, "distribution 'gaussian'"),
    ("unknown source", "a.one,5,0,0,mm,normal,benhc", 23, "did you mean bench?"),
    ("no key", ",5,0,0,mm,normal,bench", 1, "no key"),
    ("key without a part", "length,5,0,0,mm,normal,bench", 1, "is not part.dimension"),
    ("duplicate key", GOOD, 1, "stands twice (first in line 2)"),
    ("unknown standard", "a.item,6308,,,item,,bearing", 21, "did you mean bearings?"),
    ("unknown item", "a.item,6309,,,item,,bearings", 8, "did you mean 6308?"),
    ("same as nowhere", "a.one,shaft.lenght,,,same,,", 7, "did you mean shaft.length?"),
]


@pytest.mark.parametrize(
    ("row", "column", "said"), [b[1:] for b in BROKEN_ROWS], ids=[b[0] for b in BROKEN_ROWS]
)
def test_a_broken_row_is_told_with_its_place(
    tmp_path: Path, row: str, column: int, said: str
) -> None:
    (fault,) = _faults(tmp_path, f"{HEADING}\n{GOOD}\n{row}\n")
    assert (fault.file, fault.line, fault.column) == (FILE, 3, column)
    assert said in str(fault)
    assert str(fault).startswith(f"{FILE}:3:{column}: ")


def test_every_broken_row_is_told_at_once(tmp_path: Path) -> None:
    rows = [row.replace("a.", f"{chr(98 + i)}.", 1) for i, (_, row, _, _) in enumerate(BROKEN_ROWS)]
    faults = _faults(tmp_path, "\n".join([HEADING, GOOD, *rows]) + "\n")
    assert {fault.line for fault in faults} == set(range(3, 3 + len(BROKEN_ROWS)))
    for line, (_, _, column, said) in enumerate(BROKEN_ROWS, start=3):
        assert any(f.line == line and f.column == column and said in str(f) for f in faults)


def test_several_faults_of_one_row_are_all_told(tmp_path: Path) -> None:
    faults = _faults(tmp_path, f"{HEADING}\na.one,x,y,0,furlong,gaussian,nobody\n")
    assert [fault.column for fault in faults] == [7, 9, 13, 21, 30]


def test_blank_lines_do_not_shift_the_line_told(tmp_path: Path) -> None:
    (fault,) = _faults(tmp_path, f"{HEADING}\n\n\n{GOOD}\na.one,x,0,0,mm,normal,bench\n")
    assert fault.line == 5


def test_a_wrong_heading_is_told_with_the_right_one(tmp_path: Path) -> None:
    (fault,) = _faults(tmp_path, f"dimension,value\n{GOOD}\n")
    assert (fault.line, fault.column) == (1, 1)
    assert HEADING in fault.remedy


def test_a_broken_relation_points_at_the_larger_row(tmp_path: Path) -> None:
    toml = 'larger = [["shaft.length", "shaft.bore"]]\n' + SETTINGS
    table = f"{HEADING}\n{GOOD}\nshaft.bore,120,0,0,mm,normal,bench\n"
    (fault,) = _faults(tmp_path, table, toml)
    assert fault.line == 2
    assert "shaft.length 100 must exceed shaft.bore 120" in fault.what


def test_a_relation_needs_both_its_rows(tmp_path: Path) -> None:
    toml = 'larger = [["shaft.length", "shaft.bore"]]\n' + SETTINGS
    (fault,) = _faults(tmp_path, f"{HEADING}\n{GOOD}\n", toml)
    assert "shaft.bore is missing" in fault.what


def test_equal_is_not_larger(tmp_path: Path) -> None:
    toml = 'larger = [["shaft.length", "shaft.bore"]]\n' + SETTINGS
    table = f"{HEADING}\n{GOOD}\nshaft.bore,100,0,0,mm,normal,bench\n"
    (fault,) = _faults(tmp_path, table, toml)
    assert "must exceed" in fault.what


def test_faults_of_a_standard_are_told_with_its_own_file(tmp_path: Path) -> None:
    table = f"{HEADING}\n{GOOD}\nb.item,6308,,,item,,bearings\nc.one,x,0,0,mm,normal,bench\n"
    faults = _faults(tmp_path, table, bearings=BEARINGS.replace("-12", "wrong"))
    assert {(f.file, f.line) for f in faults} == {("standard/bearings.csv", 2), (FILE, 4)}


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "is empty"),
        (b"\n \n", "is empty"),
        (HEADING.encode() + b"\nshaft.l\xe4nge,1,0,0,mm,normal,bench\n", "not UTF-8"),
        (b"x" * (MOST_BYTES + 1), "is over"),
    ],
)
def test_a_file_that_is_no_table_is_refused_as_a_whole(
    tmp_path: Path, raw: bytes, said: str
) -> None:
    (fault,) = _faults(tmp_path, raw)
    assert said in fault.what


def test_a_byte_that_is_not_utf8_is_told_with_its_line(tmp_path: Path) -> None:
    (fault,) = _faults(tmp_path, f"{HEADING}\n{GOOD}\n".encode() + b"\xff")
    assert fault.line == 3


def test_broken_settings_are_told(tmp_path: Path) -> None:
    (fault,) = _faults(tmp_path, f"{HEADING}\n{GOOD}\n", toml="[sources\n")
    assert (fault.file, "not valid TOML" in fault.what) == ("sizes/bench.toml", True)


def test_a_missing_table_is_a_fault_of_content(tmp_path: Path) -> None:
    _write(tmp_path, HEADING)
    with pytest.raises(ContentError, match="cannot be read"):
        read_size(tmp_path, "bench", "nowhere")


def test_units_become_millimetres_and_limits_are_sums(tmp_path: Path) -> None:
    table = f"{HEADING}\na.inch,2,-0.001,0.002,in,triangular,bench\na.um,500,-5,5,um,rectangular,bench\n"
    parts = read_size(_write(tmp_path, table), "bench", "a").parts
    inch, um = parts["a"]["inch"], parts["a"]["um"]
    assert (inch.nominal, inch.lower, inch.upper) == pytest.approx((50.8, 50.7746, 50.8508))
    assert (um.nominal, um.lower, um.upper) == pytest.approx((0.5, 0.495, 0.505))
    assert (inch.unit, inch.distribution) == (Unit.IN, Distribution.TRIANGULAR)
    assert inch.source.line == 2


def test_a_same_row_takes_the_definition_of_the_other_row(tmp_path: Path) -> None:
    table = f"{HEADING}\na.copy,shaft.length,,,same,,\n{GOOD}\n"
    parts = read_size(_write(tmp_path, table), "bench", "a").parts
    copy, original = parts["a"]["copy"], parts["shaft"]["length"]
    assert (copy.key, copy.nominal, copy.lower, copy.upper) == ("copy", 100.0, 99.9, 100.1)
    assert copy.source == original.source, "one number has one home"


def test_an_item_row_takes_all_dimensions_of_the_item(tmp_path: Path) -> None:
    parts = read_size(
        _write(tmp_path, f"{HEADING}\nb.item,6308,,,item,,bearings\n"), "bench", "a"
    ).parts
    bore, outside = parts["b"]["bore"], parts["b"]["outside"]
    assert (bore.nominal, bore.lower, bore.upper) == pytest.approx((40.0, 39.988, 40.0))
    assert (outside.lower, outside.upper) == (90.0, 90.0)
    assert bore.source.file == "standard/bearings.csv"


SCRAPS = st.sampled_from(
    [
        HEADING,
        GOOD,
        ",",
        "\n",
        "a.item,6308,,,item,,bearings",
        "a.b,c.d,,,same,,",
        "1e999",
        "-",
        "\x00",
        "item",
        "same",
        "ä",
        "\ufeff",
        "\u2028",
    ]
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.one_of(
        st.binary(max_size=200),
        st.lists(SCRAPS, max_size=12).map(lambda s: (HEADING + "\n" + "".join(s)).encode()),
    )
)
@example(f"{HEADING}\na.b,a.b,,,same,,\n".encode())
@example(f"{HEADING}\na.b,c.d,,,same,,\nc.d,a.b,,,same,,\n".encode())
def test_garbage_is_read_or_refused_but_never_crashes(tmp_path: Path, raw: bytes) -> None:
    folder = _write(tmp_path, raw)
    assert _reads_or_names_faults(folder)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(st.data())
def test_the_real_table_with_one_cell_spoilt_never_crashes(
    tmp_path: Path, data: st.DataObject
) -> None:
    lines = (TABLES / "sizes" / "end-suction" / "100-250.csv").read_text("utf-8").splitlines()
    row = data.draw(st.integers(0, len(lines) - 1))
    cells = lines[row].split(",")
    cells[data.draw(st.integers(0, len(cells) - 1))] = data.draw(
        st.sampled_from(["", "x", "nan", "1,2", "\x00", "-1e400", "item", "same", "volute.bore"])
    )
    lines[row] = ",".join(cells)
    folder = _write(tmp_path, "\n".join(lines), _real_settings())
    for path in (TABLES / "standard").iterdir():
        (folder / "standard" / path.name).write_bytes(path.read_bytes())
    assert _reads_or_names_faults(folder)


def _real_settings() -> str:
    return (TABLES / "sizes" / "end-suction.toml").read_text("utf-8")


def _reads_or_names_faults(folder: Path) -> bool:
    """Anything but a table or a ContentError with faults passes through and fails the test."""
    try:
        return bool(read_size(folder, "bench", "a").size)
    except ContentError as error:
        return bool(error.faults) and all(fault.file and fault.what for fault in error.faults)


def test_a_table_takes_the_rows_it_lacks_from_another(tmp_path: Path) -> None:
    folder = _write(
        tmp_path,
        f"{HEADING}\n{GOOD}\nshaft.end,shaft.length,,,same,,\nnut.item,6308,,,item,,bearings\n",
    )
    own = f"{HEADING}\nrows.from,bench/a,,,table,,\nshaft.length,90,-0.2,0.2,mm,normal,bench\n"
    (folder / "sizes" / "bench" / "b.csv").write_text(own, encoding="utf-8")
    table = read_size(folder, "bench", "b")
    assert table.parts["shaft"]["length"].nominal == 90.0
    assert table.parts["shaft"]["end"].nominal == 90.0, (
        "what is defined by a row follows the new one"
    )
    assert table.parts["shaft"]["length"].source.file == "sizes/bench/b.csv"
    assert "bore" in table.parts["nut"]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("rows.from,bench/c,,,table,,", "no size table"),
        ("rows.from,bench/a,,,table,,", "takes its own"),
    ],
)
def test_a_table_taken_that_is_not_there_or_goes_round_is_refused(
    tmp_path: Path, row: str, words: str
) -> None:
    faults = _faults(tmp_path, f"{HEADING}\n{row}\n{GOOD}\n")
    assert faults[0].line == 2
    assert words in faults[0].what


def test_a_fault_in_a_table_taken_names_that_table(tmp_path: Path) -> None:
    folder = _write(tmp_path, f"{HEADING}\nshaft.length,five,0,0,mm,normal,bench\n")
    (folder / "sizes" / "bench" / "b.csv").write_text(
        f"{HEADING}\nrows.from,bench/a,,,table,,\n", encoding="utf-8"
    )
    with pytest.raises(ContentError) as caught:
        read_size(folder, "bench", "b")
    assert [fault.file for fault in caught.value.faults] == [FILE]
