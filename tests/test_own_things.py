"""Things of the maker's that stand on, beside and around cells of ours, each after one compile."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from openpyxl.comments import Comment
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Alignment, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.formula import ArrayFormula, DataTableFormula

from notchbook.base.refusals import RefusedError
from notchbook.commands.compile import Report
from notchbook.workbook.carry.formula_moves import Moves, Region, SheetMove
from notchbook.workbook.file.book import areas_printed
from notchbook.workbook.layout.layout import quoted

from .calc import type_and_save
from .desk import Desk, Sheets, few_blank_rows
from .maker import shop

PEG = "projects/peg-rail.yaml"


class Kept:
    """The workbook after the compile, what was told, and where the maker's column stands."""

    def __init__(self, desk: Desk, report: Report, column: int) -> None:
        self.desk, self.report, self.column = desk, report, column
        self.book = desk.look()
        self.stock = self.book.book["Stock"]


def type_everything(book: Sheets) -> int:
    """All that a maker may do; gives the first column of their own beside Stock."""
    sheets = book.book
    ws: Any = sheets["Stock"]
    own: int = ws.max_column + 1
    ws.print_area = "A1:H9"
    for size in ws.column_dimensions.values():
        size.hidden = False  # the outline is opened
    for size in sheets["Checks"].row_dimensions.values():
        size.hidden = False
    letter = get_column_letter(own)
    book.line("Settings", "labor_rate").value = "=20*1.25"
    mine = sheets.create_sheet("Mine")
    mine["B2"].comment = Comment("measure again", "me")
    mine["B4"] = DataTableFormula(ref="B4:B6", dt2D=False, r1="A1")
    mine["C1"] = "=SUM(Stock!I7:Stock!I8)"
    mine.sheet_format.defaultColWidth = 23
    vendor = book.cell("Stock", "vendor", 0)
    vendor.value, vendor.hyperlink = "Yard A", "https://yard-a.example/"
    price = book.cell("Stock", "price", 0)
    price.number_format, price.alignment = "0.000", Alignment(horizontal="center")
    for column, text in (("unit_cost", 12.5), ("labor", "=17.5*3")):
        cell = book.cell("Projects", column, 0)
        cell.comment, cell.value = Comment("agreed with Ann", "me"), text
    for name in ("list_vendors", "vendors"):
        sheets.defined_names[name] = DefinedName(name, attr_text="Stock!$A$7")
    rule = DataValidation(type="list", formula1='"Yard A,Yard B"')
    rule.add(vendor.coordinate)
    ws.add_data_validation(rule)
    red = PatternFill(bgColor="FFC7CE", fill_type="solid")
    row = vendor.row
    ws.conditional_formatting.add(f"{letter}7", FormulaRule(formula=[f'${letter}7<>""'], fill=red))
    ws.cell(row=row, column=own).value = f'=IF({price.coordinate}>3,\n  "dear",\n  "cheap")'
    ws.cell(row=row + 1, column=own).comment = Comment("count again", "me")
    gone = book.cell("Stock", "stock", book.row_of("Stock", "stock", "oak knob")).row
    ws.cell(row=gone, column=own).value = ArrayFormula(f"{letter}{gone}", "=SUM(I7:I8*2)")
    book.add("Sales ledger", receipt="N1", project="herb rail", tier="market stall", price=30)
    at = book.row_of("Sales ledger", "receipt", "N1")
    book.cell("Sales ledger", "quantity", at).value = datetime(2026, 1, 2)
    boards = book.column("Yield", "boards")
    other = next(n for n, each in enumerate(boards) if each != boards[0])
    book.cell("Yield", "boards", 0).value = boards[other]
    sheets["peg rail"]["L12"] = "jig is in the blue box"
    sheets["herb rail"]["D11"] = "=1+1"
    return own


def calculate(path: Path, values: dict[str, str]) -> None:
    """Puts values beside formulas, as a spreadsheet program does."""
    with zipfile.ZipFile(path) as source:
        parts = {name: source.read(name) for name in source.namelist()}
    with zipfile.ZipFile(path, "w") as target:
        for name, data in parts.items():
            sheet = name.startswith("xl/worksheets/sheet")
            target.writestr(name, with_values(data.decode(), values) if sheet else data)


