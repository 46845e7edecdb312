"""Shop sheets: drawn, told in words, two pages at most, and kept apart from what is the maker's."""

from __future__ import annotations

import io
import re
import zipfile
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.drawing.image import Image

from notchbook.base.spelling import Spelling
from notchbook.plan_views.cautions import choose_cautions
from notchbook.plan_views.ink.canvas import Canvas
from notchbook.workbook.file.drawings import DRAWING, put_picture
from notchbook.workbook.read.safety import not_carried

from .calc import type_and_save
from .examples import SHOPS, priced, workbook
from .office import convert
from .searching import seldom

ROOM = {"letter": 792 - 72 * 1.3, "a4": 841.9 - 72 * 1.3}  # points between the margins
_FRAME = re.compile(r'<(?:xdr:)?cNvPr id="\d+" name="([^"]*)" descr="([^"]*)"')


@cache
def shop_sheets(shop: str) -> Any:
    """The workbook of an example as values, its shop sheets only."""
    book = load_workbook(workbook(shop), data_only=True)
    projects = priced(shop).definitions.projects
    for name in book.sheetnames:
        if name not in projects:
            del book[name]
    book.defined_names.clear()
    return book


@pytest.mark.parametrize("shop", SHOPS)
def test_every_picture_has_its_name_and_words(shop: str) -> None:
    """Each drawing is numbered once in the workbook and says what is to be seen."""
    with zipfile.ZipFile(workbook(shop)) as package:
        parts = [name for name in package.namelist() if name.startswith("xl/drawings/drawing")]
        frames = [each for name in parts for each in _FRAME.findall(package.read(name).decode())]
        pictures = sum(name.startswith("xl/media/") for name in package.namelist())
    drawings = [(name, says) for name, says in frames if name.startswith(DRAWING)]

    assert len(drawings) == len({name for name, _ in drawings}) == pictures
    assert pictures > len(priced(shop).definitions.projects)
    assert all(re.match(r"Board|Blank|Sheet|The end of blank|\w+, \w+:", x) for _, x in drawings)
    assert not_carried(workbook(shop).read_bytes()) == []


@pytest.mark.parametrize("shop", ["metric", *seldom("inch")])
def test_all_boards_blanks_and_parts_are_drawn(shop: str) -> None:
    """What Cut plan tells of a project is on its drawings; its steps are all on its sheet."""
    plan = priced(shop).filled.tables["Cut plan"]
    for ws in shop_sheets(shop).worksheets:
        mine = plan[plan["project"] == ws.title]
        words = " ".join(str(image.anchor.pic.nvPicPr.cNvPr.descr) for image in ws._images)
        cells = " ".join(str(cell.value) for row in ws.iter_rows(max_col=9) for cell in row)
        for letter in set(mine[mine["kind"] == "cut"]["board"]):
            assert re.search(rf"(Board|Sheet) {letter},", words)
        told_cells = re.sub(r"\s+", " ", cells.replace("None ", ""))
        for text in mine[mine["kind"] == "step"]["says"]:
            assert re.sub(r"\s+", " ", text) in told_cells.replace(" □ ", " ")


@pytest.mark.parametrize("shop", SHOPS)
def test_nothing_runs_over_the_page(shop: str) -> None:
    """Lines and pictures end within the printed columns; no picture reaches into the next row."""
    for ws in shop_sheets(shop).worksheets:
        across = sum(ws.column_dimensions[letter].width for letter in "ABCDEFGHI") * 7 / 96
        for image in ws._images:
            frame = image.anchor
            left, down = frame._from.colOff / 914_400, frame.ext.height / 12_700
            assert left + frame.ext.width / 914_400 <= across
            assert down <= ws.row_dimensions[frame._from.row + 1].height + 0.5


