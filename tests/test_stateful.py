"""A maker at work on files and workbook in any order: each typed value stays, or is listed."""

from __future__ import annotations

import os
import random
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from notchbook.adopting import adoption
from notchbook.compiling import Report

from .calc import type_and_save
from .desk import Desk, Sheets

SEQUENCES = int(os.environ.get("NOTCHBOOK_SEQUENCES", "3"))
THROUGH_LIBREOFFICE = int(os.environ.get("NOTCHBOOK_LIBREOFFICE_SEQUENCES", "1"))
Typed = dict[tuple[str, str, str], Any]
"""What was typed since the last compile: by table, the row's name, and the column."""

NUMBERS = {
    "Stock": ("stock", ("price", "on_hand")),
    "Work steps": ("step", ("minutes", "setup")),
    "Projects": ("project", ("batch",)),
    "Tiers": ("tier", ("margin",)),
    "Tool depreciation": ("tool", ("cost",)),
}


class Maker:
    """Random work at a desk, and a list of what was typed."""

    def __init__(self, desk: Desk, chance: random.Random, libreoffice: bool) -> None:
        self.desk, self.chance, self.libreoffice = desk, chance, libreoffice
        self.typed: Typed = {}
        self.own: dict[str, Any] = {}  # own cells: what stands beside which stock
        self.sheet: dict[str, Any] = {}  # the cells of a sheet of the maker's own
        self.book = desk.look()  # open on the desk, and saved before anything reads the file
        self.sales = list(self.book.column("Sales ledger", "receipt"))
        self.column = self.book.book["Stock"].max_column + 1
        self.count = 0

    def work(self, steps: int) -> None:
        for _ in range(steps):
            action: Callable[[], None] = self.chance.choice(
                [
                    *[self.type_a_number] * 3,
                    *[self.add_a_sale] * 2,
                    self.sort_sales,
                    self.add_a_stock,
                    self.delete_a_stock,
                    self.type_beside,
                    self.type_on_own_sheet,
                    *[self.change_a_file] * 2,
                    self.adopt,
                ]
            )
            action()
        self.compile()

    # --- at the workbook -------------------------------------------------------------------------

    def type_a_number(self) -> None:
        table = self.chance.choice(list(NUMBERS))
        key, columns = NUMBERS[table]
        column = self.chance.choice(columns)
        book = self.book
        names = book.column(table, key)
        row = self.chance.randrange(len(names))
        value: float = self.chance.randrange(1, 20)
        value = {"margin": value / 40, "cost": 700.0 + value}.get(column, value)
        book.put(table, row, **{column: value})
        if names.count(names[row]) == 1:
            self.typed[table, names[row], column] = value

    def add_a_sale(self) -> None:
        self.count += 1
        sale = {"receipt": f"N{self.count}", "project": "herb rail", "tier": "market stall"}
        book = self.book
        book.add(
            "Sales ledger",
            **sale,
            date=f"{1 + self.count % 28} Mar 2026",
            quantity=1,
            price=30 + self.count,
        )
        self.sales.append(sale["receipt"])

    def sort_sales(self) -> None:
        book = self.book
        rows = range(len(book.column("Sales ledger", "receipt")))
        columns = book.columns("Sales ledger")
        given = [name for name in columns if name in SALES]
        cells = [
            {name: book.cell("Sales ledger", name, row).value for name in given} for row in rows
        ]
        self.chance.shuffle(cells)
        for row, values in zip(rows, cells, strict=True):
            book.put("Sales ledger", row, **values)
        self.sales = [values["receipt"] for values in cells]

    def add_a_stock(self) -> None:
        self.count += 1
        name = f"screw {self.count}"
        book = self.book
        book.add("Stock", stock=name, kind="hardware", price=self.count, pack=100)
        self.typed["Stock", name, "price"] = self.count

    def delete_a_stock(self) -> None:
        book = self.book
        names = [name for name in book.column("Stock", "stock") if name.startswith("screw")]
        if names:
            name = self.chance.choice(names)
            book.delete("Stock", book.row_of("Stock", "stock", name))
            self.own.pop(name, None)
            for key in [key for key in self.typed if key[1] == name]:
                del self.typed[key]

    def type_beside(self) -> None:
        self.count += 1
        book = self.book
        names = book.column("Stock", "stock")
        row = self.chance.randrange(len(names))
        book.book["Stock"].cell(row=7 + row, column=self.column, value=f"bin {self.count}")
        self.own[names[row]] = f"bin {self.count}"

    def type_on_own_sheet(self) -> None:
        self.count += 1
        book = self.book
        if "Mine" not in book.book.sheetnames:
            book.book.create_sheet("Mine", self.chance.randrange(3))
        names = book.column("Stock", "stock")
        name = self.chance.choice([each for each in names if not each.startswith("screw")])
        row = 7 + names.index(name)
        cell = f"A{self.count}"
        book.book["Mine"][cell] = f"=Stock!$A${row}"
        self.sheet[cell] = name

    # --- elsewhere -------------------------------------------------------------------------------

    def change_a_file(self) -> None:
        file = self.desk.folder / "stock.yaml"
        lines = file.read_text().splitlines(keepends=True)
        at = self.chance.choice([n for n, line in enumerate(lines) if "price: " in line])
        before, _, after = lines[at].partition("price: ")
        rest = after.lstrip("0123456789.")
        lines[at] = f"{before}price: {self.chance.randrange(1, 30)}{rest}"
        file.write_text("".join(lines))

    def adopt(self) -> None:
        self.save()
        found = adoption(self.desk.folder)
        found.write()
        assert list(adoption(self.desk.folder).changed()) == []

    def save(self) -> None:
        self.book.book.save(self.desk.path)

    def compile(self) -> None:
        self.save()
        if self.libreoffice:
            saved = self.desk.folder / "saved.xlsx"
            type_and_save(self.desk.path, saved, {})
            shutil.move(saved, self.desk.path)
        report = self.desk.compile()
        self.book = self.desk.look()
        self.see(report, self.book)

    def compile_again(self) -> None:
        first = self.desk.path.read_bytes()
        again = self.desk.compile()
        assert not list(again.changes)
        assert not again.frozen
        assert self.desk.path.read_bytes() == first

    def see(self, report: Report, book: Sheets) -> None:
        listed = {
            (each.table, each.row.split(", ")[-1], each.column, each.workbook)
            for each in (*report.changes.conflicts, *report.changes.taken)
        }
        for (table, name, column), value in self.typed.items():
            row = book.row_of(table, NUMBERS[table][0], name)
            found = book.cell(table, column, row).value
            assert found == value or (table, name, column, value) in listed, (table, name, column)
        self.typed.clear()
        assert book.column("Sales ledger", "receipt") == self.sales
        assert all(cost is not None for cost in book.column("Sales ledger", "unit_cost"))
        names = book.column("Stock", "stock")
        beside = {
            name: book.book["Stock"].cell(row=7 + n, column=self.column).value
            for n, name in enumerate(names)
        }
        assert {name: own for name, own in beside.items() if own is not None} == self.own
        for cell, name in self.sheet.items():
            assert book.book["Mine"][cell].value == f"=Stock!$A${7 + names.index(name)}"


SALES = ("date", "receipt", "project", "tier", "kind", "quantity", "price", "discount",
         "sales_tax", "fee", "postage", "postage_charged", "return_of", "unit_cost",
         "unit_materials", "note")  # fmt: skip


def run(seed: int, libreoffice: bool, rounds: int = 2) -> None:
    with tempfile.TemporaryDirectory() as folder:
        maker = Maker(Desk(Path(folder)), random.Random(seed), libreoffice)
        for _ in range(rounds):
            maker.work(maker.chance.randrange(1, 6))
        maker.compile_again()


@pytest.mark.parametrize("seed", range(SEQUENCES))
def test_nothing_typed_is_lost(seed: int) -> None:
    """Random work at the workbook and the files, compiled now and then."""
    run(seed, libreoffice=False)


@pytest.mark.parametrize("seed", range(1000, 1000 + THROUGH_LIBREOFFICE))
def test_nothing_typed_is_lost_through_libreoffice(seed: int) -> None:
    """The same, each time saved by LibreOffice before it is compiled."""
    run(seed, libreoffice=True)
