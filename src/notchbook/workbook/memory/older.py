"""The memory of the version before this one, made a copy of the book.

It told single things apart: rules by fingerprint, planned values and given cells by row, words of
ours in any order. What the book holds now and that memory knows was written where it stands;
anything else in a cell of ours was put there by the maker.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.language.functions import to_serial
from notchbook.workbook.file.raw_cells import Cell, cells_by_place, title_of
from notchbook.workbook.layout.anchor_names import SHEET_ANCHOR, Place, identifier
from notchbook.workbook.layout.layout import STATE_ROW
from notchbook.workbook.layout.style import PALETTE
from notchbook.workbook.memory.book_copy import BookCopy, ColumnCopy, SheetCopy
from notchbook.workbook.memory.contents import (
    Content,
    Look,
    comparable,
    content_of,
    fingerprint,
    formula_text,
    is_rule,
    look_of,
    rgb,
    structure,
)

_COLOURS = PALETTE | {"1F3864", "1F4E79", "FFF8E1", "F2F2F2"}  # ours now and then
_OTHER = "\x7f"
"""What stood in a cell of ours that holds something which the memory does not know."""


def copy_of_older(
    stored: Mapping[str, Any],
    workbook: Workbook,
    anchors: Mapping[str, Place],
    days: Mapping[str, frozenset[str]],
) -> BookCopy:
    """Return the copy that the version before would have kept; `days` are the columns of dates."""
    return _Older(stored, workbook, anchors, days).copy()


class _Older:
    def __init__(
        self,
        stored: Mapping[str, Any],
        workbook: Workbook,
        anchors: Mapping[str, Place],
        days: Mapping[str, frozenset[str]],
    ) -> None:
        self.stored, self.workbook, self.anchors, self.days = stored, workbook, anchors, days
        self.words = frozenset(stored["words"])
        self.printed = frozenset(stored["printed"])
        self.tables = {identifier(name): name for name in stored["rules"]}

    def copy(self) -> BookCopy:
        names: dict[str, Place] = {}
        sheets: dict[str, SheetCopy] = {}
        found = {
            int(name.removeprefix(SHEET_ANCHOR)): place[0]
            for name, place in self.anchors.items()
            if name.startswith(SHEET_ANCHOR)
        }
        titles: dict[str, str] = {}
        for number, then in enumerate(self.stored["sheets"], 1):
            sheets[then] = SheetCopy(
                heights={int(row): at for row, at in self.stored["heights"].get(then, {}).items()},
                frozen=self.stored["frozen"].get(then),
            )
            if number in found:
                titles[found[number]] = then
        for name, (sheet, row, column) in self.anchors.items():
            if sheet in titles:
                names[name] = (titles[sheet], row, column)
        for title, then in titles.items():
            self.sheet(self.workbook[title], then, sheets[then])
        return BookCopy(sheets, names, self.stored["lists"])

    def sheet(self, sheet: Worksheet, then: str, copy: SheetCopy) -> None:
        """Fill in the copy of a sheet."""
        heads, lines = self.columns(title_of(sheet)), self.lines(title_of(sheet))
        areas = self.stored["areas"].get(then, [])
        last = max((row for row, _ in lines), default=0)
        written: dict[tuple[int, int], tuple[Content, Look]] = {}
        for (row, column), cell in cells_by_place(sheet).items():
            content = content_of(cell.value, cell.data_type == "f")
            look = self.look(cell)
            if (row, column) in lines:
                written[row, column] = (lines[row, column], look)
            elif column in heads and row > heads[column][0]:
                table, name = heads[column][1:]
                formats = self.stored["formats"].get(table, {}).get(name)
                kept = (*formats, *look[len(formats) :]) if formats else look
                written[row, column] = (self.rule(table, name), kept)
            elif self.is_ours(row, column, heads, last, areas):
                written[row, column] = (self.words_or_rule(content, cell), look)
            elif comparable(content) in self.words and cell.value is not None:
                written[row, column] = (content, look)
        for column, (head, table, name) in heads.items():
            values = self.values(table, name)
            look = next((each for at, (_, each) in written.items() if at[1] == column), ())
            for row, content in enumerate(values, head + 1):
                written[row, column] = (content, written.get((row, column), (None, look))[1])
        for (row, column), (content, look) in sorted(written.items()):
            copy.columns.setdefault(column, ColumnCopy(row)).put(row, content, look)

    def columns(self, title: str) -> dict[int, tuple[int, str, str]]:
        """Return the header row, table and name of each column of a table on a sheet."""
        found = {}
        for name, (sheet, row, column) in self.anchors.items():
            table = self.table_of(name)
            if sheet == title and table is not None and table in self.stored["planned"]:
                found[column] = (row, table, name.removeprefix(f"nb_{identifier(table)}_"))
        return {column: at for column, at in found.items() if at[2] != "head"}

    def lines(self, title: str) -> dict[tuple[int, int], Content]:
        """Return what stood in the cells of lines on a sheet."""
        settings = self.given("Settings")
        found: dict[tuple[int, int], Content] = {}
        for name, (sheet, row, column) in self.anchors.items():
            table = self.table_of(name)
            if sheet != title or table is None or table in self.stored["planned"]:
                continue
            cell = name.removeprefix(f"nb_{identifier(table)}_")
            rule = self.rule(table, cell)
            there = cells_by_place(self.workbook[title]).get((row, column))
            now = None if there is None else content_of(there.value, there.data_type == "f")
            found[row, column] = rule if rule is not None else now
            if table == "Settings" and cell in settings:
                found[row, column] = settings[cell][0]
        return found

    def table_of(self, anchor: str) -> str | None:
        """Return the table or lines that an anchor belongs to."""
        names = [each for each in self.tables if anchor.startswith(f"nb_{each}_")]
        return self.tables[max(names, key=len)] if names else None

    def rule(self, table: str, name: str) -> Content:
        """Return the formula of a column or line; None where it had none."""
        word = self.stored["rules"].get(table, {}).get(name)
        return None if word is None else f"={word}"

    def values(self, table: str, name: str) -> Sequence[Content]:
        """Return the given or planned values of a column."""
        planned = self.stored["planned"].get(table, {}).get(name)
        if planned is not None:
            return [_number_or_words(each) for each in planned]
        return self.given(table).get(name, ())

    def given(self, table: str) -> dict[str, list[Content]]:
        """Return the given cells of a table or of Settings, column by column."""
        kept = self.stored["merge"]["tables"].get(table)
        if kept is None:
            return {}
        days = self.days.get(table, frozenset())
        return {
            name: [_plain(row[n], name in days) for row in kept["workbook"]]
            for n, name in enumerate(kept["columns"])
        }

    def is_ours(
        self,
        row: int,
        column: int,
        heads: Mapping[int, tuple[int, str, str]],
        last: int,
        areas: Sequence[Sequence[int]],
    ) -> bool:
        """Tell whether words or a formula of ours stood at a place without an anchor."""
        if column == 1 and row <= STATE_ROW:
            return True
        if column in heads and row == heads[column][0]:
            return True
        return (column == 1 and STATE_ROW < row <= last) or any(
            top <= row <= bottom and left <= column <= right for top, left, bottom, right in areas
        )

    def words_or_rule(self, content: Content, cell: Cell) -> Content:
        """Return what a cell of ours holds where that was written, else another thing."""
        if content is None or isinstance(content, float):
            return content
        if is_rule(content):
            printed = fingerprint(structure(formula_text(cell.value))) in self.printed
            return content if printed or cell.row <= STATE_ROW else _OTHER
        return content if comparable(content).removeprefix("'") in self.words else _OTHER

    def look(self, cell: Cell) -> Look:
        """Return the look of a cell, with colours and letters of ours."""
        *shape, fill, font = look_of(cell)
        letters: Any = cell.font  # the stubs know no short names
        paint = cell.fill
        plain = not (letters.b or letters.i or letters.strike or letters.u)
        ours = plain and rgb(letters.color) in _COLOURS
        painted = paint.fill_type is not None and rgb(paint.fgColor) not in _COLOURS
        return (*shape, _OTHER if painted else fill, font if ours else _OTHER)


def _plain(value: float | str | None, day: bool) -> Content:
    if day and isinstance(value, str):
        return float(to_serial(date.fromisoformat(value)))
    return content_of(value, False)


def _number_or_words(said: str) -> Content:
    """Return a planned value, which was kept as text."""
    try:
        return float(said)
    except ValueError:
        return content_of(said, False)
