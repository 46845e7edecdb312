"""Independent engines that recalculate a workbook: LibreOffice Calc and formualizer.

Two of them, so that no habit of one program passes for a rule.
"""

from __future__ import annotations

import re
import tempfile
import zipfile
from datetime import datetime, time
from functools import cache
from pathlib import Path
from typing import Any

import formualizer
from openpyxl import load_workbook

from .office import convert, libreoffice

_STORED = re.compile(r"(<c r=\"[A-Z]+\d+\"[^>]*?)( t=\"str\")?(><f>.*?</f>)<v>.*?</v>")
ERRORS = {"#REF!", "#NAME?", "#VALUE!", "#DIV/0!", "#N/A", "#NUM!", "#NULL!"}
Cells = dict[tuple[str, str], Any]


def without_values(source: Path, target: Path) -> None:
    """The same workbook without stored values, so that an engine has to calculate them."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name.startswith("xl/worksheets/sheet"):
                data = _STORED.sub(r"\1\3<v></v>", data.decode("utf-8")).encode("utf-8")
            new.writestr(name, data)


def recalculated_by_libreoffice(workbook: Path) -> Cells:
    """Every formula cell's value as LibreOffice calculates it from scratch."""
    libreoffice()
    with tempfile.TemporaryDirectory() as folder:
        bare = Path(folder) / "bare.xlsx"
        without_values(workbook, bare)
        return formula_values(workbook, convert(bare, Path(folder) / "out.xlsx"))


def recalculated_by_formualizer(workbook: Path) -> Cells:
    """Every formula cell's value as the second engine calculates it.

    It takes no table of more than 32 columns; as formulas here use plain cells, it gets the
    workbook without the tables around them.
    """
    with tempfile.TemporaryDirectory() as folder:
        bare, result = Path(folder) / "bare.xlsx", Path(folder) / "second.xlsx"
        book = load_workbook(workbook)
        for sheet in book.worksheets:
            sheet.tables.clear()
        book.save(bare)
        told = formualizer.recalculate_xlsx_file(str(bare), str(result))
        assert not told.get("unknown_functions"), told
        return formula_values(workbook, result)


def formula_values(workbook: Path, values_from: Path) -> Cells:
    """The stored values in one file of the cells that hold formulas in another."""
    values = load_workbook(values_from, data_only=True)
    return {place: values[place[0]][place[1]].value for place in formulas(workbook)}


@cache
def formulas(workbook: Path) -> dict[tuple[str, str], str]:
    """Every formula of a workbook by sheet and address."""
    book = load_workbook(workbook)
    return {
        (str(sheet.title), cell.coordinate): str(cell.value)
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


def serial(value: Any) -> Any:
    """Dates as day numbers, blanks and empty text alike, numbers as floats."""
    if isinstance(value, time):
        return 0.0  # day 0, which a date format hides
    if isinstance(value, datetime):
        return float((value - datetime(1899, 12, 30)).days)
    if value is None:
        return ""
    return float(value) if isinstance(value, int | float) else value


def agree(left: Any, right: Any) -> bool:
    """Equal text, or numbers within 1e-9 of each other relative to their size."""
    left, right = serial(left), serial(right)
    if isinstance(left, str) or isinstance(right, str):
        return bool(left == right)
    return bool(abs(left - right) <= 1e-9 * max(1.0, abs(left), abs(right)))
