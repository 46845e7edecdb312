"""Sheets written by us: what openpyxl would have written, with the values of formulas."""

from __future__ import annotations

import io
from datetime import date, datetime, time, timedelta
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.styles import Font
from openpyxl.worksheet.formula import ArrayFormula, DataTableFormula
from openpyxl.worksheet.hyperlink import Hyperlink

from notchbook.workbook.file.book import add_sheet, properties_of, sheets_of
from notchbook.workbook.file.cell_data import UnstampedError
from notchbook.workbook.file.raw_cells import cell_at, cells_by_place
from notchbook.workbook.file.saving import packed

VALUES: tuple[object, ...] = (
    1,
    -2.5,
    1e-9,
    12345678901234567,
    True,
    False,
    " two  spaces ",
    "a < b & \"c\" > 'd'",
    "first\nsecond\tthird",
    "Café Ω",
    date(2026, 3, 14),
    datetime(2026, 3, 14, 15, 9, 26),
    time(12, 30),
    timedelta(hours=30),
    "#N/A",
    "=1+2",
    '=IF(1<2,"a & b","")',
    ArrayFormula("B3:B4", "=A1:A2*2"),
    DataTableFormula(ref="B5:B6", r1="A1", dt2D=False),
    CellRichText("plain ", TextBlock(InlineFont(b=True), "bold")),
)


def all_sorts() -> Workbook:
    """A workbook with a cell of every kind, notes, links, joined cells and set rows."""
    book = Workbook()
    properties = properties_of(book)
    properties.created = properties.modified = datetime(2026, 1, 1)
    sheet = sheets_of(book)[0]
    for row, value in enumerate(VALUES, 1):
        cell_at(sheet, row, 2).value = value
    cell_at(sheet, 2, 4).font = Font(bold=True)
    cell_at(sheet, 3, 4).comment = Comment("on a bare cell", "somebody")
    linked = cell_at(sheet, 4, 30)
    linked.value, linked.hyperlink = "there", Hyperlink("AD4", location="Sheet!A1")
    sheet.merge_cells("F1:G2")
    sheet.row_dimensions[50].height = 40
    sheet.row_dimensions[2].hidden = True
    return book


def read(data: bytes) -> dict[tuple[int, int], tuple[object, ...]]:
    """What openpyxl finds in each cell of the first sheet."""
    load: Any = load_workbook  # the stubs know no rich text
    sheet = sheets_of(load(io.BytesIO(data), rich_text=True))[0]
    found: dict[tuple[int, int], tuple[object, ...]] = {
        (row, 0): (size.height, size.hidden) for row, size in sheet.row_dimensions.items()
    }
    for place, cell in cells_by_place(sheet).items():
        value = cell.value
        if isinstance(value, ArrayFormula | DataTableFormula):
            value = dict(value) | {"text": getattr(value, "text", None)}
        note, link = cell.comment, cell.hyperlink
        found[place] = (
            repr(value) if isinstance(value, CellRichText) else value,
            cell.data_type,
            cell.has_style and cell.font == Font(bold=True),
            note.text if note is not None else None,
            link.location if link is not None else None,
        )
    return found


def test_writes_what_openpyxl_writes() -> None:
    """Each kind of cell comes back as from a file that openpyxl wrote by itself."""
    theirs = io.BytesIO()
    all_sorts().save(theirs)
    found = read(packed(all_sorts(), {}))

    assert len(found) > len(VALUES)
    assert found == read(theirs.getvalue())


def test_stores_values_beside_formulas() -> None:
    """Numbers and words are stored; None leaves a formula to the spreadsheet program."""
    book = Workbook()
    sheet = sheets_of(book)[0]
    for row in (1, 2, 3):
        cell_at(sheet, row, 1).value = "=B1"
    data = packed(book, {str(sheet.title): {"A1": 2.0, "A2": "a & <b>", "A3": None}})
    read_back = sheets_of(load_workbook(io.BytesIO(data), data_only=True))[0]

    assert [cell_at(read_back, row, 1).value for row in (1, 2, 3)] == [2, "a & <b>", None]


@pytest.mark.parametrize("stamps", [{}, {"A1": float("nan")}, {"A1": float("inf")}])
def test_refuses_a_formula_without_value(stamps: dict[str, float]) -> None:
    """A formula of ours without a value is a fault of ours, and names its cell."""
    book = Workbook()
    book.remove(book.active)
    cell_at(add_sheet(book, "Sums"), 1, 1).value = "=1/0"

    with pytest.raises(UnstampedError, match="Sums!A1"):
        packed(book, {"Sums": stamps})


def test_equal_workbooks_are_equal_files() -> None:
    """The clock is not in a file."""
    first, second = packed(all_sorts(), {}), packed(all_sorts(), {})

    assert first == second
