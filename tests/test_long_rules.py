"""Rules that would be too long are written in steps, and come to the same."""

from __future__ import annotations

import re
import zipfile
from datetime import date
from html import unescape

import numpy as np
import pytest

from notchbook.language.evaluate import Values, evaluate
from notchbook.measure import CONVERSIONS
from notchbook.sheets.kit.steps import LONGEST, in_steps

from . import examples
from .every_book import BOOKS
from .test_planted_faults import books, clean, put

READABLE = 900
"""Letters that a person can still read in the line above a sheet."""


@pytest.mark.parametrize("shop", ["inch", "metric"])
def test_no_formula_is_longer_than_a_person_can_read(shop: str) -> None:
    lengths = {}
    with zipfile.ZipFile(examples.workbook(shop)) as package:
        for name in package.namelist():
            if name.startswith("xl/worksheets/sheet"):
                text = package.read(name).decode("utf-8")
                found = re.findall(r"<f[^>]*>([^<]*)</f>", text)
                lengths[name] = max((len(unescape(each)) for each in found), default=0)

    assert max(lengths.values()) > LONGEST // 2  # there are formulas at all
    assert {name: n for name, n in lengths.items() if n >= READABLE} == {}


def test_steps_come_to_what_the_rule_in_one_gives() -> None:
    """Over a year with faults, and words where a row has no fault; every column and line."""
    year = clean()
    put("Sales ledger", 0, price=4_000.0)(year, 0)
    put("Sales ledger", 3, date=date(2027, 1, 1))(year, 0)
    filled, book = books(year), BOOKS["us"]
    units = {name: by_unit["inch"] for name, by_unit in CONVERSIONS.items()}
    compared = 0
    for name, table in book.tables.items():
        own = Values(filled.tables, filled.lines, units, filled.tables[name])
        for column in table.columns:
            whole = column.in_one
            if whole is None or not len(filled.tables[name]):
                continue
            silent = table.silent
            rows = filled.tables[name]
            filled_in = np.ones(len(rows), dtype=bool) if silent is None else rows[silent].notna()
            found = np.broadcast_to(evaluate(whole, own), len(rows))[filled_in]
            shown = rows[column.name].to_numpy()[filled_in]
            assert found.tolist() == pytest.approx(shown.tolist(), nan_ok=True), (name, column.name)
            compared += 1
    values = Values(filled.tables, filled.lines, units)
    for name, block in book.lines.items():
        for cell in block.cells.values():
            if cell.in_one is not None:
                assert evaluate(cell.in_one, values) == pytest.approx(filled.lines[name, cell.name])
                compared += 1
    assert compared > 25


def test_a_book_in_steps_stays_as_it_is() -> None:
    """What fits is not cut again."""
    again = in_steps(BOOKS["none"])
    assert [table.columns for table in again.tables.values()] == [
        table.columns for table in BOOKS["none"].tables.values()
    ]
