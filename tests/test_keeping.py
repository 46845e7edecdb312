"""The workbook belongs to the maker: what they type, add, delete and put beside is kept."""

from __future__ import annotations

import shutil
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from openpyxl.comments import Comment
from openpyxl.formatting.rule import CellIsRule
from openpyxl.styles import Font, PatternFill
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation

from notchbook.definitions import DefinitionError
from notchbook.gathering import gather
from notchbook.merging.changes import LISTS
from notchbook.sheets.kit.columns import Column
from notchbook.shop.pipeline import price
from notchbook.workbook.layout.layout import BookLayout, TableSpot

from .calc import type_and_save
from .desk import Desk

SALE = {
    "date": datetime(2026, 5, 20),
    "receipt": "104",
    "project": "herb rail",
    "tier": "market stall",
    "quantity": 1,
    "price": 30,
}
A_NEW_STOCK = (
    "  - {stock: pine",
    "  - {stock: fir 1x2 8ft, nominal: 1x2, length: 96, price: 2}\n  - {stock: pine",
)


def told(report: Any) -> dict[str, list[str]]:
    found = {name: [str(each) for each in getattr(report.changes, name)] for name in LISTS}
    return {name: lines for name, lines in found.items() if lines}


def test_typed_here_said_there_and_both(desk: Desk) -> None:
    """The maker's stays, the files' is taken, and where both changed both values are listed."""
    with desk.open() as book:
        book.put("Stock", 0, price=4.4)
        book.put("Stock", 1, price=8.1, vendor="Yard B")
        book.line("Settings", "labor_rate").value = 26
    desk.replace("stock.yaml", "price: 7.60", "price: 7.90")
    desk.replace("stock.yaml", "price: 11.80", "price: 12.40")
    report = desk.compile()

    assert told(report) == {
        "kept": [
            "Stock, spruce 2x4 8ft, pack price: 4.4 in the workbook, 4.15 in the files",
            "Stock, pine 1x6 8ft, vendor: 'Yard B' in the workbook, nothing in the files",
            "Settings, labor rate an hour: 26 in the workbook, 24 in the files",
        ],
        "taken": ["Stock, ply 1/4 2x4ft, pack price: 11.8 in the workbook, 12.4 in the files"],
        "conflicts": ["Stock, pine 1x6 8ft, pack price: 8.1 in the workbook, 7.9 in the files"],
    }
    assert report.needs_a_look
    book = desk.look()
    assert book.column("Stock", "price")[:4] == [4.4, 8.1, 0, 12.4]
    assert book.line("Settings", "labor_rate").value == 26
    assert price(desk.folder, None).definitions.settings.labor_rate == 26


def test_a_second_compile_has_nothing_to_tell(desk: Desk) -> None:
    """What was kept or listed once is not told again, and the file stays the same."""
    with desk.open() as book:
        book.put("Stock", 0, price=4.4)
        book.add("Sales ledger", **SALE)
        book.cell("Stock", "price", 1).fill = PatternFill("solid", fgColor="FFAA00")
    desk.replace("stock.yaml", "price: 4.15", "price: 4.20")
    assert told(desk.compile()).keys() == {"conflicts"}
    first = desk.path.read_bytes()
    again = desk.compile()

    assert told(again) == {}
    assert not again.frozen
    assert not again.look
    assert desk.path.read_bytes() == first
    book = desk.look()
    colours = [book.cell("Stock", "price", n).fill.fgColor.rgb[-6:] for n in range(4)]
    assert [colour == "FFAA00" for colour in colours] == [False, True, False, False]