def with_values(part: str, values: dict[str, str]) -> str:
    """A part of the package, its formulas with their values."""
    for formula, value in values.items():
        for empty in ("<v></v>", "<v />", "<v/>"):
            part = part.replace(f"<f>{formula}</f>{empty}", f"<f>{formula}</f><v>{value}</v>")
    return part


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kept]:
    """A little shop whose workbook was worked on everywhere, compiled once."""
    with few_blank_rows():
        desk = Desk(tmp_path_factory.mktemp("own"), shop())
        rail = (desk.folder / "projects/herb-rail.yaml").read_text(encoding="utf-8")
        (desk.folder / PEG).write_text(rail.replace("project: herb", "project: peg"), "utf-8")
        desk.compile()
        with desk.open() as book:
            own = type_everything(book)
        calculate(desk.path, {"20*1.25": "25"})
        (desk.folder / PEG).unlink()
        desk.replace("stock.yaml", "  - {stock: oak knob, price: 6.20, pack: 4}\n", "")
        yield Kept(desk, desk.compile(), own)


def told(kept: Kept) -> str:
    return "\n".join([*kept.report.look, *kept.report.notices])


def test_a_formula_on_settings_stays_a_formula(kept: Kept) -> None:
    """Its value counts, as that of a formula in a table does."""
    assert kept.book.line("Settings", "labor_rate").value == "=20*1.25"
    assert ("labor_rate", 25.0) in [(e.column, e.workbook) for e in kept.report.changes.kept]


def test_notes_on_empty_cells_stay(kept: Kept) -> None:
    """On an own sheet and beside a table."""
    beside = kept.stock.cell(row=kept.book.cell("Stock", "stock", 1).row, column=kept.column)

    assert kept.book.book["Mine"]["B2"].comment.text == "measure again"
    assert beside.comment.text == "count again"


def test_an_own_sheet_keeps_widths_and_what_ifs(kept: Kept) -> None:
    """The width of all columns, and a table of what-ifs."""
    mine = kept.book.book["Mine"]

    assert mine.sheet_format.defaultColWidth == 23
    assert isinstance(mine["B4"].value, DataTableFormula)
    assert (mine["B4"].value.ref, mine["B4"].value.r1) == ("B4:B6", "A1")


def test_an_own_area_to_print_stays(kept: Kept) -> None:
    assert areas_printed(kept.stock) == "A1:H8"  # a row of it is gone
    assert areas_printed(kept.book.book["Projects"]) != ""  # ours


def test_an_outline_that_was_opened_stays_open(kept: Kept) -> None:
    """And those that nobody opened stay closed, of columns and of rows."""
    sheets = kept.book.book
    for opened, other in (
        (kept.stock.column_dimensions, sheets["Projects"].column_dimensions),
        (sheets["Checks"].row_dimensions, sheets["Year-end"].row_dimensions),
    ):
        ours, others = (
            [size for size in each.values() if size.outlineLevel] for each in (opened, other)
        )
        assert ours and not any(size.hidden for size in ours)
        assert others and all(size.hidden for size in others)


@pytest.mark.deep
def test_a_check_that_is_not_ok_any_more_is_in_sight(tmp_path: Path) -> None:
    """Its row was folded away with those that are OK; they stay so."""
    with few_blank_rows():
        desk = Desk(tmp_path / "shop")
        with desk.open() as book:
            before = book.head("Checks", "purchases_undated")
            assert book.book["Checks"].row_dimensions[before[1]].hidden
            blank = next(n for n in range(99) if not book.cell("Purchases", "amount", n).value)
            for column, value in (("what", "glue"), ("category", "materials"), ("amount", 5)):
                book.cell("Purchases", column, blank).value = value
        desk.compile()

    now = desk.look()
    rows = now.book["Checks"].row_dimensions
    assert not rows[now.head("Checks", "purchases_undated")[1]].hidden
    assert rows[now.head("Checks", "purchases_below")[1]].hidden


def test_links_and_formats_of_given_cells_stay(kept: Kept) -> None:
    """A link, a number format and an alignment; other cells of the column keep ours."""
    price, next_one = (kept.book.cell("Stock", "price", row) for row in (0, 1))

    assert kept.book.cell("Stock", "vendor", 0).hyperlink.target == "https://yard-a.example/"
    assert (price.number_format, price.alignment.horizontal) == ("0.000", "center")
    assert (next_one.number_format, next_one.alignment.horizontal) != ("0.000", "center")


@pytest.mark.parametrize(("column", "said"), [("unit_cost", "12.5"), ("labor", "=17.5*3")])
def test_a_note_that_was_there_is_added_to(kept: Kept, column: str, said: str) -> None:
    """What was typed over a formula stands below it."""
    note = kept.book.cell("Projects", column, 0).comment.text

    assert note.startswith("agreed with Ann\n")
    assert said in note