@pytest.mark.parametrize("shop", SHOPS)
def test_no_header_alone_at_a_foot(shop: str) -> None:
    """Pages are within the paper at their scale, and end neither below a header nor in a step."""
    room_there, broken = ROOM[priced(shop).definitions.settings.paper], 0
    for ws in shop_sheets(shop).worksheets:
        heads = [row for row in range(2, ws.max_row) if ws.cell(row=row, column=2).font.b]
        assert len(heads) > 4
        ends = [each.id for each in ws.row_breaks.brk]
        pages = list(pairwise([0, *ends, ws.max_row]))
        room = room_there * 100 / ws.page_setup.scale
        for first, last in pages:
            rows = range(first + 1, last + 1)
            assert sum(ws.row_dimensions[row].height or 13 for row in rows) <= room
        for end in ends:
            assert end not in heads and end - 1 not in heads
            runs_on = str(ws.cell(row=end + 1, column=2).value or "").startswith(" ")
            assert not runs_on or ws.cell(row=end + 1, column=1).value  # a box: a step begins
            broken += 1
        assert len(pages) <= 3
        assert not ws.sheet_properties.pageSetUpPr.fitToPage
    assert broken


@pytest.mark.parametrize("shop", SHOPS)
@pytest.mark.deep
def test_shop_sheets_print_on_few_pages(shop: str, tmp_path: Path) -> None:
    """Each sheet of both examples, on letter and on A4, as LibreOffice prints it."""
    files = []
    for title in shop_sheets(shop).sheetnames:
        book = load_workbook(io.BytesIO(_saved(shop)))
        for name in book.sheetnames:
            if name != title:
                del book[name]
        files.append(tmp_path / f"{title}.xlsx")
        book.save(files[-1])
    for file in files:
        convert(file, file.with_suffix(".pdf"), "calc_pdf_Export")
    pages = {
        file.stem: len(re.findall(rb"/Type\s*/Page\b", file.with_suffix(".pdf").read_bytes()))
        for file in files
    }

    assert set(pages.values()) <= {1, 2, 3}, pages


@cache
def _saved(shop: str) -> bytes:
    target = io.BytesIO()
    shop_sheets(shop).save(target)
    return target.getvalue()


def drawn_book(path: Path, *, own: bool = False, copied: bool = False) -> Path:
    """A workbook with a drawing of ours, and perhaps one of the maker's or a copy of ours."""
    canvas = Canvas(2, 1)
    canvas.write_caption("A: 2 x pine")
    picture = canvas.finish("Board A & more")
    book: Any = Workbook()
    put_picture(book.active, picture, 1, 3, (0.0, 0.0))
    if own:
        book.active.add_image(Image(io.BytesIO(picture.png)), "D9")
    if copied:
        put_picture(book.create_sheet("mine"), picture, 1, 3, (0.0, 0.0))
    book.save(path)
    return path


def test_our_drawings_are_told_from_the_makers(tmp_path: Path) -> None:
    """Ours by name; a picture of the maker's, or a copy that the maker made of ours, is named."""
    path = tmp_path / "a.xlsx"

    assert not_carried(drawn_book(path).read_bytes()) == []
    assert not_carried(drawn_book(path, own=True).read_bytes()) == ["pictures"]
    assert not_carried(drawn_book(path, copied=True).read_bytes()) == ["pictures"]


def test_our_drawings_are_known_after_libreoffice_saved(tmp_path: Path) -> None:
    """The names survive its Save; what the maker put in is still told from them."""
    for own in (False, True):
        path = drawn_book(tmp_path / "a.xlsx", own=own)
        type_and_save(path, tmp_path / "b.xlsx", {("Sheet", "A1"): 1.0})

        assert not_carried((tmp_path / "b.xlsx").read_bytes()) == (["pictures"] if own else [])


def test_cautions_follow_the_work() -> None:
    """Named ones first, then what materials and steps ask for, then the saw's."""
    said = choose_cautions(
        ["narrow rips", "Mind the cat"],
        "brass hook / wood glue / sand and oil / mitre 45 one end",
        ["At it."],
        Spelling.AMERICAN,
    )
    words = " ".join(said)

    assert said[0].startswith("Use a push block")
    assert said[1] == "Mind the cat."
    assert "Glue" in words
    assert "respirator" in words
    assert "Oily rags" in words
    assert "slanted cut" in words
    assert "pallet" not in words
    assert "treated" not in words
    assert said[-2] == "At it."
