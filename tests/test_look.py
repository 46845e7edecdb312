"""The look: contrast, roles told apart, amounts by currency, what is printed."""

from __future__ import annotations

import re
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.workbook import Workbook

from notchbook.base.version import VERSION
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.show import AMOUNT, COUNT, LENGTH, MINUTES, MONEY, NAME, PERCENT
from notchbook.trade.money import currency_decimals
from notchbook.workbook.layout import style
from notchbook.workbook.layout.style import Formats, Styles
from notchbook.workbook.read.anchors import find_anchors
from notchbook.workbook.write import widths

from .every_book import BOOKS
from .examples import SHOPS, priced, workbook

LETTERS = [
    (style.PAPER, style.HEADER_FILL),
    (style.TYPED_INK, style.TYPED_FILL),
    (style.INK, style.WORKED_FILL),
    (style.INK, style.PLANNED_FILL),
    (style.LINK_INK, style.PAPER),
    (style.LINK_INK, style.PLANNED_FILL),
    style.GOOD,
    style.BAD,
    style.WARN,
    style.OLD,
]
GRAPHICS = [*style.CHART_CURVES, style.CHART_EDGE, *style.TABS.values()]


def light(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """The contrast ratio as WCAG 2.2 defines it."""
    dark, bright = sorted((light(one), light(other)))
    return (bright + 0.05) / (dark + 0.05)


def test_contrast_is_what_wcag_asks() -> None:
    """Its own extremes first: black on white is 21; then AA, 4.5 for letters, 3 for graphics."""
    assert contrast("000000", "FFFFFF") == pytest.approx(21)
    assert contrast("777777", "FFFFFF") < 4.5  # the well-known grey that just fails
    assert {pair: contrast(*pair) for pair in LETTERS if contrast(*pair) < 4.5} == {}
    assert {each for each in GRAPHICS if contrast(each, style.PAPER) < 3} == set()


def test_typed_and_worked_out_cells_differ_without_colour() -> None:
    """In grey print, their edges tell them apart."""
    book = Workbook()
    styles = Styles(book, Formats("inch", "USD", 2))
    edges = {}
    for row, role in enumerate(Role, 1):
        cell: Any = book["Sheet"].cell(row=row, column=1)
        cell._style = styles.cell(NAME, role)
        sides = (cell.border.left, cell.border.top)
        edges[role] = tuple(side.style if side else None for side in sides)

    assert len(set(edges.values())) == len(Role)


@pytest.mark.parametrize(
    ("currency", "plain"), [("USD", "#,##0.00"), ("JPY", "#,##0"), ("KWD", "#,##0.000")]
)
def test_amounts_have_the_decimals_of_their_currency(currency: str, plain: str) -> None:
    """ISO 4217 gives the yen none and the Kuwaiti dinar three."""
    formats = Formats("inch", currency, currency_decimals(currency))

    assert formats.code(MONEY, Role.GIVEN, quiet=False) == plain


def test_prices_by_the_piece_have_more_decimals_only_where_there_are_more() -> None:
    """A board of 4.28 is no 4.2800; a screw of 0.0895 is no 0.09. The yen has none to leave out."""
    names = ("USD", "JPY", "KWD")
    codes = [Formats("inch", name, currency_decimals(name)).pattern("rate") for name in names]

    assert codes == ["#,##0.00??", "#,##0.00", "#,##0.000??"]


def test_what_nobody_typed_is_no_zero() -> None:
    """Blank where a cell was left blank, a dash in results; a fee of 0 that was typed is told."""
    formats = Formats("inch", "USD", 2)
    sales = BOOKS["us"].tables["Sales ledger"]
    outlay = BOOKS["us"].tables["Material takeoff"].by_name["outlay"]
    shown = {
        name: formats.code(column.look, column.role, sales.is_quiet(column)).split(";")[2:3]
        for name, column in sales.by_name.items()
        if name in ("price", "discount", "fee", "net")
    }

    assert shown == {"price": [], "discount": [""], "fee": [], "net": [""]}
    assert formats.code(outlay.look, outlay.role, quiet=False) == (
        '[>=0.005]#,##0.00;[<=-0.005]-#,##0.00;"\N{EN DASH}"'  # what rounds to 0, too
    )
    assert formats.code(PERCENT, Role.PLANNED, quiet=False).startswith("[>=0.0005]0.0%;")
    assert formats.code(COUNT, Role.PLANNED, quiet=False).startswith("[>=0.5]#,##0;")
    assert formats.code(LENGTH, Role.PLANNED, quiet=False) == "# ??/??"  # a place on a board


def test_decimals_are_shown_where_there_are_any() -> None:
    """2 boards and 6.04 fl oz in one column; amounts of money keep their decimals."""
    inch, metric = Formats("inch", "USD", 2), Formats("mm", "EUR", 2)
    looks = {"amount": AMOUNT, "minutes": MINUTES, "money": MONEY, "size": LENGTH}
    codes = {
        units.units: {
            name: whole.code
            for name, look in looks.items()
            if (whole := units.whole(look, Role.PLANNED)) is not None
        }
        for units in (inch, metric)
    }

    inches = {"amount": "#,##0_._0_0", "minutes": "#,##0_._0"}
    assert codes == {"inch": inches, "mm": inches | {"size": "#,##0_._0"}}
    sheet: Any = load_workbook(workbook("inch"))["Stock"]
    letter = get_column_letter(find_anchors(sheet.parent)["nb_Stock_there_now"][2])
    found = [
        rule
        for area in sheet.conditional_formatting
        for rule in area.rules
        if str(area.sqref).startswith(f"{letter}7:")
    ]
    assert [rule.dxf.numFmt.formatCode for rule in found] == [inches["amount"]]
    assert found[0].formula == [f"AND(ROUND({letter}7,0)<>0,ROUND({letter}7,2)=ROUND({letter}7,0))"]


@pytest.mark.parametrize("shop", SHOPS)
def test_headers_are_two_lines_high_at_most(shop: str) -> None:
    """With the arrows of filters beside the words; where there are few rows there is none."""
    book: Any = load_workbook(workbook(shop))
    tall = {
        sheet.title: sheet.row_dimensions[6].height
        for sheet in book
        if (sheet.row_dimensions[6].height or 0) > 2 * 13.5 + 3
    }
    filtered = {table.name: table.autoFilter for sheet in book for table in sheet.tables.values()}

    assert tall == {}
    assert filtered["Sales_ledger"] and not filtered["Tiers"]


@pytest.mark.parametrize("shop", SHOPS)
def test_checks_show_first_what_is_not_ok(shop: str) -> None:
    """The others are folded away under headings that count them all."""
    book, sheet = load_workbook(workbook(shop)), load_workbook(workbook(shop), data_only=True)
    anchors = find_anchors(book)
    rows: Any = book["Checks"].row_dimensions
    cells: Any = sheet["Checks"]
    states = {
        place[1]: cells.cell(row=place[1], column=place[2]).value
        for name, place in anchors.items()
        if name.startswith("nb_Checks_") and name.endswith("_state")
    }
    counted = {
        place[1]: int(str(cells.cell(row=place[1], column=6).value).split()[0])
        for name, place in anchors.items()
        if name.startswith("nb_Checks_") and name.endswith("_group")
    }

    assert {row for row in states if rows[row].hidden} == {
        row for row, state in states.items() if state == "OK"
    }
    assert {"OK", "notice"} == set(states.values())
    assert sum(counted.values()) == len(states)
    for row, checks in counted.items():
        below = [rows[each].hidden for each in range(row + 1, row + 1 + checks)]
        assert below == sorted(below)  # what is in sight stands first


@pytest.mark.parametrize("shop", SHOPS)
def test_pages_repeat_headers_and_count_themselves(shop: str) -> None:
    """Every sheet prints with page numbers; of Yield only Batch sizes; tabs have group colours."""
    book: Any = load_workbook(workbook(shop))
    for name, group in ((sheet.name, sheet.group) for sheet in priced(shop).book.sheets[:-1]):
        ws = book[name]
        assert ws.oddFooter.right.text == "&P of &N"
        assert ws.sheet_properties.tabColor.rgb.endswith(style.TABS[group])
        assert ws.print_title_rows or name == "Start"

    assert book.properties.version == VERSION
    for name in ("Settings", "Marks", "Money", "Results"):  # what is folded away takes no page
        assert book[name].page_setup.fitToWidth == 1
    ideas = book["Ideas"]
    bottom = int(str(ideas.print_area).rpartition("$")[2])
    assert bottom < ideas.max_row - 5  # of blank rows only a few

    assert {book[name].print_title_rows for name in ("Settings", "Money", "Results")} == {"$1:$1"}
    yields = book["Yield"]
    assert yields.oddHeader.left.text.startswith("Yield: what a piece costs")
    area = re.findall(r"\$([A-Z]+)\$([0-9]+)", str(yields.print_area))
    assert yields[f"{area[0][0]}{area[0][1]}"].value == "Batch sizes"


@pytest.mark.parametrize("shop", SHOPS)
def test_no_printed_page_cuts_its_instruction(shop: str) -> None:
    """What a sheet says on top runs on over the columns in sight; so many of them are printed."""
    book: Any = load_workbook(workbook(shop))
    for ws in book.worksheets:
        if ws.sheet_state != "visible" or not ws.print_area or ws.title == "Yield":
            continue
        last = column_index_from_string(str(ws.print_area).rpartition("$")[0].rpartition("$")[2])
        room = 0.0
        for column in range(1, last + 1):
            size = ws.column_dimensions.get(get_column_letter(column))
            room += 8.43 if size is None else 0.0 if size.hidden else size.width
        assert widths.text_units(str(ws["A2"].value)) <= room, ws.title


WIDEST = 1_700  # pixels at 100 %; the sheets of plans and of figures are wider
WIDER = {"Yield", "Cut plan", "Tax tables"}


def pixels(sheet: Any, last: int = 1_000) -> float:
    """The width of the columns in sight up to the last, as a screen shows them."""
    sizes = {
        n: 0.0 if size.hidden else size.width * 7 + 5
        for size in sheet.column_dimensions.values()
        for n in range(size.min, size.max + 1)
    }
    used = max(
        column
        for row in sheet.iter_rows()
        for column in [each.column for each in row if each.value is not None]
    )
    return sum(width for n, width in sizes.items() if n <= min(used, last))


@pytest.mark.parametrize("shop", SHOPS)
def test_sheets_fit_a_screen(shop: str) -> None:
    """With what only formulas need folded away; unfolded they would not."""
    book: Any = load_workbook(workbook(shop))
    shown = [sheet for sheet in book if sheet.sheet_state == "visible"]
    wide = {sheet.title: pixels(sheet) for sheet in shown if sheet.title not in WIDER}
    # what has a size stands beside the ideas, which are read first: each table fits for itself
    aside = find_anchors(book)["nb_Idea_cuts_idea"][2]
    wide["Ideas"], both = pixels(book["Ideas"], aside - 2), wide["Ideas"]
    wide["Idea cuts"] = both - wide["Ideas"]

    assert {title: width for title, width in wide.items() if width > WIDEST} == {}
    assert sum(size.width * 7 + 5 for size in book["Projects"].column_dimensions.values()) > 3_000


@pytest.mark.deep
def test_rows_are_as_high_as_the_longest_words_beside_one_another() -> None:
    """A note beside a table wraps and is not cut off; below the tables it runs on over nothing."""
    for name, column in (("Results", "C"), ("Settings", "C")):
        sheet: Any = load_workbook(workbook("inch"))[name]
        notes = [cell for cell in sheet[column][7:] if cell.value]
        room = sheet.column_dimensions[column].width - 2.1
        wrapped = [cell for cell in notes if cell.alignment.wrap_text]
        run_on = notes[len(wrapped) :]

        assert wrapped and run_on and not any(cell.alignment.wrap_text for cell in run_on)
        assert [
            cell.coordinate
            for cell in wrapped
            if widths.lines_of(cell.value, room) * 13.5 > sheet.row_dimensions[cell.row].height
        ] == []
        beside = [each.value for cell in run_on for each in sheet[cell.row][3:] if each.value]
        assert beside == []
        assert any(widths.lines_of(cell.value, room) > 1 for cell in run_on)


def test_no_table_without_a_title_beside_a_shop_sheet() -> None:
    """What formulas read of the marks stands off the page, and says so."""
    sheet: Any = load_workbook(workbook("inch"))["boot bench"]
    aside = next(
        each for row in sheet.iter_rows(min_col=11, max_col=11) for each in row if each.value
    )

    assert str(aside.value).startswith("Not printed")
    assert sheet.cell(aside.row + 1, 11).value == "part"


@pytest.mark.parametrize("shop", SHOPS)
def test_what_is_asked_first_stands_first(shop: str) -> None:
    """And folded columns stand behind the others, in one outline."""
    book: Any = load_workbook(workbook(shop))
    sheet = book["Projects"]
    heads = [cell.value for cell in sheet[6] if cell.value]
    folded = [size.hidden for _, size in sorted_sizes(sheet)][: len(heads)]

    assert heads[:3] == ["project", "verdict", "reason"]
    assert folded == sorted(folded)
    assert any(folded)
    assert all(size.outlineLevel == 1 for _, size in sorted_sizes(sheet) if size.hidden)


def sorted_sizes(sheet: Any) -> list[tuple[int, Any]]:
    """The sizes of a sheet's columns, from left to right."""
    sizes = sheet.column_dimensions.items()
    return sorted((column_index_from_string(letter), size) for letter, size in sizes)
