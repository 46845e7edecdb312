"""A maker at random work on a shop's files and workbook, who remembers what they typed."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from datetime import datetime, timedelta
from math import isclose
from pathlib import Path
from typing import Any

from openpyxl.comments import Comment
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.table import Table
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.commands.adopting import adoption
from notchbook.commands.compile import Report
from notchbook.definitions.reading.files import definition_files
from notchbook.sheets import book_for
from notchbook.sheets.kit.columns import Role

from .desk import Desk, compiled, freed
from .shops import GOOD, write_shop

SHOP = {
    "shop.yaml": GOOD["shop.yaml"].replace("tax: us", "tax: none"),
    "stock.yaml": """\
lumber:
  - {stock: spruce 2x4 8ft, nominal: 2x4, length: 96, price: 4.15}  # from the yard
hardware:
  - {stock: brass cup pull, price: 13.50, pack: 10}
  - {stock: oak knob, price: 6.20, pack: 4}
""",
    "tools.yaml": """\
tools:
  - {tool: branding iron, cost: 48.00, in_service: 2026-02-10, wear: per use, expected_uses: 400,
     tax_method: expensed}
""",
    "projects/herb-rail.yaml": """\
project: herb rail
title: Windowsill herb rail
batch: 6
asked: {market stall: 32}
parts:
  - {part: front, make: 1, size: 1 1/2 x 3 1/2 x 40, from: [spruce 2x4 8ft]}
uses:
  - {stock: brass cup pull, each: 2}
steps:
  - {step: rip and crosscut, setup: 20, minutes: 6}
""",
    "ledgers/sales.csv": """\
date,receipt,project,tier,quantity,price
2026-05-02,101,herb rail,market stall,2,32.00
2026-05-03,102,herb rail,market stall,1,30.00
""",
    "ledgers/mileage.csv": "date,purpose,miles\n2026-05-02,market and back,18.5\n",
}
PEGS = "projects/peg-board.yaml"
VARIANTS = """\
project: peg board
title: Peg board  # as on the label
batch: 4
sizes: {long: 20}
asked: {market stall: 18}
variants:
  small: {long: 16, batch: 6}
  large:  # for the hall
    long: 32
    steps: [{step: cut pegs, setup: 10, minutes: 5}]
parts:
  - {part: board, make: 1, size: 1 1/2 x 3 1/2 x long, from: [spruce 2x4 8ft]}
uses:
  - {stock: oak knob, each: 3}
steps:
  - {step: saw, setup: 10, minutes: 3}
"""
BOOK = book_for("none", 2026)

NUMBERS = {
    "Stock": ("stock", ("price", "on_hand")),
    "Work steps": ("step", ("minutes", "setup")),
    "Projects": ("project", ("batch",)),
    "Cut list": ("part", ("make",)),
    "Tiers": ("tier", ("margin",)),
    "Tool depreciation": ("tool", ("cost",)),
    "Ideas": ("idea", ("price", "minutes")),
    "Next batches": ("project", ("can_sell",)),
}
"""Tables in which numbers are typed: what names a row, and where the numbers stand."""
BELONGING = ("Projects", "Cut list", "Consumables", "Work steps", "Pricing tiers")
"""Tables in which a project has rows."""
MOST = 8  # fewer things than that are done before a compile
Typed = dict[tuple[str, str, str], Any]
"""By table, the row's name and the column."""


def shop() -> Path:
    """A little shop with hardly anything to plan, compiled once for all."""
    return compiled(_write)


def shop_with_variants() -> Path:
    """The same with a project of two variants."""
    return compiled(_write_with_variants)


def _write(folder: Path) -> Path:
    return write_shop(folder, **{**dict.fromkeys(GOOD), **SHOP})


def _write_with_variants(folder: Path) -> Path:
    return write_shop(folder, **{**dict.fromkeys(GOOD), **SHOP, PEGS: VARIANTS})


def equal(found: object, meant: object) -> bool:
    """Whether two cells hold the same; LibreOffice writes 15 digits of a number."""
    if isinstance(found, float) and isinstance(meant, float):
        return isclose(found, meant, rel_tol=1e-14)
    return found == meant


