"""The lint finds nothing in a workbook as written, and finds each defect that is planted."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table, TableFormula

from notchbook.language.expressions import Expression, this, when
from notchbook.language.value_kinds import Kind

from . import small_book as small
from .workbook_lint import lint

RULES: list[tuple[Expression, Kind]] = [
    (this("n") + this("m"), Kind.NUMBER),
    (when(this("n") > 0, this("word"), ""), Kind.TEXT),
]


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    """A workbook as it is written."""
    path = tmp_path / "good.xlsx"
    small.write_small(RULES, path)
    return path


def test_nothing_is_found_in_what_is_written(workbook: Path) -> None:
    """The writer gives the lint nothing to say."""
    assert lint(workbook) == []


def _set(sheet: str, cell: str, value: Any) -> Callable[[Any], None]:
    def plant(book: Any) -> None:
        book[sheet][cell] = value

    return plant


def _name(name: str, target: str) -> Callable[[Any], None]:
    def plant(book: Any) -> None:
        book.defined_names[name] = DefinedName(name, attr_text=target)

    return plant


def _validation(**options: Any) -> Callable[[Any], None]:
    def plant(book: Any) -> None:
        rule = DataValidation(**{"type": "list", "showErrorMessage": True} | options)
        rule.add("A7")
        book["Asked"].add_data_validation(rule)

    return plant


def _table(**options: Any) -> Callable[[Any], None]:
    def plant(book: Any) -> None:
        for name, value in options.items():
            setattr(book["Asked"].tables["Asked"], name, value)

    return plant


def _more_tables(name: str, area: str) -> Callable[[Any], None]:
    def plant(book: Any) -> None:
        table = Table(displayName=name, ref=area)
        book["Asked"]._tables[name] = table
        table._initialise_columns()
        for column, cell in zip(table.tableColumns, book["Asked"][area][0], strict=True):
            column.name = str(cell.value)

    return plant


def _calculated(book: Any) -> None:
    column = book["Asked"].tables["Asked"].tableColumns[6]
    column.calculatedColumnFormula = TableFormula(attr_text="1")


def _condition(book: Any) -> None:
    for area in book["Asked"].conditional_formatting:
        area.rules[0].formula = ["=A1"]


def _style(cell: str, **parts: Any) -> Callable[[Any], None]:
    def plant(book: Any) -> None:
        for name, value in parts.items():
            setattr(book["Asked"][cell], name, value)

    return plant


def _font_without_name(book: Any) -> None:
    from openpyxl.styles import Font

    book["Asked"]["A8"].font = Font(bold=True)


def _footer(book: Any) -> None:
    book["Asked"].oddFooter.left.text = "x" * 300


def _header(text: Any) -> Callable[[Any], None]:
    def plant(book: Any) -> None:
        book["Asked"]["B6"] = text
        book["Asked"].tables["Asked"].tableColumns[1].name = str(text)

    return plant


PLANTED: dict[str, tuple[str, Callable[[Any], None]]] = {
    "constant in a formula": ("number in a formula", _set("Asked", "G8", "=$B8+0.07")),
    "twelve in a formula": ("number in a formula", _set("Asked", "G8", "=$B8*13")),
    "digits outside ROUND": ("number in a formula", _set("Asked", "G8", "=MAX($B8,6)")),
    "another rule": ("two rules in a column", _set("Asked", "G9", "=$B9-$C9")),
    "typed over": ("two rules in a column", _set("Asked", "G9", 12)),
    "wrong row": ("two rules in a column", _set("Asked", "G9", "=$B8+$C9")),
    "volatile": ("volatile", _set("Asked", "J20", "=TODAY()")),
    "indirect": ("volatile", _set("Asked", "J20", '=INDIRECT("A1")')),
    "unknown function": ("function", _set("Asked", "J20", "=XLOOKUP(A1,A2,A3)")),
    "function without its prefix": ("function", _set("Asked", "J20", "=MAXIFS(A1:A2,B1:B2,1)")),
    "structured reference": ("structured reference", _set("Asked", "J20", "=SUM(Asked[n])")),
    "this row": ("structured reference", _set("Asked", "J20", "=Asked[[#This Row],[n]]")),
    "missing sheet": ("missing sheet", _set("Asked", "J20", "=Nowhere!A1")),
    "whole column": ("reference", _set("Asked", "J20", "=SUM(B:B)")),
    "error in a formula": ("error in a formula", _set("Asked", "J20", "=#REF!+1")),
    "long literal": ("text in a formula", _set("Asked", "J20", '="' + "x" * 300 + '"')),
    "long formula": ("formula too long", _set("Asked", "J20", "=" + "+".join(["A1"] * 3000))),
    "error value": ("error value", _set("Asked", "B7", "#DIV/0!")),
    "long text": ("text too long", _set("Asked", "J20", "x" * 32_500)),
    "header not its cell": ("header is not its cell", _set("Asked", "B6", "other")),
    "numeric header": ("header is not its cell", _header(5)),
    "bracket in a header": ("header letters", _header("n [in]")),
    "line break in a header": ("header letters", _header("n\nin")),
    "header twice": ("header twice", _header("KEY")),
    "table like a cell": ("table name", _table(displayName="AB12")),
    "table with a space": ("table name", _table(displayName="R1C1")),
    "totals row": ("totals row", _table(totalsRowCount=1)),
    "tables overlap": ("tables overlap", _more_tables("Other", "A6:B9")),
    "table without rows": ("table without rows", _table(ref="A6:H6")),
    "calculated column": ("calculated column", _calculated),
    "merged": ("merged cells", lambda book: book["Asked"].merge_cells("J20:K21")),
    "sheet filter": (
        "sheet filter",
        lambda book: setattr(book["Asked"].auto_filter, "ref", "A6:B9"),
    ),
    "name like a cell": ("defined name", _name("AB12", "Asked!$A$1")),
    "name with a space": ("defined name", _name("two words", "Asked!$A$1")),
    "name of a table": ("name is a table", _name("asked", "Asked!$A$1")),
    "name to nowhere": ("name points nowhere", _name("nowhere", "Gone!$A$1")),
    "broken name": ("name points nowhere", _name("broken", "#REF!$A$1")),
    "list by address": ("list source", _validation(formula1="$A$1:$A$5")),
    "list by an unknown name": ("list source", _validation(formula1="Unknown")),
    "long list": ("list too long", _validation(formula1='"' + "a," * 200 + '"')),
    "list with equals": ("validation formula", _validation(formula1="=Names")),
    "not enforced": (
        "validation not enforced",
        _validation(formula1='"a,b"', showErrorMessage=False),
    ),
    "long message": ("validation message", _validation(formula1='"a,b"', error="x" * 300)),
    "long title": ("validation title", _validation(formula1='"a,b"', errorTitle="x" * 40)),
    "condition with equals": ("condition formula", _condition),
    "hidden sheet": ("hidden sheet", lambda book: setattr(book["Asked"], "sheet_state", "hidden")),
    "hidden column": (
        "hidden column",
        lambda book: setattr(book["Asked"].column_dimensions["B"], "hidden", True),
    ),
    "font without a name": ("font without a name", _font_without_name),
    "long footer": ("footer too long", _footer),
    "long sheet name": (
        "sheet name",
        lambda book: setattr(book["Asked"], "_WorkbookChild__title", "x" * 40),
    ),
}


@pytest.mark.filterwarnings("ignore:Title is more than 31")  # the defect is planted on purpose
@pytest.mark.parametrize("defect", PLANTED)
def test_finds_what_is_planted(workbook: Path, tmp_path: Path, defect: str) -> None:
    """Each defect is named by its rule."""
    rule, plant = PLANTED[defect]
    book = load_workbook(workbook)
    plant(book)
    planted = tmp_path / "planted.xlsx"
    book.save(planted)

    assert rule in {found for found, _ in lint(planted)}


def test_finds_a_formula_without_its_value(workbook: Path, tmp_path: Path) -> None:
    """A formula that carries no value shows as nothing in previews and on phones."""
    planted = tmp_path / "planted.xlsx"
    with zipfile.ZipFile(workbook) as old, zipfile.ZipFile(planted, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                text = data.decode("utf-8")
                data = re.sub(r'(<c r="G8".*?</f>)<v>.*?</v>', r"\1<v></v>", text).encode("utf-8")
            new.writestr(name, data)

    assert ("no stored value", "Asked!G8") in lint(planted)
