"""Show a bench sheet at the terminal, and the list of filed ones."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich import box
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from trainer.handout.sheet_texts import tell_verdict
from trainer.handout.told_sheet import ToldSheet
from trainer.records import FiledSheet
from trainer.session.sheet import read_sheet
from trainer.words import Words
from trainer.words.telling import tell_pump

ID_SIGNS = 8
"""Signs of an id that are shown in a list; they are enough to name a sheet by."""
WHOLE = frozenset({"number", "id", "filed", "result"})
"""Columns of the list that are never broken."""
LEAST_WIDTHS = {"pump": 11, "assembler": 9, "note": 9}
"""Characters that a column of the list needs for its longest word."""


def show_sheet(told: ToldSheet, console: Console | None = None) -> None:
    """Show a sheet as tables, one below the other, and what it comes to at the end."""
    out = console or Console(highlight=False)
    out.print(escape(told.title), style="bold")
    out.print(_make_table("", (), told.head, header=False))
    out.print()
    out.print(_make_table(told.signed_title, (), told.signed, header=False))
    out.print()
    measured = [
        (line.what, line.limits, line.found, line.left, f"{line.verdict.sign} {line.verdict.word}")
        for line in told.measured
    ]
    out.print(_make_table(told.measured_title, told.measured_columns, measured))
    packs = [(pack.heading, " + ".join(pack.shims), pack.total) for pack in told.packs]
    out.print(_make_table(told.pack_title, (), packs, header=False))
    _print_lines(out, told.pack_notes)
    out.print()
    out.print(_make_table(told.order_title, told.part_columns, told.order))
    _print_lines(out, (f"{why}: {', '.join(names)}" for why, names in told.order_alike))
    out.print()
    if told.rework:
        out.print(_make_table(told.rework_title, told.part_columns, told.rework))
    _print_lines(out, told.parts_notes)
    out.print()
    out.print(_make_table(told.torque_title, told.torque_columns, told.torques))
    out.print(_make_table(told.tests_title, told.tests_columns, told.tests))
    for title, lines in (
        (told.as_found_title, (told.as_found,) if told.as_found else ()),
        (told.run_in_title, told.run_in),
        (told.remarks_title, (told.remarks,) if told.remarks else ()),
    ):
        if lines:
            out.print(escape(title), style="bold")
            _print_lines(out, lines)
            out.print()
    _print_lines(out, (told.measured_note, told.limits_note, told.torque_note, told.tests_note))
    out.print()
    verdict = told.verdict
    out.print(escape(f"{verdict.sign} {verdict.word}"), style="bold")
    _print_lines(out, (verdict.why, *told.foot, *told.hashes, told.safety))


def show_list(words: Words, sheets: Sequence[FiledSheet], console: Console | None = None) -> None:
    """Show the filed sheets, a line each."""
    out = console or Console(highlight=False)
    if not sheets:
        out.print(words.say("sheet.none-filed"))
        return
    names = ("number", "id", "filed", "pump", "assembler", "result", "note")
    columns = [words.say(f"sheet.column-{name}") for name in names]
    columns[names.index("pump")] += "\n" + words.say("sheet.head-serial")
    rows = []
    for filed in sheets:
        sheet = read_sheet(filed.sheet.content)
        verdict = tell_verdict(words, sheet.verdict)
        rows.append(
            (
                str(filed.number),
                str(filed.sheet.id)[:ID_SIGNS],
                f"{filed.sheet.when:%Y-%m-%d}\n{filed.sheet.when:%H:%M}",
                f"{tell_pump(words, sheet.build)}\n{sheet.serial}",
                sheet.assembler,
                f"{verdict.sign} {verdict.word}",
                tell_place(words, filed),
            )
        )
    table = _make_table(words.say("sheet.list-title"), columns, rows)
    for name, column in zip(names, table.columns, strict=True):
        column.no_wrap = name in WHOLE
        column.min_width = LEAST_WIDTHS.get(name)
    out.print(table)


def tell_place(words: Words, filed: FiledSheet) -> str:
    """Tell which sheet it corrects and which one corrects it."""
    told = []
    if filed.sheet.corrects:
        told.append(words.say("sheet.corrects", id=str(filed.sheet.corrects)[:ID_SIGNS]))
    if filed.corrected_by:
        told.append(words.say("sheet.corrected-by", id=str(filed.corrected_by)[:ID_SIGNS]))
    return ", ".join(told)


def _print_lines(out: Console, lines: Iterable[str]) -> None:
    for line in lines:
        out.print(escape(line))


def _make_table(
    title: str, columns: Sequence[str], rows: Iterable[Sequence[str]], *, header: bool = True
) -> Table:
    listed = [[escape(cell) for cell in row] for row in rows]
    table = Table(
        title=escape(title) if title else None,
        title_justify="left",
        title_style="bold",
        box=box.SIMPLE_HEAD if header else None,
        show_header=header,
        pad_edge=False,
    )
    for column in columns or [""] * (len(listed[0]) if listed else 0):
        table.add_column(escape(column), overflow="fold")
    for row in listed:
        table.add_row(*row)
    return table