def test_own_names_stay_whatever_they_begin_with(kept: Kept) -> None:
    """Those that look like ours, too."""
    assert {"vendors", "list_vendors"} <= set(kept.book.book.defined_names)


def test_own_rules_stay(kept: Kept) -> None:
    """A drop-down where we have none, a colour like ours in an own column."""
    vendor = kept.book.cell("Stock", "vendor", 0).coordinate
    rules = kept.stock.data_validations.dataValidation
    formats = [rule.formula for area in kept.stock.conditional_formatting for rule in area.rules]

    assert [rule.formula1 for rule in rules if vendor in str(rule.sqref)] == ['"Yard A,Yard B"']
    assert [f'${get_column_letter(kept.column)}7<>""'] in formats


def test_a_formula_of_several_lines_stays(kept: Kept) -> None:
    """Beside a table."""
    beside = kept.stock.cell(row=kept.book.cell("Stock", "stock", 0).row, column=kept.column)

    assert beside.value.count("\n") == 2


def test_a_formula_for_several_cells_beside_a_row_that_is_gone_stays(kept: Kept) -> None:
    """Below, where the report says it is."""
    found = [
        cell.value.text
        for row in kept.stock.iter_rows()
        for cell in row
        if isinstance(cell.value, ArrayFormula)
    ]

    assert len(found) == 1
    assert "its row is gone" in told(kept)


def test_a_day_where_a_number_belongs_changes_no_other_cell(kept: Kept) -> None:
    """It is kept as text, which counts for nothing, and named; the formats of its column stay."""
    at = kept.book.row_of("Sales ledger", "receipt", "N1")

    assert kept.book.cell("Sales ledger", "quantity", at).value == '"2026-01-02"'
    assert "yy" not in kept.book.cell("Sales ledger", "quantity", 0).number_format
    assert "yy" not in kept.book.cell("Stock", "price", 1).number_format


def test_a_planned_value_typed_over_is_noted_though_another_row_has_it(kept: Kept) -> None:
    """The column knew the value, but not in that row."""
    assert "You typed" in kept.book.cell("Yield", "boards", 0).comment.text


def test_what_stood_beside_a_shop_sheet_that_is_gone_stays(kept: Kept) -> None:
    """On a sheet of its own."""
    assert "peg rail" not in kept.book.book.sheetnames
    assert kept.book.book["peg rail (left)"]["L12"].value == "jig is in the blue box"
    assert "peg rail is gone" in told(kept)


def test_a_formula_on_a_shop_sheet_is_told(kept: Kept) -> None:
    """Where compile writes, it cannot stay."""
    assert told(kept).count("was typed where compile writes") == 1
    assert "=1+1 was typed where compile writes" in told(kept)


def test_a_second_compile_keeps_all_of_it(kept: Kept) -> None:
    """Nothing is told again but what still stands there, and nothing moves."""
    before = kept.desk.path.read_bytes()
    again = kept.desk.compile()

    assert not list(again.changes)
    assert all("quantity" in each or "Sales ledger" in each for each in again.look), again.look
    assert kept.desk.path.read_bytes() == before


def swapped() -> Moves:
    """A table whose three rows stand in another order now."""
    region = Region(6, 6, {7: 9, 8: 7, 9: 8}, 9, 9, {1: 1, 2: 2})
    return Moves({"Best": SheetMove("Best", [region], right=2, new_right=2)})


@pytest.mark.parametrize("text", ["=SUM(Best!A7:A9)", "=SUM(Best!A7:Best!A9)"])
def test_a_range_holds_all_its_rows_in_another_order(text: str) -> None:
    """Not only those between its ends; also where both ends name the sheet."""
    assert swapped().formula(text, "Mine") == ("=SUM(Best!A7:A9)", True)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("=Best[[#This Row],[price (USD)]]*2", "=Best[[#This Row],[price (USD)]]*2"),
        ("=SUM(Best['#])", "=SUM(Best['#])"),
        ("=SUM(Best[#All])", "=SUM(Best[#All])"),
        ("=SUM(Mine[my factor])", "=SUM(Mine[my factor])"),
        ("=Best[[#This Row],[my factor]]*2", "=#REF!*2"),
        ("=SUM(Best[my factor])", "=SUM(#REF!)"),
    ],
)
def test_columns_that_our_tables_have_not_are_told(text: str, said: str) -> None:
    """A spreadsheet program would call the file damaged."""
    moves = swapped()
    moves.headers = {"best": frozenset({"price (usd)", "#"})}

    assert moves.formula(text, "Best") == (said, said == text)


