"""One copy of the book as a compile writes it, before what is the maker's is put into it.

Whatever is found otherwise at the next compile was done by the maker (or by another version of this
program, which the copy tells apart, too).
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from openpyxl.utils import column_index_from_string
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.workbook.file.book import areas_printed
from notchbook.workbook.file.frozen import frozen_at
from notchbook.workbook.file.raw_cells import cells_by_place, title_of
from notchbook.workbook.layout.anchor_names import Place
from notchbook.workbook.memory.contents import (
    Content,
    Look,
    Looks,
    Rules,
    content_of,
    formula_text,
    is_rule,
    words_of,
)

Values = Mapping[str, Mapping[str, float | str | None]]
"""What formulas give, by sheet and address."""
LISTS = "list_"
"""Begins the names that we give to lists to choose from."""


@dataclass
class ColumnCopy:
    """A column of a sheet from the first row written on; where nothing was, the look is None."""

    first: int
    contents: list[Content] = field(default_factory=list)
    looks: list[Look | None] = field(default_factory=list)

    def put(self, row: int, content: Content, look: Look) -> None:
        """Add the next cell below."""
        gap = row - self.first - len(self.contents)
        self.contents += [*[None] * gap, content]
        self.looks += [*[None] * gap, look]

    def content(self, row: int) -> Content:
        """Return what was written in a row."""
        at = row - self.first
        return self.contents[at] if 0 <= at < len(self.contents) else None

    def look(self, row: int) -> Look | None:
        """Return how the cell of a row looked; None where none was written."""
        at = row - self.first
        return self.looks[at] if 0 <= at < len(self.looks) else None

    def below(self, head: int) -> list[Content]:
        """Return the contents below a header."""
        return self.contents[max(head + 1 - self.first, 0) :]


@dataclass
class SheetCopy:
    """A sheet as it was written: its cells by column, and what stood around them."""

    columns: dict[int, ColumnCopy] = field(default_factory=dict)
    heights: dict[int, float] = field(default_factory=dict)
    widths: dict[int, float] = field(default_factory=dict)
    frozen: str | None = None
    folded: frozenset[int] | None = None  # columns in an outline of ours, which is closed
    folded_rows: frozenset[int] | None = None
    printed: str | None = None  # the areas printed, without the sheet; blank where all is

    def content(self, row: int, column: int) -> Content:
        """Return what was written at a place."""
        return self.columns[column].content(row) if column in self.columns else None

    def is_written(self, row: int, column: int) -> bool:
        """Tell whether a cell of ours stood at a place, were it a blank one."""
        return column in self.columns and self.columns[column].look(row) is not None

    @cached_property
    def last_row(self) -> int:
        """The last row that was written."""
        return max((each.first + len(each.looks) - 1 for each in self.columns.values()), default=0)

    @cached_property
    def rules(self) -> frozenset[Content]:
        """All formulas of the sheet."""
        return frozenset(
            each for column in self.columns.values() for each in column.contents if is_rule(each)
        )

    @cached_property
    def words(self) -> frozenset[str]:
        """All words of the sheet, without blanks around them."""
        return frozenset(
            said.strip()
            for column in self.columns.values()
            for each in column.contents
            if (said := words_of(each)) is not None
        )


@dataclass
class BookCopy:
    """Our sheets in their order, where our names pointed, and what we called lists.

    A copy is `made_up` where the one that was kept is lost: it then says what stands there now.
    """

    sheets: dict[str, SheetCopy] = field(default_factory=dict)
    names: dict[str, Place] = field(default_factory=dict)
    lists: list[str] = field(default_factory=list)
    made_up: bool = False

    def column(self, name: str) -> tuple[ColumnCopy, int] | None:
        """Return the column of a header's name, and the header's row."""
        place = self.names.get(name)
        sheet = self.sheets.get(place[0]) if place is not None else None
        if place is None or sheet is None or place[2] not in sheet.columns:
            return None
        return sheet.columns[place[2]], place[1]

    def cell(self, name: str) -> Content:
        """Return what was written where a name pointed."""
        place = self.names.get(name)
        sheet = self.sheets.get(place[0]) if place is not None else None
        return None if place is None or sheet is None else sheet.content(*place[1:])


def take(
    workbook: Workbook,
    names: Mapping[str, Place],
    values: Values,
    typed_formulas: Container[Place],
) -> BookCopy:
    """Copy the book; formulas of the maker's in given cells count as their values.

    `names` are ours, and where they point.
    """
    looks = Looks()
    return BookCopy(
        {
            title_of(sheet): _sheet(sheet, values.get(title_of(sheet), {}), typed_formulas, looks)
            for sheet in workbook.worksheets
        },
        dict(names),
        sorted(name for name in workbook.defined_names if name.startswith(LISTS)),
    )


def _sheet(
    sheet: Worksheet,
    values: Mapping[str, float | str | None],
    typed_formulas: Container[Place],
    looks: Looks,
) -> SheetCopy:
    rules = Rules()
    result = SheetCopy(
        heights={row: size.height for row, size in sheet.row_dimensions.items() if size.height},
        widths=dict(_widths(sheet)),
        frozen=frozen_at(sheet),
        folded=frozenset(_folded(sheet)),
        folded_rows=frozenset(_folded_rows(sheet)),
        printed=areas_printed(sheet),
    )
    title = title_of(sheet)
    for (row, number), cell in sorted(cells_by_place(sheet).items()):
        value, is_formula = cell.value, cell.data_type == "f"
        if is_formula and (title, row, number) in typed_formulas:
            value, is_formula = values.get(cell.coordinate), False
        column = result.columns.get(number)
        if column is None:
            column = result.columns[number] = ColumnCopy(row)
        if is_formula:
            content: Content = rules.of(formula_text(value), row, number)
        else:
            content = content_of(value, False)
        column.put(row, content, looks.of(cell))
    return result


def _folded(sheet: Worksheet) -> Iterator[int]:
    for letter, size in sheet.column_dimensions.items():
        if size.outlineLevel and size.hidden:
            yield column_index_from_string(letter)


def _folded_rows(sheet: Worksheet) -> Iterator[int]:
    return (row for row, size in sheet.row_dimensions.items() if size.outlineLevel and size.hidden)


def _widths(sheet: Worksheet) -> Iterator[tuple[int, float]]:
    for letter, size in sheet.column_dimensions.items():
        if size.width and size.customWidth:
            yield column_index_from_string(letter), size.width
