"""Where each place of the old workbook stands in the new one, and formulas made to follow."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token, TokenizerError
from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import column_index_from_string

from notchbook.workbook.carry.moved_rows import MovedRows
from notchbook.workbook.layout.layout import quoted
from notchbook.workbook.read.anchors import LAST_COLUMN

_CELL = re.compile(r"(\$?)([A-Za-z]{1,3})(\$?)([0-9]{1,7})")
_COLUMN = re.compile(r"(\$?)([A-Za-z]{1,3})")
_ROW = re.compile(r"(\$?)([0-9]{1,7})")
_HEADER = re.compile(r"\[@?((?:[^\[\]#@']|'.)+)\]")
_ESCAPED = re.compile("'(.)")  # as signs with a meaning are written in headers
_TWICE = re.compile(r"(.+)!([^!:]+):\1!([^!:]+)")


@dataclass
class Region(MovedRows):
    """A table or lines on a sheet: its columns and rows, old to new."""

    columns: Mapping[int, int]
    formulas: Mapping[int, str] = field(default_factory=dict)  # worked out: old columns, by number
    formula_cells: Mapping[tuple[int, int], str] = field(default_factory=dict)  # and old cells
    table: str = ""
    planned: Mapping[int, str] = field(default_factory=dict)  # old columns of planned values
    given: Mapping[int, str] = field(default_factory=dict)  # and of typed ones
    gone: Mapping[int, str] = field(default_factory=dict)  # old columns that are no more
    lines: frozenset[tuple[int, int]] = frozenset()  # where it is lines: the old cells of values
    says: frozenset[int] = frozenset()  # and the old columns of words, such as labels
    new_right: int = 0  # the last new column

    @property
    def right(self) -> int:
        """The last old column."""
        return max((*self.columns, *self.gone))

    def is_free(self, row: int, column: int) -> bool:
        """Whether an old cell belonged to nobody: beside or below the cells of lines."""
        if not self.lines or row <= self.head:
            return False
        return row > self.last or not (column in self.says or (row, column) in self.lines)

    def formula_name(self, row: int, column: int) -> str | None:
        """The name of what is worked out in an old cell; None where nothing is."""
        if row > self.head and column in self.formulas:
            return self.formulas[column]
        return self.formula_cells.get((row, column))


@dataclass
class SheetMove:
    """A sheet of ours, old to new; `main` is the region whose rows all else on it follows."""

    name: str
    regions: list[Region] = field(default_factory=list)
    other_columns: dict[int, int] = field(default_factory=dict)
    right: int = 0
    new_right: int = 0
    shift: MovedRows | None = None  # of all of it, where it has no regions

    def region_of(self, column: int) -> Region | None:
        """The region that a column belongs to."""
        return next((each for each in self.regions if column in each.columns), None)

    def is_ours(self, column: int) -> bool:
        """Whether an old column is one of ours, or was until now."""
        return self.region_of(column) is not None or self.is_gone(column)

    def is_gone(self, column: int) -> bool:
        """Whether an old column of ours is no more."""
        return any(column in each.gone for each in self.regions)

    def column(self, old: int) -> int:
        """The new column; what lies right of our tables keeps its distance.

        A column that is gone is taken for the one on its left.
        """
        while self.is_gone(old):
            old -= 1
        region = self.region_of(old)
        if region is not None:
            return region.columns[old]
        if old in self.other_columns:
            return self.other_columns[old]
        if old <= self.right or old == LAST_COLUMN:
            return old
        return min(old - self.right + self.new_right, LAST_COLUMN)

    def row(self, old: int, column: int) -> int | None:
        """The new row of a cell; None where its row is gone."""
        rows = self.rows_of(column)
        return old if rows is None else rows.row(old)

    def span(self, top: int, bottom: int, column: int) -> tuple[int, int] | None:
        """The first and last new row of some in a column; None where all are gone."""
        rows = self.rows_of(column)
        return (top, bottom) if rows is None else rows.span(top, bottom)

    def rows_of(self, column: int) -> MovedRows | None:
        """What tells where the rows of a column stand now; None where they stay."""
        return self.shift or self.region_of(column) or self.nearest(column)

    def nearest(self, column: int) -> Region | None:
        """The region that a column outside of all goes with: the one on its left."""
        left = [each for each in self.regions if min(each.columns, default=0) < column]
        return max(left, key=lambda each: max(each.columns), default=None) or (
            self.regions[0] if self.regions else None
        )


class GoneError(Exception):
    """A formula refers to a place that is gone."""


@dataclass
class Moves:
    """All sheets of ours by their old names; other sheets stay as they are."""

    sheets: dict[str, SheetMove] = field(default_factory=dict)
    gone: set[str] = field(default_factory=set)  # sheets of ours that are no more
    renamed: dict[str, str] = field(default_factory=dict)  # own sheets that had to be renamed
    headers: Mapping[str, frozenset[str]] = field(default_factory=dict)  # of our tables now

    def cell(self, sheet: str, row: int, column: int) -> tuple[int, int] | None:
        """The new row and column of a cell on a sheet of ours; None where it is gone."""
        move = self.sheets.get(sheet)
        if move is None:
            return row, column
        if move.is_gone(column):
            return None
        new_row = move.row(row, column)
        return None if new_row is None else (new_row, move.column(column))

    def formula(self, text: str, host: str) -> tuple[str, bool]:
        """A formula that stands on the sheet `host`, following what it refers to.

        Also tells whether all of it was found; what was not becomes #REF!.
        """
        if not text.startswith("="):
            return text, True
        try:
            tokens = Tokenizer(text).items
        except (TokenizerError, IndexError):
            return text, True
        whole = True
        parts = []
        for token in tokens:
            value = token.value
            if token.type == Token.OPERAND and token.subtype == Token.RANGE:
                value, found = self.reference(value, host)
                whole = whole and found
            parts.append(value)
        return "=" + "".join(parts), whole

    def reference(self, text: str, host: str) -> tuple[str, bool]:
        """One reference, such as `Stock!$H$9`, `B7:B20` or a name."""
        twice = _TWICE.fullmatch(text)
        if twice:  # the sheet named at both ends
            text = f"{twice[1]}!{twice[2]}:{twice[3]}"
        if self.has_lost_column(text):
            return "#REF!", False
        prefix, _, area = text.rpartition("!")
        sheet = _plain(prefix) if prefix else host
        if sheet in self.gone:
            return "#REF!", False
        new_sheet = (
            self.sheets[sheet].name if sheet in self.sheets else self.renamed.get(sheet, sheet)
        )
        shown = f"{quoted(new_sheet)}!" if prefix else ""
        if prefix and new_sheet == sheet:
            shown = prefix + "!"
        if sheet not in self.sheets:
            return shown + area, True
        try:
            return shown + self.area(sheet, area), True
        except GoneError:
            return "#REF!", False

    def has_lost_column(self, text: str) -> bool:
        """Whether a reference such as `Stock[my factor]` names a column that its table has not."""
        table, _, inside = text.partition("[")
        headers = self.headers.get(table.casefold())
        if headers is None or not inside:
            return False
        named = (_ESCAPED.sub(r"\1", each) for each in _HEADER.findall("[" + inside))
        return any(each.casefold() not in headers for each in named)

    def area(self, sheet: str, text: str) -> str:
        """Cells of a sheet of ours by their new address.

        Raises GoneError where nothing is left of them.
        """
        move = self.sheets[sheet]
        ends = text.split(":")
        cells = [_CELL.fullmatch(end) for end in ends]
        if all(cells):
            found = [match for match in cells if match]
            if len(found) == 1:
                return self._single(sheet, found[0])
            return self._range(move, found[0], found[-1])
        columns = [_COLUMN.fullmatch(end) for end in ends]
        if len(ends) == 2 and all(columns):
            first, last = (match for match in columns if match)
            left, right = (move.column(each) for each in _columns_left(move, first[2], last[2]))
            return f"{first[1]}{get_column_letter(left)}:{last[1]}{get_column_letter(right)}"
        rows = [_ROW.fullmatch(end) for end in ends]
        if len(ends) == 2 and all(rows):
            first, last = (match for match in rows if match)
            top, bottom = sorted((int(first[2]), int(last[2])))
            span = move.span(top, bottom, 1)
            if span is None:
                raise GoneError
            return f"{first[1]}{span[0]}:{last[1]}{span[1]}"
        return text  # a name or a table's column, which go on as they are

    def _single(self, sheet: str, match: re.Match[str]) -> str:
        at = self.cell(sheet, int(match[4]), column_index_from_string(match[2].upper()))
        if at is None:
            raise GoneError
        return f"{match[1]}{get_column_letter(at[1])}{match[3]}{at[0]}"

    def _range(self, move: SheetMove, first: re.Match[str], last: re.Match[str]) -> str:
        """A range that holds all of its rows and columns that are left."""
        top, bottom = sorted((int(first[4]), int(last[4])))
        left, right = _columns_left(move, first[2], last[2])
        spans = [move.span(top, bottom, column) for column in {left, right}]
        rows = [row for span in spans if span is not None for row in span]
        if not rows:
            raise GoneError
        new_top, new_bottom = min(rows), max(rows)
        columns = sorted((move.column(left), move.column(right)))
        return (
            f"{first[1]}{get_column_letter(columns[0])}{first[3]}{new_top}"
            f":{last[1]}{get_column_letter(columns[1])}{last[3]}{new_bottom}"
        )

    def ranges(self, sheet: str, text: str) -> str:
        """Ranges parted by blanks, as validations and conditional formats name theirs."""
        found = []
        for each in text.split():
            try:
                found.append(self.area(sheet, each) if sheet in self.sheets else each)
            except GoneError:
                continue
        return " ".join(found)


def _columns_left(move: SheetMove, first: str, last: str) -> tuple[int, int]:
    """The first and the last of the old columns that are left.

    Raises GoneError where none is.
    """
    left, right = (column_index_from_string(each.upper()) for each in (first, last))
    step = 1 if left <= right else -1
    first_left = next((at for at in range(left, right + step, step) if not move.is_gone(at)), None)
    last_left = next((at for at in range(right, left - step, -step) if not move.is_gone(at)), None)
    if first_left is None or last_left is None:
        raise GoneError
    return first_left, last_left


def _plain(prefix: str) -> str:
    prefix = prefix.removeprefix("$")
    return prefix[1:-1].replace("''", "'") if prefix.startswith("'") else prefix


def cells_in(text: str) -> Iterator[tuple[int, int, int, int]]:
    """The corners (top, left, bottom, right) of ranges parted by blanks."""
    for each in text.split():
        matches = [_CELL.fullmatch(end) for end in each.split(":")]
        found = [match for match in matches if match]
        if len(found) == len(matches) and found:
            top, bottom = int(found[0][4]), int(found[-1][4])
            left, right = (column_index_from_string(m[2].upper()) for m in (found[0], found[-1]))
            yield top, left, bottom, right
