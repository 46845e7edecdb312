"""Reading back: what stands in a workbook's cells is what was written, or typed there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from math import isnan
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from notchbook.language.value_kinds import Kind
from notchbook.merging.cells import Value, same
from notchbook.sheets.kit.calculate import calculate, frame
from notchbook.sheets.kit.columns import Column, Role
from notchbook.sheets.kit.declare import Table
from notchbook.sheets.kit.show import DATE, LENGTH, MONEY, PERCENT, TEXT, Look
from notchbook.shop.pipeline import describe_subject
from notchbook.workbook.read.typed import TypedBook, read_typed
from notchbook.workbook.read.understand import NotUnderstoodError, understand
from notchbook.workbook.write.compose import compose

from .calc import type_and_save
from .desk import few_blank_rows
from .examples import priced, workbook
from .searching import examples, seldom

Rows = list[dict[str, Value]]
_SIGNS = "abc XYZ éß 12 =+-'\"&<>;,.#@"
_TEXTS = st.text(st.sampled_from(_SIGNS), min_size=1, max_size=12).map(str.strip).filter(bool)
_CELLS: Mapping[Kind, Any] = {
    Kind.TEXT: _TEXTS,
    Kind.NUMBER: st.one_of(
        st.integers(-1000, 1000).map(float),
        # nothing so near to 0 that a rule divides by it past what a number can be
        st.floats(-1e6, 1e6).map(lambda number: round(number, 9)),
    ),
    Kind.DATE: st.integers(0, 70_000).map(lambda n: date(1905, 1, 1) + timedelta(days=n)),
}


def read(path: Path, shop: str = "inch") -> TypedBook:
    return read_typed(path.read_bytes(), priced(shop).book, priced(shop).definitions.settings.units)


def given_of(table: Table) -> list[Column]:
    return [each for each in table.columns if each.role is Role.GIVEN]


def rows_of(table: Table) -> Any:
    """Rows of a table with any cells at all, blank ones between them; the last is not blank."""
    cells = {each.name: st.one_of(st.none(), _CELLS[each.look.kind]) for each in given_of(table)}
    first = given_of(table)[0]
    last = st.fixed_dictionaries({**cells, first.name: _CELLS[first.look.kind]})
    blank = st.just(dict.fromkeys(cells))
    rows = st.lists(st.one_of(st.fixed_dictionaries(cells), blank), max_size=8)
    return st.tuples(rows, last).map(lambda both: [*both[0], both[1]])


@cache
def given_tables() -> list[Table]:
    return [table for table in priced("inch").book.tables.values() if table.row is not None]


def written(rows: Mapping[str, Rows]) -> bytes:
    """The inch example with other given rows in its tables."""
    shop = priced("inch")
    tables = {name: each.copy() for name, each in shop.filled.tables.items()}
    filled = replace(shop.filled, tables=tables, lines=dict(shop.filled.lines))
    for name, its in rows.items():
        filled.tables[name] = frame(shop.book.tables[name], its)
    calculate(shop.book, filled, shop.units)
    with few_blank_rows():
        return compose(shop.book, filled, shop.units, describe_subject(shop.definitions))


def assert_rows(found: TypedBook, expected: Mapping[str, Rows]) -> None:
    strays = [each for table in found.tables.values() for each in table.stray.values()]
    assert [each.address for each in (*strays, *found.line_strays.values())] == []
    for name, rows in expected.items():
        table = found.tables[name]
        assert len(table.rows) == len(rows), name
        for n, row in enumerate(rows):
            for column, value in row.items():
                assert same(table.rows[n][column], value), (name, n, column)


ALL_ROWS = st.fixed_dictionaries({table.name: rows_of(table) for table in given_tables()})


@examples(3)
@given(ALL_ROWS)
@pytest.mark.deep
def test_rows_written_are_rows_read(rows: Mapping[str, Rows]) -> None:
    """Whatever stands in the given cells of all tables comes back from the file."""
    data = written(rows)
    book = priced("inch").book
    assert_rows(read_typed(data, book, "inch"), rows)


@pytest.mark.deep
def test_rows_written_are_rows_read_after_libreoffice_saved_them(tmp_path: Path) -> None:
    """So it is after a person opened the file in LibreOffice and saved it."""
    rows: dict[str, Rows] = {}

    @settings(max_examples=1, database=None, derandomize=True, deadline=None)
    @given(ALL_ROWS)
    def choose(found: Mapping[str, Rows]) -> None:
        rows.update(found)

    choose()
    for table in given_tables():
        rows[table.name] += [_full(table, n) for n in range(5)]
    path, saved = tmp_path / "written.xlsx", tmp_path / "saved.xlsx"
    path.write_bytes(written(rows))
    type_and_save(path, saved, {})

    assert_rows(read(saved), rows)


def _full(table: Table, n: int) -> dict[str, Value]:
    values: dict[Kind, Value] = {
        Kind.TEXT: f"Ω {n} =a & 'b' <c>",
        Kind.NUMBER: n + 1 / 3,
        Kind.DATE: date(2026, 1, 1 + n),
    }
    return {each.name: values[each.look.kind] for each in given_of(table)}


@pytest.mark.parametrize("shop", ["metric", *seldom("inch")])
def test_all_given_cells_of_the_examples_come_back(shop: str) -> None:
    """Tables and settings of both examples, as their files state them."""
    found, shown = read(workbook(shop), shop), priced(shop)
    frames = shown.filled.tables
    count = 0
    for name, table in found.tables.items():
        assert len(table.rows) == len(frames[name]), name
        for column in given_of(table.table):
            for row, meant in zip(table.rows, frames[name][column.name], strict=True):
                value = row[column.name]
                if value is None:
                    assert meant == "" or isnan(meant)
                else:
                    count += 1
                    assert isinstance(value, date) or same(value, meant)

    assert count > 1_000
    assert found.lines["Settings"]["shop"] == shown.definitions.settings.shop
    assert found.lines["Settings"]["as_of"] == shown.definitions.settings.as_of


@pytest.mark.deep
def test_a_workbook_pushed_about(tmp_path: Path) -> None:
    """Sheets renamed, rows and columns put in, headers retyped: the anchors find everything."""
    moved = tmp_path / "moved.xlsx"
    edits = """
