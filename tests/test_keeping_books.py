"""What the books added is the maker's too: settings of the year, tools, and columns of years."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from notchbook.commands.adopting import adoption
from notchbook.gathering import gather, load
from notchbook.sheets.tax.tool_rows import FormToolRow
from notchbook.shop.pipeline import price

from .desk import AS_OF, Desk, Sheets

TOOLS = "Tool depreciation"
LATHE = {
    "tool": "lathe",
    "cost": 1500,
    "in_service": datetime(2026, 3, 1),
    "tax_method": "straight line",
    "life_years": 15,
}


def years(book: Sheets) -> list[str]:
    return [name for name in book.columns(TOOLS) if name.startswith("year_")]


def beside(book: Sheets) -> int:
    """The first column right of all of ours."""
    return max(place[2] for place in book.columns(TOOLS).values()) + 2


@pytest.mark.deep
def test_the_years_of_the_books_settings(desk: Desk) -> None:
    """Each is kept, stays when the file has none, and a cleared one is its default."""
    with desk.open() as book:
        book.line("Settings", "written_off").value = 18.5
        book.line("Settings", "home_area").value = 120
        book.line("Settings", "income_tax_rate").value = "12%"
        book.line("Settings", "other_wages").value = None
    report = desk.compile()
    settings = price(desk.folder, None).definitions.settings

    assert sorted(each.column for each in report.changes.kept) == [
        "home_area",
        "income_tax_rate",
        "written_off",
    ]
    assert (settings.written_off, settings.home_area, settings.other_wages) == (18.5, 120, 0)
    assert settings.income_tax_rate == 0.12
    assert not list(desk.compile().changes)
    adoption(desk.folder).write()
    assert "year_end: {" in (desk.folder / "shop.yaml").read_text()
    made = load(desk.folder, AS_OF).settings
    assert (made.written_off, made.home_area, made.income_tax_rate) == (18.5, 120, 0.12)
    assert list(adoption(desk.folder).changed()) == []


@pytest.mark.deep
def test_what_the_tax_form_needs_of_a_tool(desk: Desk) -> None:
    """Convention, share, what was taken, and its sale: kept, adopted, and worked with."""
    with desk.open() as book:
        row = book.row_of(TOOLS, "tool", "jobsite table saw")
        book.put(TOOLS, row, convention="half-year", business_share=0.8, taken_before=100)
        book.put(TOOLS, row, acquired=datetime(2025, 5, 1), salvage=20)
        book.put(TOOLS, row, disposed=datetime(2026, 9, 1), disposed_for=300)
    report = desk.compile()

    assert len(report.changes.kept) == 7
    assert not list(desk.compile().changes)
    found = adoption(desk.folder)
    found.write()
    tools = {each.tool: each for each in load(desk.folder, AS_OF).table(TOOLS, FormToolRow)}
    saw = tools["jobsite table saw"]
    assert (saw.convention, saw.business_share, saw.taken_before) == ("half-year", 0.8, 100)
    assert (saw.acquired, saw.salvage) == (date(2025, 5, 1), 20)
    assert (saw.disposed, saw.disposed_for) == (date(2026, 9, 1), 300)
    assert found.left == []


@pytest.mark.deep
def test_columns_of_years_come_and_go(desk: Desk) -> None:
    """A long-lived tool makes the sheet wider, and narrower again; what stands beside follows."""
    with desk.open() as book:
        mine = beside(book)
        book.book[TOOLS].cell(row=6, column=mine, value="mine")
        later = book.cell(TOOLS, "later", 0).coordinate
        book.book[TOOLS].cell(row=7, column=mine, value=f"={later}*2")
        book.add(TOOLS, **LATHE)
    assert len(years(desk.look())) == 8
    (look,) = desk.compile().look
    assert "class for form" in look
    wide = desk.look()
    sheet = wide.book[TOOLS]

    assert years(wide) == [f"year_{n}" for n in range(16)]
    assert sheet.cell(row=6, column=beside(wide)).value == "mine"
    assert sheet.cell(row=7, column=beside(wide)).value == (
        f"={wide.cell(TOOLS, 'later', 0).coordinate}*2"
    )
    with desk.open() as book:
        last = book.cell(TOOLS, "year_15", 0).coordinate
        book.book[TOOLS].cell(row=8, column=beside(book), value=f"={last}+1")
        book.put(TOOLS, book.row_of(TOOLS, "tool", "lathe"), life_years=5)
    report = desk.compile()
    narrow = desk.look()
    sheet = narrow.book[TOOLS]

    assert len(years(narrow)) == 8
    assert sheet.cell(row=6, column=beside(narrow)).value == "mine"
    assert sheet.cell(row=8, column=beside(narrow)).value == "=#REF!+1"
    assert any("#REF!" in line for line in report.look)
    heads = [cell.value for cell in sheet[6]]
    assert sum(str(head).startswith("year") for head in heads) <= 8 + 1
    assert len([head for head in heads if head]) == len(set(filter(None, heads)))


@pytest.mark.deep
def test_a_value_over_a_year_is_found_in_every_year(desk: Desk) -> None:
    """Over the formula of a far year: a note while the year is shown, told when it goes."""
    with desk.open() as book:
        book.add(TOOLS, **LATHE)
    desk.compile()
    with desk.open() as book:
        row = book.row_of(TOOLS, "tool", "lathe")
        book.put(TOOLS, row, year_12=77, year_14=99)
        over = book.cell(TOOLS, "year_12", row).coordinate
    assert any(f"{TOOLS}!{over}" in line for line in gather(desk.folder, None).look)
    desk.compile()
    book = desk.look()
    assert str(book.cell(TOOLS, "year_12", row).value).startswith("=")
    assert "77" in book.cell(TOOLS, "year_12", row).comment.text
    with desk.open() as again:
        again.put(TOOLS, row, life_years=5, year_12=88)
    report = desk.compile()

    assert any("88" in line for line in report.look)
    assert len(years(desk.look())) == 8


@pytest.mark.deep
def test_formulas_over_ours_are_found_while_the_years_change(desk: Desk) -> None:
    """Another number of years changes the rules of the tools alone."""
    with desk.open() as book:
        book.add(TOOLS, **LATHE)
        book.put("Stock", 0, each="=1+1")
    report = desk.compile()

    assert "=1+1" in desk.look().cell("Stock", "each", 0).comment.text
    assert any("a formula of yours" in line for line in report.look)