@pytest.mark.deep
def test_a_whole_project_typed_in(desk: Desk) -> None:
    """A new stock and a new project typed into the sheets are planned and priced."""
    with desk.open() as book:
        book.add("Stock", stock="oak 1x4 6ft", kind="lumber", nominal="1x4", length=72, price=18)
        book.add("Projects", project="key shelf", title="Key shelf", batch=3)
        book.add(
            "Cut list",
            project="key shelf",
            part="shelf",
            make=1,
            thickness=0.75,
            width=3.5,
            length="14 3/8",
            stocks="oak 1x4 6ft",
        )
        book.add("Work steps", project="key shelf", step="cut", setup=5, minutes=4)
    report = desk.compile()
    book = desk.look()
    row = book.row_of("Stock", "stock", "oak 1x4 6ft")
    costs = price(desk.folder, None).filled.tables["Projects"].set_index("project")

    assert [str(each) for each in report.changes.added] == [
        "Stock, oak 1x4 6ft (in the workbook)",
        "Projects, key shelf (in the workbook)",
        "Cut list, key shelf, shelf (in the workbook)",
        "Work steps, key shelf, cut (in the workbook)",
    ]
    assert [book.cell("Stock", name, row).value for name in ("thickness", "width")] == [0.75, 3.5]
    assert "key shelf" in book.book.sheetnames
    assert book.column("Pricing tiers", "project").count("key shelf") == 3
    assert costs.at["key shelf", "material"] > 0
    assert costs.at["key shelf", "labor"] > 0
    assert told(desk.compile()) == {}


@pytest.mark.deep
def test_rows_deleted_stay_deleted(desk: Desk) -> None:
    """Deleted in the workbook: listed once, never back, whatever the files go on saying."""
    with desk.open() as book:
        book.delete("Work steps", book.row_of("Work steps", "step", "finish"))
    assert told(desk.compile()) == {"deleted": ["Work steps, herb rail, finish (in the workbook)"]}
    assert told(desk.compile()) == {}
    desk.replace("projects/herb-rail.yaml", "minutes: 4}", "minutes: 5}")
    report = desk.compile()

    assert told(report).keys() == {"conflicts"}
    assert "finish" not in desk.look().column("Work steps", "step")


@pytest.mark.deep
def test_a_new_name_is_followed(desk: Desk) -> None:
    """A stock renamed in the workbook is known again, and its parts are cut from it."""
    with desk.open() as book:
        book.put("Stock", 1, stock="pine board")
        book.put("Projects", 0, project="herb shelf")
        book.put("Tiers", 0, tier="stall")
        book.add("Counts", date=datetime(2026, 1, 1), stock="Pine 1x6 8ft", quantity=3, value=9)
    report = desk.compile()
    book = desk.look()

    assert {(each.old, each.new) for each in report.changes.renamed} == {
        ("pine 1x6 8ft", "pine board"),
        ("herb rail", "herb shelf"),
        ("market stall", "stall"),
    }
    assert set(told(report)) == {"renamed"}
    assert not report.look
    assert {line for line in report.notices if " now, " in line} == {
        "Sales ledger: 2 rows say herb shelf now, herb rail before",
        "Sales ledger: 2 rows say stall now, market stall before",
        "Production log: 1 row says herb shelf now, herb rail before",
        "Counts: 1 row says pine board now, pine 1x6 8ft before",
        "Counts: 1 row says herb shelf now, herb rail before",
    }
    assert "herb rail" not in book.column("Sales ledger", "project")
    assert book.column("Cut list", "stocks")[0] == "pine board"
    assert book.column("Cut list", "project")[0] == "herb shelf"
    assert "herb shelf" in book.book.sheetnames
    assert told(desk.compile()) == {}
    desk.replace(
        "stock.yaml",
        "stock: pine 1x6 8ft, nominal: 1x6, length: 96, price: 7.60",
        "stock: pine 1x6 8ft, nominal: 1x6, length: 96, price: 7.70",
    )
    desk.compile()
    assert desk.look().cell("Stock", "price", 1).value == 7.7


