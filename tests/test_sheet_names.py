"""Shop sheets whose project bears the name of another sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from notchbook.sheets.kit.sheet_names import mark_name
from notchbook.workbook.layout import layout

from .desk import Desk, Sheets
from .maker import shop

BESIDE = "T5"
pytestmark = pytest.mark.usefixtures("few_rows")


def rename(desk: Desk, name: str, new: str) -> None:
    """Types another name for a project, and something beside its shop sheet."""
    with desk.open() as sheets:
        row = sheets.row_of("Projects", "project", name)
        sheets.put("Projects", row, project=new)
        if name in sheets.book.sheetnames:
            sheets.book[name][BESIDE] = "ask the hall for its colour"


def beside(sheets: Sheets, title: str) -> tuple[str, str]:
    sheet = sheets.book[title]
    return sheet["A1"].value, sheet[BESIDE].value


@pytest.mark.deep
def test_a_project_may_be_called_as_a_sheet_is(tmp_path: Path) -> None:
    """Its shop sheet is found again, linked to, and keeps what stands beside it."""
    desk = Desk(tmp_path, shop())
    rename(desk, "herb rail", "Money")
    desk.compile()
    sheets = desk.look()

    assert beside(sheets, "Money (piece)") == ("Money", "ask the hall for its colour")
    assert sheets.book["Money"]["A1"].value == "Money"
    link = sheets.cell("At a glance", "project", 0).hyperlink
    assert link is not None and link.location.startswith("'Money (piece)'!")

    rename(desk, "Money", "till box")
    desk.compile()
    assert beside(desk.look(), "till box") == ("till box", "ask the hall for its colour")
    assert "Money (piece)" not in desk.look().book.sheetnames


@pytest.mark.deep
def test_a_shop_sheet_follows_where_its_name_was_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A newer version has a sheet of that name."""
    desk = Desk(tmp_path, shop())
    with desk.open() as sheets:
        sheets.book["herb rail"][BESIDE] = "ask the hall for its colour"
    monkeypatch.setattr(
        layout,
        "title_pieces",
        lambda names, _: {each: mark_name(each, "piece", 1) for each in names},
    )
    told = desk.compile().notices

    assert beside(desk.look(), "herb rail (piece)") == ("herb rail", "ask the hall for its colour")
    assert any(line.startswith("the shop sheet of herb rail is called") for line in told)