class Maker:
    """Random work at a desk, and what must be found after the next compile."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.desk, self.chance = Desk(folder, shop_with_variants()), random.Random(seed)
        self.typed: Typed = {}  # since the last compile
        self.over: dict[tuple[str, str, str], float] = {}  # numbers over formulas, since then
        self.own: dict[str, Any] = {}  # beside which stock stands what
        self.doubled: set[str] = set()  # stocks whose price is doubled beside them
        self.renamed: set[str] = set()  # projects, since the last compile
        self.copied: set[str] = set()  # projects made from others, since then
        self.new_variants: set[str] = set()  # that the files brought since then
        self.ideas: list[str] = []
        self.made: set[str] = set()  # ideas that are to be projects after the next compile
        self.rate = 24.0
        self.files = self.all_files()  # as the last compile found them
        self.notes: dict[str, str] = {}  # of a project's batch
        self.sheet: dict[str, str] = {}  # which stock the cells of an own sheet refer to
        self.sums: dict[str, str] = {}  # and those that go through whole columns
        self.named: dict[str, str] = {}  # which stock the names refer to that the maker gave
        self.in_files: list[str] = []  # bolts that the files brought
        self.touched: set[str] = set()  # stocks of which something was typed since the last compile
        self.settled: set[str] = set()  # bolts that both sides had when it ended
        self.both: dict[str, str] = {}  # what the workbook calls a bolt, by what the files call it
        self.copies: dict[str, dict[str, Any]] = {}  # copied sheets: what was typed in them
        self.tables: dict[str, str] = {}  # own sheets: the area of the table on it
        self.book = self.desk.look()  # open on the desk, and saved before anything reads the file
        self.sales = list(self.book.column("Sales ledger", "receipt"))
        self.miles: list[Any] = self.book.column("Mileage", "miles")
        self.took: dict[Any, list[float]] = {}  # by its day, what each run took of each stock
        self.marked: set[Any] = set()  # days of runs that are to be kept at the next compile
        self.cut: dict[Any, list[float]] = {}  # by its day, the boards of each run that was kept
        self.gone: set[Any] = set()  # days of kept runs that were deleted since the last compile
        self.offcuts: list[str] = []  # a note of the maker's on each offcut that they typed
        self.column = self.book.book["Stock"].max_column + 1
        self.count = 0
        self.done: list[str] = []

    def work(self, steps: int) -> None:
        """Some things at the workbook and the files; the workbook is saved at the end."""
        for _ in range(steps):
            action = self.chance.choice(self.actions())
            self.done.append(action.__name__)
            action()
        self.save()

    def actions(self) -> list[Callable[[], None]]:
        return [
            *[self.type_a_number] * 4,
            *[self.add_a_sale] * 2,
            self.sort_sales,
            self.drive,
            *[self.log_a_run] * 2,
            *[self.mark_a_run] * 2,
            self.delete_a_run,
            self.type_an_offcut,
            self.count_an_offcut,
            self.delete_an_offcut,
            self.add_a_stock,
            self.delete_a_stock,
            self.rename_a_stock,
            self.sort_stocks,
            self.add_a_project,
            self.copy_a_project,
            self.type_for_a_variant,
            self.variant_in_the_files,
            self.rename_a_project,
            self.delete_a_project,
            self.delete_no_part_of_it,
            self.have_an_idea,
            self.make_an_idea,
            self.set_a_rate,
            self.type_beside,
            self.calculate_beside,
            self.type_on_own_sheet,
            self.sum_on_own_sheet,
            self.name_a_cell,
            self.type_over_a_formula,
            self.note_a_batch,
            self.merge_cells,
            self.copy_a_sheet,
            self.put_a_table,
            self.rename_on_both_sides,
            *[self.price_in_the_files] * 2,
            self.stock_in_the_files,
            self.adopt,
        ]

    def save(self) -> None:
        self.book.book.save(self.desk.path)

    def compile(self) -> Report:
        """Compiles what was saved, and sees whether everything is there."""
        counts = self.book.column("Offcuts", "count")
        report = self.desk.compile()
        self.book = self.desk.look()
        self.see(report)
        self.see_offcuts(report, counts)
        self.files = self.all_files()
        return report

    def all_files(self) -> str:
        """What the definition files say."""
        return "".join(path.read_text("utf-8") for path in definition_files(self.desk.folder))

    # --- numbers ----------------------------------------------------------------------------------

    def type_a_number(self) -> None:
        table = self.chance.choice(list(NUMBERS))
        key, columns = NUMBERS[table]
        column = self.chance.choice(columns)
        names = self.book.column(table, key)
        if not names:
            return  # no idea yet
        row = self.chance.randrange(len(names))
        if names[row] in self.renamed:
            return  # with other cells changed too it is another project
        if table == "Next batches" and names[row] not in self.book.column("Projects", "project"):
            return  # a name that the next compile puts right
        number = self.chance.randrange(1, 20)
        value = {"margin": number / 40, "cost": 700.0 + number}.get(column, number)
        self.book.put(table, row, **{column: value})
        self.touched.add(names[row])
        if names.count(names[row]) == 1:
            self.typed[table, names[row], column] = value

    def type_over_a_formula(self) -> None:
        names = self.book.column("Projects", "project")
        row = self.chance.randrange(len(names))
        column = self.chance.choice(["unit_cost", "labor"])
        self.count += 1
        self.book.put("Projects", row, **{column: 1000.5 + self.count})
        self.over["Projects", names[row], column] = 1000.5 + self.count

    def note_a_batch(self) -> None:
        names = self.book.column("Projects", "project")
        row = self.chance.randrange(len(names))
        self.count += 1
        note = self.notes[names[row]] = f"ask about {self.count}"
        self.book.cell("Projects", "batch", row).comment = Comment(note, "the maker")

    def set_a_rate(self) -> None:
        self.rate = float(self.chance.randrange(15, 40))
        self.book.line("Settings", "labor_rate").value = self.rate

    # --- rows -------------------------------------------------------------------------------------

    def add_a_sale(self) -> None:
        self.count += 1
        receipt = f"N{self.count}"
        self.book.add(
            "Sales ledger",
            receipt=receipt,
            project="herb rail",
            tier="market stall",
            date=f"{1 + self.count % 28} Mar 2026",
            quantity=1,
            price=30 + self.count,
        )
        self.sales.append(receipt)

    def sort_sales(self) -> None:
        self._shuffle("Sales ledger", range(len(self.sales)))
        self.sales = self.book.column("Sales ledger", "receipt")

    def drive(self) -> None:
        """A line of the mileage book, which may hold words where a number belongs, or a gap."""
        self.count += 1
        miles = self.chance.choice([self.count, f"about {self.count}", None])
        row = len(self.miles)
        self.miles.append(miles)
        if miles is not None:
            self.book.put("Mileage", row, date="3/4/2026", purpose="to the yard", miles=miles)

    def log_a_run(self) -> None:
        """A run of a day of its own, or the number of one that is there."""
        self.count += 1
        projects = self.book.column("Projects", "project")
        made = self.chance.randint(1, 9)
        days = self.book.column("Production log", "date")
        if days and self.chance.random() < 0.3:
            row = self.chance.randrange(len(days))
            self.book.put("Production log", row, made=made)
            self.took.pop(days[row], None)
        elif projects:
            day = datetime(2026, 1, 1) + timedelta(days=self.count % 360)
            if day not in days:
                project = self.chance.choice(projects)
                self.book.put("Production log", len(days), date=day, project=project, made=made)

    def mark_a_run(self) -> None:
        """A run whose cut is to be kept, as those that were kept already may be marked anew."""
        days = self.book.column("Production log", "date")
        if days:
            row = self.chance.randrange(len(days))
            self.book.put("Production log", row, offcuts="keep")
            self.marked.add(days[row])
            if days[row] not in self.cut:
                self.took.pop(days[row], None)

    def delete_a_run(self) -> None:
        days = self.book.column("Production log", "date")
        if days:
            row = self.chance.randrange(len(days))
            self.book.delete("Production log", row)
            self.took.pop(days[row], None)
            self.marked.discard(days[row])
            if self.cut.pop(days[row], None):
                self.gone.add(days[row])

    def type_an_offcut(self) -> None:
        self.count += 1
        size = {"thickness": 1.5, "width": 3.5, "length": self.chance.randrange(12, 96)}
        note = f"bin {self.count}"
        self.book.add("Offcuts", stock="spruce 2x4 8ft", **size, count=2, note=note)
        self.offcuts.append(note)

    def count_an_offcut(self) -> None:
        """Of any row, what they typed or a run left."""
        stocks = self.book.column("Offcuts", "stock")
        if stocks:
            row = self.chance.randrange(len(stocks))
            self.book.put("Offcuts", row, count=self.chance.randrange(4))

    def delete_an_offcut(self) -> None:
        stocks = self.book.column("Offcuts", "stock")
        if stocks:
            row = self.chance.randrange(len(stocks))
            note = self.book.cell("Offcuts", "note", row).value
            self.book.delete("Offcuts", row)
            self.offcuts = [each for each in self.offcuts if each != note]

    def add_a_stock(self) -> None:
        self.count += 1
        name = f"screw {self.count}"
        self.book.add("Stock", stock=name, kind="hardware", price=self.count, pack=100)
        self.typed["Stock", name, "price"] = self.count

    def delete_a_stock(self) -> None:
        name = self._screw()
        if name:
            self.book.delete("Stock", self._row(name))
            self.own.pop(name, None)
            self.doubled.discard(name)
            self._move_references()
            self.typed = {key: value for key, value in self.typed.items() if key[1] != name}

    def rename_a_stock(self) -> None:
        name = self._screw()
        if name:
            self.count += 1
            new = f"screw {self.count}"
            self.book.put("Stock", self._row(name), stock=new)
            self.typed = {
                (table, new if row == name else row, column): value
                for (table, row, column), value in self.typed.items()
            }
            if name in self.own:
                self.own[new] = self.own.pop(name)
            if name in self.doubled:
                self.doubled = {*self.doubled - {name}, new}

    def sort_stocks(self) -> None:
        """All rows of Stock with what stands beside them; references stay where they are."""
        before = self.book.column("Stock", "stock")
        self._shuffle("Stock", range(len(before)), self.column, self.column + 1)
        after = self.book.column("Stock", "stock")
        for pointing in (self.sheet, self.named):
            pointing |= {of: after[before.index(name)] for of, name in pointing.items()}
        self._move_references()

    def add_a_project(self) -> None:
        self.count += 1
        name = f"shelf {self.count}"
        self.book.add("Projects", project=name, title=name, batch=self.count % 7 + 1)
        self.book.add(
            "Cut list",
            part=f"side {self.count}",
            project=name,
            make=2,
            thickness=1.5,
            width=3.5,
            length=30,
            stocks="spruce 2x4 8ft",
        )
        self.book.add("Work steps", project=name, step=f"cut {self.count}", setup=5, minutes=4)
        self.typed["Projects", name, "batch"] = self.count % 7 + 1
        self.typed["Cut list", f"side {self.count}", "make"] = 2

    def copy_a_project(self) -> None:
        """A new one made from another, which gives it its parts and steps."""
        name = self.chance.choice(self.book.column("Projects", "project"))
        if name not in self.renamed:
            self.count += 1
            new, batch = f"shelf {self.count}", self.count % 7 + 1
            self.book.add("Projects", project=new, title=new, batch=batch, made_from=name)
            self.typed["Projects", new, "batch"] = batch
            self.copied.add(new)

    def type_for_a_variant(self) -> None:
        """What one variant has of its own: a cell on Projects, or the minutes of its steps."""
        names = self.book.column("Projects", "project")
        variants = [name for name in names if name.startswith("peg board ")]
        if not variants:
            return
        name = self.chance.choice(variants)
        self.count += 1
        column = self.chance.choice(["title", "pace", "spoilage", "minutes"])
        if column == "minutes":
            steps = self.book.column("Work steps", "project")
            if name in steps:
                self.book.put("Work steps", steps.index(name), minutes=self.count)
            return
        value = {"title": f"Peg board {self.count}", "pace": 1 + self.count / 64}.get(column, 0.125)
        self.book.put("Projects", names.index(name), **{column: value})
        self.typed["Projects", name, column] = value

    def variant_in_the_files(self) -> None:
        """The files bring a variant, as long as the project is one that has some."""
        file = self.desk.folder / PEGS
        head = "variants:\n"
        if file.exists() and head in (text := file.read_text(encoding="utf-8")):
            self.count += 1
            line = f"  v{self.count}: {{long: {self.count % 20 + 13}, batch: 2}}\n"
            file.write_text(text.replace(head, head + line), encoding="utf-8")
            self.new_variants.add(f"peg board v{self.count}")

    def rename_a_project(self) -> None:
        """One that was there at the last compile and was left alone since."""
        name = self._shelf()
        touched = {row for table, row, _ in self.typed if table == "Projects"}
        if name and name not in touched | self.renamed:
            self.count += 1
            new = f"shelf {self.count}"
            self.book.put("Projects", self.book.row_of("Projects", "project", name), project=new)
            self.renamed.add(new)
            self._now_called(name, new)
            self.typed = {
                (table, new if table == "Next batches" and row == name else row, column): value
                for (table, row, column), value in self.typed.items()
            }

    def delete_a_project(self) -> None:
        """With all its rows."""
        name = self._shelf()
        sources = self.book.column("Projects", "made_from")
        if name and name not in (*self.renamed, *self.copied, *sources):
            gone = {name}
            for table in (*BELONGING, "Seen prices"):
                while name in (names := self.book.column(table, "project")):
                    row = names.index(name)
                    if table in NUMBERS:
                        gone.add(self.book.cell(table, NUMBERS[table][0], row).value)
                    self.book.delete(table, row)
            self.typed = {key: value for key, value in self.typed.items() if key[1] not in gone}
            self.over = {key: value for key, value in self.over.items() if key[1] != name}
            self.notes.pop(name, None)

    def delete_no_part_of_it(self) -> None:
        """A project's row alone; whatever else names it stays, and is told."""
        name = self._shelf()
        sources = self.book.column("Projects", "made_from")
        if name and name not in (*self.renamed, *self.copied, *self.new_variants, *sources):
            self.book.delete("Projects", self.book.row_of("Projects", "project", name))
            mine = ("Projects", "Pricing tiers", "Next batches")
            self.typed = {
                key: value
                for key, value in self.typed.items()
                if key[0] not in mine or key[1] != name
            }
            self.over = {key: value for key, value in self.over.items() if key[1] != name}
            self.notes.pop(name, None)

    def have_an_idea(self) -> None:
        """A look at somebody else's piece, with what it takes in any order."""
        self.count += 1
        name = f"idea {self.count}"
        pairs = [("spruce 2x4 8ft", 0.25), ("brass cup pull", self.count % 5 + 1)]
        self.chance.shuffle(pairs)
        row = self.book.add("Ideas", idea=name, price=self.count, seen_at="a fair", minutes=20)
        for n, (stock, amount) in enumerate(pairs, 1):
            self.book.put("Ideas", row, **{f"stock_{n}": stock, f"amount_{n}": amount})
        self.typed["Ideas", name, "price"] = self.count
        self.ideas.append(name)
        if self.chance.random() < 0.5:
            self.book.add("Idea cuts", idea=name, stock="oak knob", amount=2)

    def make_an_idea(self) -> None:
        """One that is no project yet is asked to be one."""
        asked = self.book.column("Ideas", "make_it")
        free = [n for n in range(len(self.ideas)) if n >= len(asked) or asked[n] is None]
        if free:
            row = self.chance.choice(free)
            self.book.put("Ideas", row, make_it="yes")
            self.made.add(self.book.column("Ideas", "idea")[row])

    def _shelf(self) -> str | None:
        names = [name for name in self.book.column("Projects", "project") if name != "herb rail"]
        return self.chance.choice(names) if names else None

    def _now_called(self, name: str, new: str) -> None:
        if name in self.notes:
            self.notes[new] = self.notes.pop(name)
        self.over = {
            (table, new if row == name else row, column): value
            for (table, row, column), value in self.over.items()
        }

    def _screw(self) -> str | None:
        names = [name for name in self.book.column("Stock", "stock") if name.startswith("screw")]
        read = {*self.sheet.values(), *self.named.values()}
        free = [name for name in names if name not in read]
        return self.chance.choice(free) if free else None

    def _row(self, stock: str) -> int:
        return self.book.row_of("Stock", "stock", stock)

    def _shuffle(self, table: str, rows: range, *own: int) -> None:
        """Sorts the typed cells of rows at random, and those of columns beside them."""
        given = [each.name for each in BOOK.tables[table].columns if each.role is Role.GIVEN]
        cells = [[freed(self.book.cell(table, name, row)) for name in given] for row in rows]
        for each, row in zip(cells, rows, strict=True):
            place = self.book.cell(table, given[0], row)
            each += [place.parent.cell(row=place.row, column=column) for column in own]
        values = [[cell.value for cell in each] for each in cells]
        self.chance.shuffle(values)
        for each, new in zip(cells, values, strict=True):
            for cell, value in zip(each, new, strict=True):
                cell.value = value

    # --- beside, and elsewhere --------------------------------------------------------------------

    def type_beside(self) -> None:
        self.count += 1
        names = self.book.column("Stock", "stock")
        row = self.chance.randrange(len(names))
        self.book.book["Stock"].cell(row=7 + row, column=self.column, value=f"bin {self.count}")
        self.own[names[row]] = f"bin {self.count}"

    def calculate_beside(self) -> None:
        names = self.book.column("Stock", "stock")
        self.doubled.add(self.chance.choice(names))
        self._move_references()

    def _move_references(self) -> None:
        """What a spreadsheet program does of itself when rows move, and openpyxl does not."""
        names = self.book.column("Stock", "stock")
        stocks = self.book.book["Stock"]
        for row in range(7, stocks.max_row + 1):
            cell = stocks.cell(row=row, column=self.column + 1)
            name = names[row - 7] if row - 7 < len(names) else None
            cell.value = f"=I{row}*2" if name in self.doubled else None
        for cell, name in self.sheet.items():
            self.book.book["Mine"][cell].value = f"=Stock!$A${7 + names.index(name)}"
        for called, name in self.named.items():
            target = f"Stock!$A${7 + names.index(name)}"
            self.book.book.defined_names[called].attr_text = target

    def type_on_own_sheet(self) -> None:
        sheet = self.own_sheet()
        names = self.book.column("Stock", "stock")
        name = self.chance.choice(names)
        sheet[f"A{self.count}"] = f"=Stock!$A${7 + names.index(name)}"
        self.sheet[f"A{self.count}"] = name

    def sum_on_own_sheet(self) -> None:
        """A formula over a whole column of ours, which stays whole however many rows there are."""
        sheet = self.own_sheet()
        area = self.chance.choice(["$I:$I", "$A:$I", "I7:I1048576"])
        self.sums[f"B{self.count}"] = f"=SUM(Stock!{area})"
        sheet[f"B{self.count}"] = self.sums[f"B{self.count}"]

    def own_sheet(self) -> Worksheet:
        self.count += 1
        book = self.book.book
        if "Mine" not in book.sheetnames:
            book.create_sheet("Mine", self.chance.randrange(3))
        found: Worksheet = book["Mine"]
        return found

    def name_a_cell(self) -> None:
        """A name of the maker's for a stock's cell."""
        self.count += 1
        names = self.book.column("Stock", "stock")
        name = self.chance.choice(names)
        called = f"mine_{self.count}"
        self.named[called] = name
        self.book.book.defined_names[called] = DefinedName(called)
        self._move_references()

    def merge_cells(self) -> None:
        """A blank cell merged with its left neighbour, on a table, beside it or on an own sheet."""
        book = self.book.book
        name = self.chance.choice(["Stock", "Sales ledger", "Work steps", *self.tables])
        sheet = book[name]
        row = self.chance.randrange(7, 10)
        blank = [
            column
            for column in range(2, sheet.max_column + 3)
            if sheet.cell(row=row, column=column).value is None
            and not any(
                area.min_row <= row <= area.max_row
                and area.min_col <= column <= area.max_col + 1
                and area.max_col >= column - 1
                for area in sheet.merged_cells.ranges
            )
            and (name != "Stock" or column < self.column or column > self.column + 2)
        ]
        right = self.chance.choice(blank)
        sheet.merge_cells(start_row=row, end_row=row, start_column=right - 1, end_column=right)

    def copy_a_sheet(self) -> None:
        """With its table, as spreadsheet programs copy it; what is typed there stays as it was."""
        name = self.chance.choice(["Stock", "Sales ledger", "Settings"])
        book, old = self.book.book, self.book.book[name]
        new = book.copy_worksheet(old)
        self.count += 1
        new.title = f"Copy {self.count}"
        for table in old.tables.values():
            called = f"{table.displayName}_{self.count}"
            columns = [each.name for each in table.tableColumns]
            copied = Table(name=called, displayName=called, ref=table.ref)
            copied._initialise_columns()
            for column, header in zip(copied.tableColumns, columns, strict=True):
                column.name = header
            new.add_table(copied)
        values = ((cell.coordinate, cell.value) for row in new.rows for cell in row)
        self.copies[new.title] = {
            at: value
            for at, value in values
            if value is not None and not str(value).startswith("=")
        }

    def put_a_table(self) -> None:
        """A list of the maker's on a sheet of its own, as a table."""
        self.count += 1
        sheet = self.book.book.create_sheet(f"List {self.count}")
        for row in (["what", "much"], *([f"thing {n}", n] for n in range(self.count % 4 + 1))):
            sheet.append(row)
        self.tables[sheet.title] = f"A1:B{sheet.max_row}"
        sheet.add_table(Table(displayName=f"List{self.count}", ref=self.tables[sheet.title]))

    def rename_on_both_sides(self) -> None:
        """A bolt that was left alone gets another name in the files than in the workbook."""
        names = self.book.column("Stock", "stock")
        read = {*self.sheet.values(), *self.named.values()}
        free = sorted(self.settled - self.touched - read - {*self.both})
        free = [name for name in free if name in names and f"stock: {name}," in self.stock_file()]
        if not free:
            return
        name = self.chance.choice(free)
        self.count += 1
        here, there = f"bolt {self.count} here", f"bolt {self.count} there"
        self.book.put("Stock", self._row(name), stock=here)
        file = self.desk.folder / "stock.yaml"
        file.write_text(
            self.stock_file().replace(f"stock: {name},", f"stock: {there},"), encoding="utf-8"
        )
        self.in_files[self.in_files.index(name)] = here
        self.both[there] = here
        if name in self.own:
            self.own[here] = self.own.pop(name)
        if name in self.doubled:
            self.doubled = {*self.doubled - {name}, here}
        self.touched.add(here)

    def stock_file(self) -> str:
        return (self.desk.folder / "stock.yaml").read_text(encoding="utf-8")

    def price_in_the_files(self) -> None:
        file = self.desk.folder / "stock.yaml"
        lines = file.read_text(encoding="utf-8").splitlines(keepends=True)
        at = self.chance.choice([n for n, line in enumerate(lines) if "price: " in line])
        before, _, after = lines[at].partition("price: ")
        rest = after.lstrip("0123456789.")
        self.touched |= set(re.findall(r"stock: ([^,]+),", before))
        lines[at] = f"{before}price: {self.chance.randrange(1, 30)}{rest}"
        file.write_text("".join(lines), encoding="utf-8")

    def stock_in_the_files(self) -> None:
        """The files bring a bolt."""
        file = self.desk.folder / "stock.yaml"
        text = file.read_text(encoding="utf-8")
        self.count += 1
        line = f"  - {{stock: bolt {self.count}, price: {self.count}, pack: 10}}\n"
        file.write_text(text.replace("hardware:\n", f"hardware:\n{line}"), encoding="utf-8")
        self.in_files.append(f"bolt {self.count}")

    def adopt(self) -> None:
        self.save()
        found = adoption(self.desk.folder)
        found.write()
        assert "# from the yard" in (self.desk.folder / "stock.yaml").read_text(encoding="utf-8")

    # --- after a compile --------------------------------------------------------------------------

    def see(self, report: Report) -> None:
        """Whether each typed value is in the workbook, or listed."""
        listed = {
            (each.table, each.row.split(", ")[-1], each.column, each.workbook)
            for each in (*report.changes.conflicts, *report.changes.taken)
        }
        for (table, name, column), value in self.typed.items():
            names = self.book.column(table, NUMBERS[table][0])
            rows = [row for row, each in enumerate(names) if each == name]  # of copies, too
            found = [self.book.cell(table, column, row).value for row in rows]
            assert value in found or (table, name, column, value) in listed, (table, name, column)
        for (table, name, column), value in self.over.items():
            row = self.book.row_of(table, NUMBERS[table][0], name)
            cell = self.book.cell(table, column, row)
            assert cell.data_type == "f"
            assert str(value) in cell.comment.text
        if self.done[-1] == "adopt":
            told = [(name, str(each)) for name, each in report.changes]
            assert [each for each in told if self.is_a_difference(*each)] == []
        assert self.book.line("Settings", "labor_rate").value == self.rate
        self.see_names(report)
        assert self.copied | self.new_variants <= set(self.book.column("Cut list", "project"))
        assert self.book.column("Projects", "made_from") == []
        self.copied.clear()
        self.new_variants.clear()
        self.typed.clear()
        self.over.clear()
        self.renamed.clear()
        self.both.clear()
        self.touched.clear()
        self.see_rows()
        self.see_runs()
        self.see_own()
        self.see_own_sheets()

    def see_names(self, report: Report) -> None:
        """Whether the workbook's name stands where both sides gave one, and the other is told."""
        names = self.book.column("Stock", "stock")
        told = {(each.workbook, each.definitions) for each in report.changes.conflicts}
        for there, here in self.both.items():
            assert here in names
            assert there not in names
            assert (here, there) in told or "adopt" in self.done
        said = self.stock_file()
        self.settled = {name for name in self.in_files if f"stock: {name}," in said}

    def is_a_difference(self, kind: str, said: str) -> bool:
        """Whether a change told after adopting should not be.

        What the files said anew may be, rows that were deleted before any file knew them, and
        cells of a project whose row was deleted, which adopting leaves to the workbook.
        """
        if kind == "conflicts" and said.endswith(", nothing in the files"):
            projects = self.book.column("Projects", "project")
            return said.split(", ")[1] in projects
        if kind == "deleted":
            _, *names = said.removesuffix(" (in the workbook)").split(", ")
            return all(re.search(rf"\b{name}\b", self.files) for name in names)
        return kind != "taken" and "(in the files)" not in said

    def see_rows(self) -> None:
        assert self.book.column("Sales ledger", "receipt") == self.sales
        costs = self.book.column("Sales ledger", "unit_cost")
        assert len(costs) == len(self.sales)
        assert None not in costs
        while self.miles and self.miles[-1] is None:
            self.miles.pop()
        assert self.book.column("Mileage", "miles") == self.miles
        assert set(self.in_files) <= set(self.book.column("Stock", "stock"))
        projects = self.book.column("Projects", "project")
        assert self.book.column("Ideas", "idea") == self.ideas
        for name in self.made:
            assert name in projects
            assert self.book.cell("Ideas", "make_it", self.ideas.index(name)).value == "made"
        self.made.clear()
        for project, note in self.notes.items():
            assert note == self.book.cell("Projects", "batch", projects.index(project)).comment.text

    def see_runs(self) -> None:
        """What a run took once stays, whatever became of projects, parts and stocks."""
        took: dict[Any, list[float]] = {}
        columns = (self.book.column("Stock used", name) for name in ("date", "units"))
        for day, units in zip(*columns, strict=True):
            took.setdefault(day, []).append(units)
        assert {day: took.get(day) for day in self.took} == self.took
        self.took = took

    def see_offcuts(self, report: Report, before: list[float]) -> None:
        """Counts fell by what runs used, as told; what they left stands below, with their names.

        Marked runs say kept, and the wood of a kept one stays whatever becomes of its row.
        """
        counts, used = self.book.column("Offcuts", "count"), dict.fromkeys(range(len(before)), 0)
        for line in report.notices:
            if found := re.match(r"Offcuts!E(\d+): (\d+) were there, (\d+) are left", line):
                row, there, left = map(int, found.groups())
                used[row - 7] += there - left
        assert counts[: len(before)] == [count - used[n] for n, count in enumerate(before)]
        runs = self.book.column("Offcuts", "run")[len(before) :]
        assert len(runs) == len(counts) - len(before)
        told = [line for line in report.notices if "the run says kept now" in line]
        assert all(any(f"now; {run} " in line for line in told) for run in runs)
        notes = self.book.column("Offcuts", "note")
        assert [note for note in notes if note] == self.offcuts

        columns = (self.book.column("Stock used", name) for name in ("date", "units"))
        names = self.book.column("Stock used", "cut")
        cut: dict[Any, list[float]] = {}
        for n, (day, units) in enumerate(zip(*columns, strict=True)):
            if n < len(names) and names[n]:
                cut.setdefault(day, []).append(units)
        assert {day: cut.get(day) for day in self.cut} == self.cut
        assert all(float(units).is_integer() for its in cut.values() for units in its)
        self.cut = cut
        days = self.book.column("Production log", "date")
        projects = self.book.column("Projects", "project")
        for day in self.marked:
            row = days.index(day)
            if self.book.cell("Production log", "project", row).value in projects:
                assert self.book.cell("Production log", "offcuts", row).value == "kept"
        self.marked = {day for day in self.marked if self._mark(days.index(day)) == "keep"}
        assert len([line for line in report.look if "is deleted there" in line]) == len(self.gone)
        self.gone.clear()

    def _mark(self, row: int) -> str | None:
        mark: str | None = self.book.cell("Production log", "offcuts", row).value
        return mark

    def see_own(self) -> None:
        names = self.book.column("Stock", "stock")
        stocks = self.book.book["Stock"]
        beside = {
            name: stocks.cell(row=7 + n, column=self.column).value for n, name in enumerate(names)
        }
        assert {name: own for name, own in beside.items() if own is not None} == self.own
        for n, name in enumerate(names):
            formula = stocks.cell(row=7 + n, column=self.column + 1).value
            assert formula == (f"=I{7 + n}*2" if name in self.doubled else None)
        for cell, name in self.sheet.items():
            row = 7 + names.index(name)
            assert self.book.book["Mine"][cell].value == f"=Stock!$A${row}"
        assert {cell: self.book.book["Mine"][cell].value for cell in self.sums} == self.sums
        for called, name in self.named.items():
            row = 7 + names.index(name)
            assert self.book.book.defined_names[called].attr_text == f"Stock!$A${row}"

    def see_own_sheets(self) -> None:
        """Copied sheets and own tables, as they were."""
        book = self.book.book
        for title, cells in self.copies.items():
            found = {at: book[title][at].value for at in cells}
            assert {at: value for at, value in found.items() if not equal(value, cells[at])} == {}
        for title, area in self.tables.items():
            assert [table.ref for table in book[title].tables.values()] == [area]
            assert book[title]["A2"].value == "thing 0"

    def compile_again(self) -> None:
        """A second compile has nothing to tell, and writes the same file."""
        first = self.desk.path.read_bytes()
        again = self.desk.compile()
        assert not list(again.changes)
        assert not again.frozen
        assert self.desk.path.read_bytes() == first
