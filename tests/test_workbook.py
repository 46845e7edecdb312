"""Whole workbooks: every formula cell recalculated, every sheet there, one rule a column."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from notchbook.commands.compile import compile_shop

from .engines import (
    ERRORS,
    agree,
    formula_values,
    formulas,
    recalculated_by_formualizer,
    recalculated_by_libreoffice,
)
from .examples import AS_OF, INCH, SHOPS, priced, workbook
from .searching import seldom
from .workbook_lint import HIDDEN, lint

SHEETS = [
    *("Start", "Settings", "Ideas", "Stock", "Projects", "Seen prices", "Cut list"),
    "Laid surfaces",
    *("Material takeoff", "Consumables", "Work steps", "Pricing tiers"),
    *("Next batches", "Sales ledger"),
    *(
        "Purchases",
        "Production log",
        "Selling days",
        "Mileage",
        "Counts",
        "Money",
        "Statements",
        "Tool depreciation",
    ),
    *(
        "Year-end",
        "Months and channels",
        "Results",
        "Checks",
        "Cut plan",
        "Offcuts",
        "Yield",
        "Marks",
        "Stock used",
        "Tax tables",
    ),
]
ENGINES = {"calc": recalculated_by_libreoffice, "second": recalculated_by_formualizer}


@pytest.mark.parametrize(
    ("shop", "engine"),
    [
        ("inch", "calc"),
        pytest.param("inch", "second", marks=pytest.mark.deep),
        *(pytest.param("metric", engine, marks=pytest.mark.deep) for engine in ENGINES),
    ],
)
def test_every_formula_cell_equals_its_stored_value(shop: str, engine: str) -> None:
    """Recalculated from scratch, each formula gives the value that the file stores."""
    path = workbook(shop)
    stored = formula_values(path, path)
    found = ENGINES[engine](path)
    wrong = {
        place: (formulas(path)[place], value, found[place])
        for place, value in stored.items()
        if not agree(value, found[place])
    }

    assert len(stored) > 1_500
    assert not wrong, f"{len(wrong)} of {len(stored)} differ, e.g. {list(wrong.items())[:5]}"


@pytest.mark.parametrize("shop", SHOPS)
def test_no_error_values(shop: str) -> None:
    """No cell of any sheet shows an error."""
    book = load_workbook(workbook(shop), data_only=True)
    cells = (cell for ws in book.worksheets for row in ws.iter_rows() for cell in row)

    assert [cell.coordinate for cell in cells if str(cell.value) in ERRORS] == []


@pytest.mark.deep
@pytest.mark.parametrize("shop", SHOPS)
def test_lint_finds_nothing(shop: str) -> None:
    """The lint that finds planted defects finds none here."""
    assert lint(workbook(shop)) == []


@pytest.mark.deep
@pytest.mark.parametrize("shop", SHOPS)
def test_audit_finds_its_known_false_alarms_only(shop: str) -> None:
    """The file audit has two false alarms on what openpyxl writes, and says nothing else."""
    from openxml_audit import OpenXmlValidator

    errors = OpenXmlValidator().validate(str(workbook(shop))).errors

    assert [str(error) for error in errors if not known_false_alarm(error)] == []


def known_false_alarm(error: Any) -> bool:
    """Font children in openpyxl's order, which Excel reads; text kept in its cell."""
    in_fonts = error.part_uri == "/xl/styles.xml" and "/fonts[" in error.path
    return bool(in_fonts or error.id == "Excel_InlineStrCells")


@pytest.mark.parametrize("shop", ["inch", *seldom("metric")])
def test_sheets_in_their_order(shop: str) -> None:
    """All sheets are there, in the order that is fixed, then one shop sheet a project."""
    names = load_workbook(workbook(shop)).sheetnames

    assert names == [*SHEETS, *priced(shop).definitions.projects, HIDDEN]


@pytest.mark.parametrize("shop", SHOPS)
def test_one_rule_a_column(shop: str) -> None:
    """In every table each worked-out column holds one formula for all its rows."""
    book = load_workbook(workbook(shop))
    columns = 0
    for ws in book.worksheets:
        for table in ws.tables.values():
            rows = list(ws[table.ref])
            for cells in zip(*rows[1:], strict=True):
                shapes = {shape(cell) for cell in cells}
                assert len(shapes) == 1, (ws.title, cells[0].coordinate, shapes)
                columns += shapes != {"given"}

    tables = priced(shop).book.tables.values()
    assert columns == sum(
        1 for table in tables if not table.split for column in table.columns if column.rule
    )


def shape(cell: Any) -> str:
    """A formula without its row number; `given` for what is no formula."""
    if cell.data_type != "f":
        return "given"
    return re.sub(rf"(\$[A-Z]+){cell.row}\b", r"\1{row}", cell.value)


def test_ready_rows() -> None:
    """Sales and purchases have 300 rows ready, the other ledgers 100, and they stay silent."""
    book = load_workbook(workbook("inch"), data_only=True)
    frames = priced("inch").filled.tables
    for name, least in (
        ("Sales ledger", 300),
        ("Purchases", 300),
        ("Production log", 100),
        ("Mileage", 100),
        ("Counts", 100),
        ("Statements", 100),
    ):
        table, *_ = book[name].tables.values()
        rows = list(book[name][table.ref])[1:]
        blank = rows[len(frames[name]) :]
        assert len(rows) >= least
        assert {cell.value for row in blank for cell in row} <= {None, 0, ""}


def test_compiles_to_the_same_bytes(tmp_path: Path) -> None:
    """The same definitions give the same file, byte for byte."""
    again = tmp_path / "again.xlsx"
    compile_shop(INCH, again, AS_OF)

    assert again.read_bytes() == workbook("inch").read_bytes()


def test_stored_values_serve_readers_that_do_not_calculate() -> None:
    """A reader that calculates nothing sees the numbers."""
    import pandas as pd

    found = pd.read_excel(workbook("inch"), sheet_name="Projects", header=5)
    expected = priced("inch").filled.tables["Projects"]

    assert found["unit cost"].head(len(expected)).tolist() == pytest.approx(
        expected["unit_cost"].tolist()
    )