@pytest.mark.parametrize(
    ("name", "said"),
    [("Stock", "Stock"), ("bin4", "'bin4'"), ("R2", "'R2'"), ("3bins", "'3bins'"), ("rc", "'rc'")],
)
def test_names_that_look_like_cells_are_quoted(name: str, said: str) -> None:
    """ECMA-376 part 1, 18.17.2.3: such a name means a cell unless it is quoted."""
    assert quoted(name) == said


@pytest.mark.deep
def test_words_above_a_table_do_not_become_rows(desk: Desk) -> None:
    """Rows put in above a header, with words in a typed column."""
    with desk.open() as book:
        ws: Any = book.book["Stock"]
        ws.insert_rows(2, 30)
        for name, defined in list(book.book.defined_names.items()):
            if name.startswith("nb_Stock") and (defined.attr_text or "").startswith("Stock!"):
                row = int(defined.attr_text.rpartition("$")[2])
                defined.attr_text = defined.attr_text.rpartition("$")[0] + f"${row + 30}"
        for row in range(5, 29):
            ws.cell(row=row, column=1).value = f"remark {row}"
    count = len(desk.look().column("Stock", "stock"))
    desk.compile()
    said = [cell.value for row in desk.look().book["Stock"].iter_rows() for cell in row]

    assert len(desk.look().column("Stock", "stock")) == count
    assert {f"remark {row}" for row in range(5, 29)} <= set(said)


def test_a_row_at_the_end_of_the_sheet_is_asked_about(desk: Desk) -> None:
    """It would need a million rows above it."""
    with desk.open() as book:
        book.book["Mileage"].cell(row=1_048_576, column=2).value = "to the yard"

    with pytest.raises(RefusedError, match=r"row 1,048,576 of Mileage"):
        desk.compile()


@pytest.mark.usefixtures("few_rows")
def test_a_sheet_of_the_maker_s_that_is_called_as_one_of_ours(tmp_path: Path) -> None:
    """As in a workbook of a version that did not have ours: it gets another name, told."""
    desk = Desk(tmp_path, shop())
    with desk.open() as sheets:
        book = sheets.book
        del book["Ideas"]
        for name in [name for name, each in book.defined_names.items() if "Ideas" in each.value]:
            del book.defined_names[name]
        book.create_sheet("Ideas")["B1"] = 3
        book.create_sheet("Mine")["A1"] = "=Ideas!B1*2"
    report = desk.compile(accept_loss=True)  # nothing stood on ours
    found = desk.look()

    assert "your sheet Ideas is called Ideas (yours) now" in report.notices
    assert found.head("Ideas", "idea")[0] == "Ideas"
    assert found.book["Ideas (yours)"]["B1"].value == 3
    assert found.book["Mine"]["A1"].value == "='Ideas (yours)'!B1*2"


@pytest.mark.deep
def test_outlines_opened_in_libreoffice_stay_open_and_own_columns_follow(tmp_path: Path) -> None:
    """Of columns and of rows; a formula beside Stock stays with its row when one above goes."""
    elm, saved = "  - {stock: elm, nominal: 2x4, length: 96, price: 3}\n", tmp_path / "saved.xlsx"
    with few_blank_rows():
        desk = Desk(tmp_path / "shop", shop())
        desk.replace("stock.yaml", "lumber:\n", f"lumber:\n{elm}")
        desk.compile()
        book = desk.look()
        price = book.cell("Stock", "price", book.row_of("Stock", "stock", "elm"))
        own = get_column_letter(book.book["Stock"].max_column + 1)
        typed = f'getCellRangeByName("{own}{price.row}").Formula = "=2*{price.coordinate}"'
        done = (f"Stock.{typed}", "Stock.Columns.IsVisible = True", "Checks.Rows.IsVisible = True")
        edits = "\n".join(f"b.Sheets.{each}" for each in done)
        type_and_save(desk.path, saved, {}, edits)
        saved.replace(desk.path)
        desk.replace("stock.yaml", "  - {stock: oak knob, price: 6.20, pack: 4}\n", "")
        desk.compile()

    now = desk.look()
    follows = now.cell("Stock", "price", now.row_of("Stock", "stock", "elm"))
    stock, sheets = now.book["Stock"], now.book
    for sizes in (stock.column_dimensions, sheets["Checks"].row_dimensions):
        ours = [size for size in sizes.values() if size.outlineLevel]
        assert ours and not any(size.hidden for size in ours)
    assert any(size.hidden for size in sheets["Projects"].column_dimensions.values())
    assert any(size.hidden for size in sheets["Year-end"].row_dimensions.values())
    assert follows.row == price.row - 1
    assert stock[f"{own}{follows.row}"].value == f"=2*{follows.coordinate}"