b.Sheets.getByName("Stock").Rows.insertByIndex(2, 3)
b.Sheets.getByName("Stock").Columns.insertByIndex(2, 2)
b.Sheets.getByName("Stock").getCellRangeByName("A9").String = "wares"
b.Sheets.getByName("Sales ledger").Columns.insertByIndex(0, 1)
b.Sheets.getByName("Sales ledger").Name = "My sales"
b.Sheets.moveByName("Settings", 12)
b.Sheets.getByName("Settings").Rows.insertByIndex(8, 1)
"""
    type_and_save(workbook("inch"), moved, {}, edits)
    before, found = read(workbook("inch")), read(moved)

    assert found.tables["Sales ledger"].sheet == "My sales"
    columns = {name: at + 2 for name, at in before.tables["Stock"].columns.items() if at > 2}
    assert columns.items() <= found.tables["Stock"].columns.items()
    for name, table in before.tables.items():
        there = found.tables[name]
        rows = [row for n, row in enumerate(there.rows) if not there.is_blank(n)]
        assert rows == table.rows, name
    assert found.lines == before.lines


@pytest.mark.deep
def test_lost_anchors_are_found_by_their_headers(tmp_path: Path) -> None:
    """A defined name that was deleted does not lose its column; a deleted column is told."""
    book: Any = load_workbook(workbook("inch"))
    del book.defined_names["nb_Stock_price"]
    del book.defined_names["nb_Stock_vendor"]
    sheet = book["Stock"]
    head = next(cell for cell in sheet[6] if cell.value == "vendor")
    head.value = "who"
    path = tmp_path / "lost.xlsx"
    book.save(path)
    found, before = read(path).tables["Stock"], read(workbook("inch")).tables["Stock"]

    assert [row["price"] for row in found.rows] == [row["price"] for row in before.rows]
    assert [column.name for column in found.lost] == ["vendor"]


UNDERSTOOD: tuple[tuple[object, Look, Value], ...] = (
    ("2026-03-14", DATE, date(2026, 3, 14)),
    ("2026/3/14", DATE, date(2026, 3, 14)),
    ("14.03.2026", DATE, date(2026, 3, 14)),
    ("3/14/2026", DATE, date(2026, 3, 14)),
    ("14 Mar 2026", DATE, date(2026, 3, 14)),
    ("March 14, 2026", DATE, date(2026, 3, 14)),
    ("Sat, 14 March 2026", DATE, date(2026, 3, 14)),
    ("04/04/2026", DATE, date(2026, 4, 4)),
    (20260314, DATE, date(2026, 3, 14)),
    (46095, DATE, date(2026, 3, 14)),
    ("2026-03-14 10:30:00", DATE, date(2026, 3, 14)),
    ("4.15 ", MONEY, 4.15),
    ("4,15", MONEY, 4.15),
    ("$1,234.50", MONEY, 1234.5),
    ("1.234,50 €", MONEY, 1234.5),
    ("-1 234 567,5", MONEY, -1234567.5),
    ("2,000,000", MONEY, 2_000_000),
    ("45%", PERCENT, 0.45),
    ("7,5 %", PERCENT, 0.075),
    ("14 3/8", LENGTH, 14.375),
    ("5' 3 1/4\"", LENGTH, 63.25),
    (101, TEXT, "101"),
    (2.5, TEXT, "2.5"),
    (True, TEXT, "TRUE"),
    ("  ", MONEY, None),
)


@pytest.mark.parametrize(("raw", "look", "value"), UNDERSTOOD)
def test_what_can_only_mean_one_thing_is_understood(raw: object, look: Look, value: Value) -> None:
    """Days and numbers typed as text, numbers typed as words."""
    assert same(understand(raw, look, "inch"), value)


@pytest.mark.parametrize(
    ("raw", "look"),
    [
        ("03/04/2026", DATE),
        ("last week", DATE),
        ("2026-02-30", DATE),
        ("14 Foo 2026", DATE),
        (12, DATE),
        (True, MONEY),
        ("4,150", MONEY),
        ("14,375", LENGTH),
        ("about 5", MONEY),
        ("45%", MONEY),
        ("long - 2", LENGTH),
    ],
)
def test_what_could_mean_two_things_is_not_guessed(raw: object, look: Look) -> None:
    """It is reported, and stays where it is."""
    with pytest.raises(NotUnderstoodError):
        understand(raw, look, "inch")
