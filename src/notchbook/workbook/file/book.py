"""Workbooks and their sheets, typed where openpyxl's stubs say too little or what is not so.

The stubs let a workbook hand out charts and streams for sheets, keep names in a list, and know no
print area. What they know well is used from them directly.
"""

from __future__ import annotations

from collections.abc import MutableMapping
from typing import Any, Protocol

from openpyxl.packaging.core import DocumentProperties
from openpyxl.workbook import Workbook
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet


def sheet_named(workbook: Workbook, title: str) -> Worksheet:
    """Return a sheet of cells by its title."""
    sheet: Any = workbook[title]
    found: Worksheet = sheet
    return found


def sheets_of(workbook: Workbook) -> list[Worksheet]:
    """Return the sheets of cells in their order."""
    sheets: Any = workbook.worksheets
    found: list[Worksheet] = sheets
    return found


def add_sheet(workbook: Workbook, title: str, at: int | None = None) -> Worksheet:
    """Add a sheet, as the last or before the one that stands there."""
    sheet: Any = workbook.create_sheet(title, at)
    made: Worksheet = sheet
    return made


def title_of(sheet: Worksheet) -> str:
    """Return the title of a sheet."""
    return str(sheet.title)


def names_of(owner: Workbook | Worksheet) -> MutableMapping[str, DefinedName]:
    """Return the defined names of a workbook or of a sheet, by name."""
    raw: Any = owner
    names = raw.defined_names
    found: MutableMapping[str, DefinedName] = names
    return found


class PrintedPage(Protocol):
    """What of a sheet is printed."""

    print_area: str | None
    print_title_rows: str | None
    print_title_cols: str | None


def printed_page(sheet: Worksheet) -> PrintedPage:
    """Return a sheet as that which is printed."""
    page: Any = sheet
    printed: PrintedPage = page
    return printed


def areas_printed(sheet: Worksheet) -> str:
    """Return the areas of a sheet that are printed, with blanks between; blank where all is."""
    areas = (printed_page(sheet).print_area or "").replace("$", "").split(",")
    return " ".join(each.rpartition("!")[2] for each in areas)


def properties_of(workbook: Workbook) -> DocumentProperties:
    """Return what a workbook says of itself: its title, creator, category, days."""
    raw: Any = workbook
    properties: DocumentProperties = raw.properties
    return properties


def open_on_first_visible(workbook: Workbook) -> None:
    """Let programs calculate when they open the workbook, and show its first visible sheet."""
    raw: Any = workbook
    raw.calculation.fullCalcOnLoad = True
    sheets = enumerate(sheets_of(workbook))  # the maker may have hidden the first
    raw.active = next((n for n, each in sheets if each.sheet_state == "visible"), 0)
