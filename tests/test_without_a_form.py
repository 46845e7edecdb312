"""A shop without a tax form sees nothing of the American one, and drives in its own unit."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from notchbook.commands.year_end import format_summary
from notchbook.definitions import DefinitionError
from notchbook.gathering.files_alone import load
from notchbook.sheets.kit.column_words import ColumnWords
from notchbook.sheets.kit.declare import Table

from . import examples
from .every_book import BOOKS
from .shops import GOOD, write_shop
from .worked import value, worked

OF_THE_FORM = re.compile(
    r"section 179|\bmacrs\b|mid-quarter|bonus|\bsq(uare)? f|schedule c|form 4\d|form 1\d|no line"
    r"|line of the (tax )?form|line 3\d|line 13|standard rate|\bmiles?\b|safe harbo|medicare"
    r"|self-employment|social security|tax class|listed property|preparer|recapture|\birs\b"
    r"|publication \d|u\.s\.c|\bus form|american",
    re.IGNORECASE,
)
MADE_BY_HAND = "Mileage"  # the sheet keeps its name, and rules name it


def said(text: object) -> list[str]:
    """The words of the American form in a text, the name of the sheet aside."""
    return OF_THE_FORM.findall(str(text).replace(MADE_BY_HAND, ""))


def cells(path: Path) -> Iterator[tuple[str, object]]:
    """Every text of a workbook that a maker may read: cells, notes, lists to pick from."""
    for sheet in openpyxl.load_workbook(path).worksheets:
        for row in sheet.iter_rows() if sheet.sheet_state == "visible" else ():
            for cell in row:
                at = f"{sheet.title!s}!{cell.coordinate!s}"
                if cell.value is not None and cell.data_type != "f":
                    yield at, cell.value
                if cell.comment is not None:
                    yield f"{at}, its note", cell.comment.text
        for rule in sheet.data_validations.dataValidation:
            yield f"{sheet.title!s}, a list", rule.formula1


def test_no_sheet_speaks_of_the_form() -> None:
    path = examples.workbook("metric")
    assert [(at, text) for at, text in cells(path) if said(text)] == []


def test_no_declaration_speaks_of_the_form() -> None:
    """Headers, notes, faults and lines of the whole book, also those that an example leaves out."""
    book = BOOKS["none"]
    words = ColumnWords(book, "mm")

    def told() -> Iterator[str]:
        for sheet in book.sheets:
            yield f"{sheet.name}: {sheet.instruction}"
            for block in sheet.blocks:
                if isinstance(block, Table):
                    yield from (words.note(block, each) for each in block.columns)
                    yield from (words.column(block.name, each.name) for each in block.columns)
                    yield from (words.fault(block, each) for each in block.faults)
        for lines in book.lines.values():
            yield from (f"{row.label} {row.mark} {row.note}" for row in lines.rows)

    assert [text for text in told() if said(text)] == []


def test_the_year_end_is_told_without_the_form() -> None:
    assert said(format_summary(examples.priced("metric"))) == []


def test_drives_cost_the_rate_of_the_shop() -> None:
    """By kilometres, at what Settings say; without a rate they cost nothing, and that is told."""
    drive = {"date": date(2026, 5, 5), "purpose": "fair", "miles": 40.0}
    other = drive | {"date": date(2025, 5, 5)}
    rows = {"Mileage": [drive, other]}
    filled = worked(rows, units="mm", tax="none", mile_rate=0.3)
    without = worked(rows, units="mm", tax="none", mile_rate=0)

    assert value(filled, "Mileage", "amount") == pytest.approx(12)
    assert filled.lines["Year-end", "drives"] == pytest.approx(12)
    assert filled.lines["Year-end", "net_profit"] == pytest.approx(-12)
    assert filled.lines["Checks", "profit_again_state"] == "OK"
    assert filled.lines["Checks", "drives_without_rate_state"] == "OK"
    assert without.lines["Year-end", "drives"] == 0
    assert without.lines["Checks", "drives_without_rate_state"] == "notice"


def plain_shop(folder: Path, **changes: str) -> Path:
    """The good shop without a form, in millimetres where `changes` say so."""
    shop = GOOD["shop.yaml"].replace("tax: us", "tax: none")
    tools = re.sub("macrs 7", "expensed", GOOD["tools.yaml"])
    return write_shop(folder, **{"shop.yaml": shop, "tools.yaml": tools} | changes)


def problems(shop: Path) -> list[str]:
    with pytest.raises(DefinitionError) as error:
        load(shop, date(2026, 6, 1))
    return [str(each) for each in error.value.problems]


def test_keys_of_another_form_are_refused_where_they_stand(tmp_path: Path) -> None:
    """Nothing would read them, so that they are not lost without a word."""
    shop = GOOD["shop.yaml"].replace("tax: us", "tax: none\nyear_end: {home_area: 90}")
    tools = GOOD["tools.yaml"].replace("macrs 7", "expensed, acquired: 2025-05-01")

    assert problems(plain_shop(tmp_path / "none", **{"shop.yaml": shop, "tools.yaml": tools})) == [
        "shop.yaml:17: home_area: it has no use under tax: none; leave it out",
        "tools.yaml:5: acquired: it has no use under tax: none; leave it out",
    ]
    shop = GOOD["shop.yaml"] + "year_end: {mile_rate: 0.30}\n"
    (told,) = problems(write_shop(tmp_path / "us", **{"shop.yaml": shop}))
    assert "mile_rate: it has no use under tax: us; leave it out" in told


def test_drives_are_written_in_the_unit_of_the_shop(tmp_path: Path) -> None:
    """Miles in an inch shop, km in an mm shop; the other is no column there."""
    drives = "date,purpose,%s\n2026-05-05,fair,18\n"
    inch = plain_shop(tmp_path / "inch", **{"ledgers/mileage.csv": drives % "miles"})
    wrong = plain_shop(tmp_path / "wrong", **{"ledgers/mileage.csv": drives % "km"})

    (row,) = load(inch, date(2026, 6, 1)).rows["Mileage"]
    assert row.model_dump()["miles"] == 18
    assert "'km' is not a column here" in problems(wrong)[0]
