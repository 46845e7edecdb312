"""Books that were filed: the lines stay, the live ones go on, what differs is named."""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from pytest import approx

from notchbook.cli import main
from notchbook.commands.next_year import roll_forward
from notchbook.commands.year_end import format_summary
from notchbook.sheets import book_for
from notchbook.shop.filed_lines import as_filed, keep_filed, tell_filed
from notchbook.shop.named_rows import name_rows
from notchbook.shop.pipeline import list_checks, price

from .desk import Desk
from .worked import worked

DAY = datetime(2027, 3, 2)
SLIP = {"date": datetime(2026, 5, 6), "vendor": "Yard A", "what": "late slip"}
CHECK = "lines of Year-end that differ from what was filed"


@pytest.fixture
def filed(tmp_path: Path, few_rows: None) -> Desk:
    """The small shop with the day typed on Settings, compiled."""
    desk = Desk(tmp_path / "shop 2026")
    with desk.open() as book:
        book.line("Settings", "filed").value = DAY
    report = desk.compile()
    (said,) = (each for each in report.notices if "kept as filed on 2027-03-02" in each)
    assert int(said.split()[0]) > 40
    return desk


def check(desk: Desk) -> dict[str, object]:
    (found,) = (each for each in list_checks(price(desk.folder, None)) if each["check"] == CHECK)
    return found


def spend(desk: Desk) -> None:
    """A slip that turns up after the year was filed."""
    with desk.open() as book:
        book.add("Purchases", **SLIP, category="office", amount=40)


def test_a_line_is_kept_and_its_difference_named() -> None:
    """Of one slip more: its line, and those that follow from it; a day alone keeps nothing yet."""
    book, day = book_for("us", 2026, filed=True), date(2027, 3, 2)
    slips = [SLIP | {"date": date(2026, 5, 6), "category": "office", "amount": 40.0}]
    filled = worked({"Purchases": slips}, filed=day)
    keep_filed(book, filled, {}, {})
    kept = as_filed(filled)

    assert (kept["office"], kept["net_profit"]) == (40, -40)
    assert filled.lines["Checks", "filed_changed_state"] == "OK"

    later = worked({"Purchases": [*slips, slips[0] | {"amount": 2.5}]}, filed=day)
    keep_filed(book, later, {}, kept)
    name_rows(book, later, {})
    assert as_filed(later) == kept
    assert later.lines["Year-end", "net_profit"] == -42.5
    assert str(later.lines["Checks", "filed_changed_named"]).startswith("18 Office expense; 28")
    assert later.lines["Checks", "filed_changed_state"] == "look"
    assert tell_filed(later, kept) == []
    assert as_filed(worked({})) == {}


@pytest.mark.deep
def test_a_filed_line_stays_and_what_changes_is_named(filed: Desk) -> None:
    """The live line goes on beside it; the first compile tells that lines are kept."""
    before = filed.look().line("Year-end", "net_profit_filed").value
    spend(filed)
    report = filed.compile()
    book = filed.look()
    (found,) = (each for each in report.checks if each["check"] == CHECK)

    assert not [each for each in report.notices if "kept as filed" in each]
    assert (found["ok"], found["difference"]) == (False, 5)
    assert str(found["named"]).startswith("18 Office expense; 28 Total expenses")
    assert book.line("Year-end", "office_filed").value == 0
    assert book.line("Year-end", "net_profit_filed").value == before
    assert book.line("Year-end", "office").data_type == "f"


@pytest.mark.deep
def test_year_end_reads_what_was_filed(filed: Desk) -> None:
    """As text and as JSON, and says which lines would be others by now."""
    before = filed.look().line("Year-end", "net_profit_filed").value
    spend(filed)
    filed.compile()
    told = CliRunner().invoke(main, ["year-end", str(filed.folder), "--json"])
    said = json.loads(told.stdout)
    amounts = {each["line"]: each["amount"] for each in said["lines"]}
    found = price(filed.folder, None)

    assert said["filed"] == "2027-03-02"
    assert (amounts["18"], amounts["31"]) == (0, approx(before, abs=0.005))
    assert len(amounts) == len(said["lines"])  # each line once
    assert found.filled.lines["Year-end", "office"] == 40
    text = format_summary(found, full=True)
    assert "Lines as filed on 2027-03-02; by now they would be others: 18 Office" in text


@pytest.mark.deep
def test_an_emptied_day_drops_the_column_and_a_new_one_keeps_anew(filed: Desk) -> None:
    """Told both times; what was filed first is forgotten."""
    spend(filed)
    filed.compile()
    with filed.open() as book:
        book.line("Settings", "filed").value = None
    report = filed.compile()

    assert [each for each in report.notices if "are dropped, as Settings holds no day" in each]
    assert check(filed)["ok"]
    book = filed.look().book
    heads = [cell.value for row in book["Year-end"].iter_rows(max_row=7) for cell in row]
    assert "as filed" not in heads

    with filed.open() as book:
        book.line("Settings", "filed").value = datetime(2027, 4, 4)
    filed.compile()
    assert price(filed.folder, None).filled.lines["Year-end", "office_filed"] == 40
    assert check(filed)["ok"]


@pytest.mark.deep
def test_the_next_year_begins_with_what_was_filed(filed: Desk) -> None:
    """Line 41 as filed; the day itself is not carried, and a stock that changed is told."""
    lines = price(filed.folder, None).filled.lines
    closing = float(lines["Year-end", "closing_stock_filed"])
    with filed.open() as book:
        counted = {"date": datetime(2026, 12, 31), "quantity": 2, "value": 77.5}
        book.add("Counts", **counted, stock="wood glue")
        book.add(
            "Purchases", **SLIP, category="hardware", amount=90, stock="brass cup pull", packs=9
        )
    filed.compile()
    made = roll_forward(filed.folder, filed.folder.parent / "next")
    made.write()
    settings = price(made.folder, date(2027, 6, 1)).definitions.settings

    assert price(filed.folder, None).filled.lines["Year-end", "closing_stock"] != approx(closing)
    assert settings.carried_stock == approx(closing, abs=0.005)
    assert settings.filed is None
    assert [each for each in made.look if each.startswith("the stock at the end was filed as")]


@pytest.mark.deep
def test_a_day_in_the_files_is_read_and_adopted(tmp_path: Path, few_rows: None) -> None:
    """Typed in the workbook it goes into shop.yaml."""
    desk = Desk(tmp_path / "shop 2026")
    with desk.open() as book:
        book.line("Settings", "filed").value = DAY
    desk.compile()
    told = CliRunner().invoke(main, ["adopt", str(desk.folder), "--yes"])

    assert "filed: 2027-03-02" in (desk.folder / "shop.yaml").read_text(encoding="utf-8"), (
        told.output
    )
    desk.compile()
    assert price(desk.folder, None).definitions.settings.filed == date(2027, 3, 2)
