"""Cells and their styles as openpyxl keeps them, in private names that no other module touches.

Its public ways cost too much or say too little: to look at a place makes a cell of it, to set one
property of a look adds a style for every cell, and the default letters cannot be set at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from typing import Any, Protocol

from openpyxl.comments import Comment
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection
from openpyxl.utils.indexed_list import IndexedList
from openpyxl.workbook import Workbook
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet


class Style(Protocol):
    """The numbers of a look in the workbook's lists of fonts, fills and the like."""


class Styled(Protocol):
    """What has a look: a cell, or a whole row or column."""

    has_style: bool
    font: Font
    fill: PatternFill
    border: Border
    alignment: Alignment
    protection: Protection
    number_format: str


class Cell(Styled, Protocol):
    """A cell as this package uses it; the stubs know neither its note, its link nor its blank."""

    row: int
    column: int
    coordinate: str
    value: object
    data_type: str
    comment: Comment | None
    hyperlink: Hyperlink | None
    parent: Worksheet


def cells_by_place(sheet: Worksheet) -> Mapping[tuple[int, int], Cell]:
    """Return the cells that a sheet has, by row and column; looking makes no new ones."""
    return sheet._cells


def cell_at(sheet: Worksheet, row: int, column: int) -> Cell:
    """Return the cell of a place; make it where there is none."""
    cell: Any = sheet.cell(row=row, column=column)  # of a merged one the stubs know no note
    found: Cell = cell
    return found


def title_of(sheet: Worksheet) -> str:
    """Return what a sheet is called."""
    return str(sheet.title)


def sheet_of(cell: Cell) -> str:
    """Return what the sheet of a cell is called."""
    return str(cell.parent.title)


def style_of(cell: Styled) -> Style:
    """Return the style of a cell, to be shared with others."""
    raw: Any = cell
    style: Style = raw._style
    return style


def share_style(style: Style, cell: Styled) -> None:
    """Give a cell a style that others have too; `own_style` before one property is set."""
    raw: Any = cell
    raw._style = style


def own_style(cell: Styled) -> None:
    """Part a cell from the others that share its style, so that a property can be set."""
    raw: Any = cell
    raw._style = copy(raw._style)


def style_key(cell: Styled) -> bytes:
    """Return what is equal for two cells of a workbook that look alike."""
    raw: Any = cell
    return bytes(raw._style or b"")


def style_id(cell: Cell) -> int:
    """Return the number of a cell's style in the workbook, into whose list it is put."""
    raw: Any = cell
    number: int = raw.style_id
    return number


def set_default_font(workbook: Workbook, font: Font) -> None:
    """Set the letters of cells without a style, whose widest digit is the unit of widths."""
    raw: Any = workbook
    raw._fonts = IndexedList([font])
    raw._named_styles["Normal"].font = font
