"""Small things that a maker does to our sheets: each is kept, or named."""

from __future__ import annotations

from pathlib import Path

import pytest

from notchbook.definitions import DefinitionError

from .desk import Desk
from .maker import shop


@pytest.fixture
def little(tmp_path: Path, few_rows: None) -> Desk:
    """A little shop with hardly anything to plan."""
    return Desk(tmp_path, shop())


@pytest.mark.deep
def test_blanks_and_protection_are_named(little: Desk) -> None:
    """Words are read without the blanks around them; a sheet is written without protection."""
    with little.open() as book:
        cell = book.cell("Stock", "vendor", 1)
        cell.value = "  Yard B "
        book.book["Stock"].protection.sheet = True
    report = little.compile()

    assert f"Stock!{cell.coordinate}: the blanks around the words are left out" in report.notices
    assert "Stock: the protection of the sheet was taken off" in report.notices
    assert little.look().cell("Stock", "vendor", 1).value == "Yard B"


def test_a_row_renamed_and_changed_in_one_go_is_pointed_out(little: Desk) -> None:
    """The refusal names the row that looks like the one which the files miss."""
    with little.open() as book:
        book.put("Stock", 0, stock="spruce stud", price=5)
    with pytest.raises(DefinitionError) as refused:
        little.compile()

    assert "Stock!A7: 'spruce stud' looks like 'spruce 2x4 8ft', which is gone" in str(
        refused.value
    )


@pytest.mark.deep
def test_a_renamed_project_leaves_one_shop_sheet(little: Desk) -> None:
    """The old one's boxes and drawings do not stand below the new one's."""
    before = little.look().book["herb rail"].max_row
    with little.open() as book:
        book.put("Projects", 0, project="spice rail")
    little.compile()
    book = little.look().book

    assert "herb rail" not in book.sheetnames
    assert book["spice rail"].max_row == before


@pytest.mark.deep
def test_a_project_renamed_and_changed_in_one_go_leaves_its_rows(little: Desk) -> None:
    """They belong to no project, are told, and stand there as they were."""
    with little.open() as book:
        book.put("Projects", 0, project="sill rail", title="Rail", batch=2, pace=1.2)
    report = little.compile()
    book = little.look()

    assert book.column("Projects", "project") == ["sill rail"]
    assert book.column("Cut list", "project") == ["herb rail"]
    told = (
        "Cut list!A7: project: the row of 'herb rail' on Projects was deleted; delete this"
        " one, too, bring that row back, or write the project that it is for"
    )
    assert told in report.look