@pytest.mark.deep
def test_a_row_of_the_workbook_alone_renamed(desk: Desk) -> None:
    """No file knows its old name, so the next compile need not either."""
    with desk.open() as book:
        book.add("Stock", stock="hinge", kind="hardware", price=3, pack=2)
    desk.compile()
    with desk.open() as book:
        book.put("Stock", book.row_of("Stock", "stock", "hinge"), stock="brass hinge")
    report = desk.compile()
    first = desk.path.read_bytes()

    assert told(report) == {"renamed": ["Stock: hinge is now brass hinge"]}
    assert not told(desk.compile())
    assert desk.path.read_bytes() == first


@pytest.mark.deep
def test_ledgers_are_carried_whole(tmp_path: Path) -> None:
    """Sorted, with gaps, more rows than were ready, days as text, and words nobody understands."""
    desk = Desk(tmp_path)
    with desk.open() as book:
        rows = [SALE | {"receipt": f"R{n}", "note": f"n{n}"} for n in range(420)]
        for n, row in enumerate(rows):
            book.put("Sales ledger", 5 + n, **row)
        book.put("Sales ledger", 10, date="14 May 2026")
        book.put("Sales ledger", 11, date="03/04/2026")
        book.put("Sales ledger", 12, quantity="two")
        book.put("Sales ledger", 0, **SALE)
    before = desk.look()
    report = desk.compile()
    book = desk.look()

    assert book.column("Sales ledger", "receipt") == before.column("Sales ledger", "receipt")
    assert book.column("Sales ledger", "note") == before.column("Sales ledger", "note")
    assert book.cell("Sales ledger", "date", 10).value == datetime(2026, 5, 14)
    assert (
        book.cell("Sales ledger", "date", 11).value == '"03/04/2026"'
    )  # no program takes it for a day
    assert book.cell("Sales ledger", "quantity", 12).value == "two"
    assert [line.split(":")[0] for line in report.look] == [
        "Sales ledger!A18",
        "Sales ledger!F19",
    ]
    spot = book.book["Sales ledger"].tables["Sales_ledger"].ref
    assert int(spot.split(":")[1].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")) >= 6 + 425 + 100
    again = desk.compile()
    assert told(again) == {}
    assert desk.look().cell("Sales ledger", "quantity", 12).value == "two"


@pytest.mark.deep
def test_costs_are_frozen_once(desk: Desk) -> None:
    """A sale keeps the cost of its compile, whatever prices do later."""
    then = desk.look().column("Sales ledger", "unit_cost")
    assert all(cost > 0 for cost in then)
    with desk.open() as book:
        book.put("Stock", 1, price=70)
        book.add("Sales ledger", **SALE)
    report = desk.compile()
    now = desk.look().column("Sales ledger", "unit_cost")

    assert now[:3] == then
    assert now[3] > now[0] + 1
    assert [each["row"] for each in report.frozen] == ["104, herb rail"]
    assert not desk.compile().frozen


@pytest.mark.deep
def test_values_over_formulas(desk: Desk) -> None:
    """Named by cell, kept as a note, the formula put back, and Checks says so until it is seen."""
    formula = desk.look().cell("Projects", "unit_cost", 0).value
    with desk.open() as book:
        book.cell("Projects", "unit_cost", 0).value = 12.5
        book.line("Year-end", "net_profit").value = 99
        book.cell("Projects", "labor", 1).value = "=1+1"
        column = book.cell("Projects", "unit_cost", 0).column_letter
    report = desk.compile()
    book = desk.look()
    cell = book.cell("Projects", "unit_cost", 0)

    assert cell.value == formula
    assert "12.5" in cell.comment.text
    assert str(book.line("Year-end", "net_profit").value).startswith("=")
    assert any(line.startswith(f"Projects!{column}7:") for line in report.look)
    assert any("formula of yours" in line for line in report.look)
    assert "=1+1" in book.cell("Projects", "labor", 1).comment.text
    found = {each["check"]: each for each in report.checks}["formulas that a value was typed over"]
    assert (found["ok"], found["difference"]) == (False, 2)
    first = desk.path.read_bytes()
    again = desk.compile()
    assert not again.look
    assert desk.path.read_bytes() == first
    with desk.open() as book:
        book.cell("Projects", "unit_cost", 0).comment = None
        book.line("Year-end", "net_profit").comment = None
    checks = {each["check"]: each for each in desk.compile().checks}
    assert checks["formulas that a value was typed over"]["ok"]


@pytest.mark.deep
def test_a_formula_over_the_rules_of_another_version(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ours of then are known by what was remembered, so only the maker's is told."""
    ours = BookLayout.column_formula

    def changed(self: BookLayout, spot: TableSpot, column: Column) -> str | None:
        text = ours(self, spot, column)
        return None if text is None else f"({text})"

    with desk.open() as book:
        book.cell("Projects", "labor", 1).value = "=1+1"
        place = book.cell("Projects", "labor", 1).coordinate
    monkeypatch.setattr(BookLayout, "column_formula", changed)
    report = desk.compile()

    assert [line.split(": ")[0] for line in report.look] == [f"Projects!{place}"]
    assert "=1+1" in desk.look().cell("Projects", "labor", 1).comment.text


@pytest.mark.deep
def test_values_over_planned_cells(desk: Desk) -> None:
    """A planned cell is planned anew; what was typed there is told and kept as a note."""
    with desk.open() as book:
        book.cell("Yield", "boards", 2).value = 77
    report = desk.compile()
    cell = desk.look().cell("Yield", "boards", 2)

    assert cell.value != 77
    assert "77" in cell.comment.text
    assert [line.split(":")[1].split()[0] for line in report.look] == ["77"]
    assert not desk.compile().look


@pytest.mark.deep
def test_own_columns_move_with_their_rows(desk: Desk) -> None:
    """Values, formulas, drop-downs and colours beside a table; rows added above and deleted."""
    with desk.open() as book:
        book.delete("Stock", book.row_of("Stock", "stock", "wood glue") - 1)
        sheet = book.book["Stock"]
        right = sheet.max_column + 1
        letter = sheet.cell(row=1, column=right).column_letter
        sheet.cell(row=6, column=right, value="shelf").font = Font(bold=True)
        names = book.column("Stock", "stock")
        price_letter = book.cell("Stock", "price", 0).column_letter
        for n, name in enumerate(names):
            sheet.cell(row=7 + n, column=right, value=f"bin of {name}")
            sheet.cell(row=7 + n, column=right + 1, value=f"={price_letter}{7 + n}*2")
        sheet.cell(row=8, column=right).fill = PatternFill("solid", fgColor="00B0F0")
        sheet.column_dimensions[letter].width = 31
        rule = DataValidation(type="list", formula1='"left,right"')
        rule.add(f"{letter}7:{letter}30")
        sheet.add_data_validation(rule)
    desk.replace("stock.yaml", *A_NEW_STOCK)
    desk.replace("projects/herb-rail.yaml", "  - {stock: brass cup pull, each: 2}\n", "")
    (desk.folder / "ideas.yaml").write_text("ideas: []\n", encoding="utf-8")
    desk.compile()
    book = desk.look()
    sheet = book.book["Stock"]
    names = book.column("Stock", "stock")

    assert names[1] == "fir 1x2 8ft"
    assert "brass cup pull" not in names
    assert sheet.cell(row=6, column=right).value == "shelf"
    for n, name in enumerate(names):
        own, formula = (sheet.cell(row=7 + n, column=right + at).value for at in (0, 1))
        if name == "fir 1x2 8ft":
            assert (own, formula) == (None, None)
        else:
            assert (own, formula) == (f"bin of {name}", f"={price_letter}{7 + n}*2")
    assert sheet.cell(row=9, column=right).fill.fgColor.rgb.endswith("00B0F0")
    assert sheet.column_dimensions[letter].width == 31
    assert any(letter in str(each.sqref) for each in sheet.data_validations.dataValidation)
    first = desk.path.read_bytes()
    desk.compile()
    assert desk.path.read_bytes() == first


@pytest.mark.deep
def test_own_sheets_and_their_references(desk: Desk) -> None:
    """A sheet of the maker's with formulas, formats and names; what it refers to is followed."""
    with desk.open() as book:
        own = book.book.create_sheet("My sums", 3)
        glue = 7 + book.row_of("Stock", "stock", "wood glue")
        gone = 7 + book.row_of("Work steps", "step", "finish")
        price_letter = book.cell("Stock", "price", 0).column_letter
        minutes = book.cell("Work steps", "minutes", 0).column_letter
        own["A1"], own["A1"].font = "glue", Font(italic=True, color="C00000")
        own["B1"] = f"=Stock!${price_letter}${glue}*2"
        own["B2"] = f"=SUM(Stock!{price_letter}7:{price_letter}13)"
        own["B3"] = f"='Work steps'!{minutes}{gone}"
        own["B4"] = "=Settings!" + book.line("Settings", "labor_rate").coordinate
        own["B5"] = "=B4+1"
        own["B1"].number_format = '0.000" glue"'
        own["C1"].comment = Comment("by the pot", "me", height=50, width=120)
        own["C1"] = "x"
        own.column_dimensions["A"].width = 44
        own.merge_cells("A8:B8")
        own.conditional_formatting.add(
            "B1:B5",
            CellIsRule(operator="greaterThan", formula=["5"], fill=PatternFill(bgColor="FF0000")),
        )
        names: Any = book.book.defined_names
        names["glue_price"] = DefinedName("glue_price", attr_text=f"Stock!${price_letter}${glue}")
        book.delete("Work steps", gone - 7)
    desk.replace("stock.yaml", *A_NEW_STOCK)
    report = desk.compile()
    book = desk.look()
    own = book.book["My sums"]

    assert book.book.sheetnames[3] == "My sums"
    assert own["B1"].value == f"=Stock!${price_letter}${glue + 1}*2"
    assert own["B2"].value == f"=SUM(Stock!{price_letter}7:{price_letter}14)"
    assert own["B4"].value == "=Settings!" + book.line("Settings", "labor_rate").coordinate
    assert own["B5"].value == "=B4+1"
    assert own["B1"].number_format == '0.000" glue"'
    assert own["A1"].font.color.rgb.endswith("C00000")
    assert own["C1"].comment.text == "by the pot"
    assert own.column_dimensions["A"].width == 44
    assert [str(area) for area in own.merged_cells.ranges] == ["A8:B8"]
    assert len(own.conditional_formatting) == 1
    assert book.book.defined_names["glue_price"].attr_text == f"Stock!${price_letter}${glue + 1}"
    first = desk.path.read_bytes()
    desk.compile()
    assert desk.path.read_bytes() == first
    assert report


@pytest.mark.deep
def test_notes_colours_and_widths_on_our_sheets(desk: Desk) -> None:
    """A note, a fill, bold letters, a wider column, a colour rule: with their rows."""
    with desk.open() as book:
        cell = book.cell("Stock", "price", 1)
        cell.comment = Comment("ask for a better price", "me")
        cell.fill = PatternFill("solid", fgColor="FFC000")
        book.cell("Stock", "vendor", 0).font = Font(bold=True)
        book.book["Stock"].column_dimensions["A"].width = 40
        book.book["Stock"].conditional_formatting.add(
            f"{cell.column_letter}7:{cell.column_letter}20",
            CellIsRule(operator="greaterThan", formula=["10"], fill=PatternFill(bgColor="AABBCC")),
        )
        book.book["herb rail"]["H3"] = "sharpen the plane first"
        book.book["Stock"]["E1"] = "from my old list"
        book.book["Stock"].merge_cells("CK3:CL3")
        rules = len(book.book["Stock"].conditional_formatting)
    desk.replace("stock.yaml", *A_NEW_STOCK)
    desk.compile()
    book = desk.look()
    cell = book.cell("Stock", "price", 2)

    assert cell.comment.text == "ask for a better price"
    assert cell.fill.fgColor.rgb.endswith("FFC000")
    assert book.cell("Stock", "vendor", 0).font.b
    assert book.cell("Stock", "price", 1).comment is None
    assert book.book["Stock"].column_dimensions["A"].width == 40
    assert len(book.book["Stock"].conditional_formatting) == rules
    assert [str(area) for area in book.book["Stock"].merged_cells.ranges] == ["CK3:CL3"]
    assert book.book["herb rail"]["H3"].value == "sharpen the plane first"
    assert book.book["Stock"]["E1"].value == "from my old list"


def test_formulas_in_given_cells(desk: Desk) -> None:
    """A price typed as a sum stays one; without a value yet it is asked for."""
    with desk.open() as book:
        book.cell("Stock", "price", 0).value = "=8.30/2"
    with pytest.raises(DefinitionError, match=r"Stock!\w+7: pack price: .*no value yet"):
        desk.compile()


WRONG = ("price", "kind")


def test_mistakes_are_told_by_cell(desk: Desk) -> None:
    """Everything that cannot be planned with, at once, by sheet and cell; nothing is written."""
    with desk.open() as book:
        book.put("Stock", 0, price="cheap")
        book.put("Stock", 1, kind="plank")
        price_at, kind_at = (book.cell("Stock", name, n).coordinate for n, name in enumerate(WRONG))
        book.put("Cut list", 0, stocks="pine 1x7")
        book.put("Projects", 1, project="Herb rail")
        book.add("Cut list", project="herb rail", part="lid", make=1, thickness=0.5, width=2)
    before = desk.path.read_bytes()
    with pytest.raises(DefinitionError) as refused:
        desk.compile()
    lines = [str(problem) for problem in refused.value.problems]

    assert desk.path.read_bytes() == before
    for start in (
        f"Stock!{price_at}: pack price: 'cheap' is not understood; a number is needed",
        f"Stock!{kind_at}: kind: 'plank' is not known",
        "Cut list!G7: cut from: there is no stock",
        "Projects!A8: project: 'Herb rail' stands at",
        "Cut list!F",
    ):
        assert any(line.startswith(start) for line in lines), (start, lines)


@pytest.mark.deep
def test_a_lost_memory(desk: Desk) -> None:
    """Without the hidden sheet the workbook wins, and what the files say otherwise is listed."""
    with desk.open() as book:
        del book.book["As compiled"]
        book.put("Stock", 0, price=4.4)
        book.book["herb rail"]["H3"] = "mine"
    report = desk.compile()

    assert told(report)["conflicts"] == [
        "Stock, spruce 2x4 8ft, pack price: 4.4 in the workbook, 4.15 in the files"
    ]
    assert any("hidden sheet" in line for line in report.look)
    assert desk.look().cell("Stock", "price", 0).value == 4.4
    assert desk.look().book["herb rail"]["H3"].value == "mine"
    assert told(desk.compile()) == {}


@pytest.mark.deep
def test_settings_that_only_the_files_change(desk: Desk) -> None:
    """The currency typed over: listed with both values, and the files' stands."""
    with desk.open() as book:
        book.line("Settings", "currency").value = "EUR"
    report = desk.compile()

    cell = desk.look().line("Settings", "currency").coordinate
    assert told(report) == {}
    assert (
        f"Settings!{cell}: 'EUR' was typed, but currency is changed in shop.yaml alone;"
        " 'USD' stands there again"
    ) in report.look
    assert desk.look().line("Settings", "currency").value == "USD"
    assert gather(desk.folder, None).definitions.settings.as_of == date(2026, 6, 1)


@pytest.mark.deep
def test_a_maker_at_libreoffice(desk: Desk) -> None:
    """A column put into a table, a row into its middle, a sum as a price, a sheet renamed."""
    look = desk.look()
    price_cell = look.cell("Stock", "price", 0).coordinate
    price_at, kind_at = (look.cell("Stock", name, 2).coordinate for name in WRONG)
    saved = desk.folder / "saved.xlsx"
    edits = f'''
Dim s As Object
s = b.Sheets.getByName("Stock")
s.getCellRangeByName("{price_cell}").Formula = "=8.30/2+1"
s.Rows.insertByIndex(8, 1)
s.getCellRangeByName("A9").String = "tee nut"
s.getCellRangeByName("{kind_at}").String = "hardware"
s.getCellRangeByName("{price_at}").Value = 6
s.Columns.insertByIndex(3, 1)
s.getCellRangeByName("D6").String = "shelf"
s.getCellRangeByName("D10").String = "top shelf"
s.Annotations.insertNew(s.getCellRangeByName("A10").CellAddress, "given by a friend")
b.Sheets.insertNewByName("My list", 2)
b.Sheets.getByName("My list").getCellRangeByName("A1").Formula = "=$Stock.A10"
s.Rows(7).Height = 1400
Dim o As Object
o = b.Sheets.getByName("My list")
o.getCellRangeByName("A1").NumberFormat = b.NumberFormats.addNew("0.0000", b.CharLocale)
o.Rows(3).Height = 1600
o.Rows(4).IsVisible = False
Dim v As Object
v = o.getCellRangeByName("B2").Validation
v.Type = com.sun.star.sheet.ValidationType.LIST
v.setFormula1("""yes"";""no""")
o.getCellRangeByName("B2").Validation = v
Dim c As Object, p(2) As New com.sun.star.beans.PropertyValue
c = o.getCellRangeByName("B1:B3").ConditionalFormat
p(0).Name = "Operator" : p(0).Value = com.sun.star.sheet.ConditionOperator.GREATER
p(1).Name = "Formula1" : p(1).Value = "5"
p(2).Name = "StyleName" : p(2).Value = "Good"
c.addNew(p())
o.getCellRangeByName("B1:B3").ConditionalFormat = c
Dim at As New com.sun.star.table.CellAddress
b.NamedRanges.addNewByName("pine_price", "$Stock.$A$8", at, 0)
b.CurrentController.setActiveSheet(o)
b.CurrentController.freezeAtPosition(1, 2)
b.Sheets.getByName("Work steps").Name = "Steps"
b.Sheets.getByName("Counts").Name = "Counted"
'''
    type_and_save(desk.path, saved, {}, edits)
    shutil.move(saved, desk.path)
    report = desk.compile()
    book = desk.look()
    names = book.column("Stock", "stock")
    barn = 7 + names.index("barn board")

    assert told(report) == {
        "kept": ["Stock, spruce 2x4 8ft, pack price: 5.15 in the workbook, 4.15 in the files"],
        "added": ["Stock, tee nut (in the workbook)"],
    }
    assert names[2] == "tee nut"
    assert book.cell("Stock", "price", 0).value == "=8.30/2+1" or (
        book.cell("Stock", "price", 0).value == "=8.3/2+1"
    )
    assert "Work steps" in book.book.sheetnames
    assert not report.look
    mine = book.book["My list"]
    assert mine["A1"].number_format.endswith("0.0000")
    assert (round(mine.row_dimensions[4].height), mine.row_dimensions[5].hidden) == (45, True)
    assert mine.freeze_panes == "B3"
    assert [each.formula1 for each in mine.data_validations.dataValidation] == ['"yes,no"']
    assert [str(each.sqref) for each in mine.conditional_formatting] == ["B1:B3"]
    assert book.book.defined_names["pine_price"].attr_text == "Stock!$A$8"
    assert round(book.book["Stock"].row_dimensions[8].height) == 40
    assert book.book["My list"]["A1"].value == f"=Stock!A{barn}"
    assert book.book["Stock"][f"A{barn}"].comment.text.strip().endswith("given by a friend")
    own = [
        cell.coordinate for row in book.book["Stock"] for cell in row if cell.value == "top shelf"
    ]
    assert [address.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ") for address in own] == [str(barn)]
    assert price(desk.folder, None).filled.tables["Stock"]["price"].iat[0] == 5.15
