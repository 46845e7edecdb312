"""Drawings: true to scale when read back from their pixels, the same each time, told in words."""

from __future__ import annotations

import io
from fractions import Fraction
from itertools import pairwise

import pytest
from PIL import Image

from notchbook.base.picture import DPI, Picture
from notchbook.base.picture_page import TALLEST, WIDE, in_rows
from notchbook.plan_views.board_views import BlankView, BoardView, SectionView, SheetView, StripView
from notchbook.plan_views.boxes import LabelledBox, Stretch
from notchbook.plan_views.ink.canvas import break_text, to_plain_letters
from notchbook.plan_views.ink.lumber import draw_blanks, draw_boards
from notchbook.plan_views.ink.panels import draw_sheets

DARK = 100  # greys of lines and of the blade's cut
LINE = 3  # pixels, drawn inside a rectangle

BOARD = BoardView(
    "A",
    "2 x spruce 2x4 8ft (1 1/2 x 3 1/2 x 96), cut alike",
    (Fraction(3, 2), Fraction(7, 2), Fraction(96)),
    Fraction(1, 4),
    Fraction(1, 8),
    (
        Stretch(Fraction(45, 2), 2, "1", "22 1/2"),
        Stretch(Fraction(12), 3, "2", "12"),
        Stretch(Fraction(57, 8), 1, "", "7 1/8", waste=True),
    ),
    "2 of blank 1 and 3 of blank 2; 7 1/8 in left over.",
)
SECTION = SectionView(
    (Fraction(7, 2), Fraction(3, 2)),
    Fraction(1, 8),
    Fraction(1, 8),
    True,
    (
        LabelledBox(Fraction(1, 8), Fraction(0), Fraction(1), Fraction(3, 8), "c", "3/8 x 1"),
        LabelledBox(
            Fraction(5, 4), Fraction(0), Fraction(3, 2), Fraction(3, 2), "d", "1 1/2 x 1 1/2"
        ),
    ),
    (
        BlankView(
            1,
            Fraction(45, 2),
            "Blank 1, 2 pieces 1 1/2 x 3 1/2 x 22 1/2: 1 strip 3/8 x 1 for 2 c (11).",
            (
                StripView(
                    1,
                    "3/8 x 1",
                    Fraction(1),
                    Fraction(1, 8),
                    (Stretch(Fraction(11), 2, "c", "11"),),
                ),
            ),
        ),
    ),
)
SHEET = SheetView(
    "B",
    "1 x birch ply 1/4 2x4ft (1/4 x 24 x 48)",
    (Fraction(48), Fraction(24)),
    Fraction(1, 8),
    (
        LabelledBox(Fraction(0), Fraction(0), Fraction(20), Fraction(10), "e", "20 x 10"),
        LabelledBox(Fraction(161, 8), Fraction(0), Fraction(5), Fraction(10), "f", "5 x 10"),
    ),
    "1 e and 1 f.",
)


def drawn() -> dict[str, Picture]:
    (board,) = draw_boards([BOARD], {})
    (section,) = draw_blanks([SECTION])
    (sheet,) = draw_sheets([SHEET])
    return {"board": board, "section": section, "sheet": sheet}


def greys(picture: Picture) -> Image.Image:
    return Image.open(io.BytesIO(picture.png)).convert("L")


def bright_runs(line: list[int]) -> list[tuple[int, int]]:
    """Where bare paper begins and ends between dark lines."""
    ends = [n for n, grey in enumerate(line) if grey < DARK]
    return [(a + 1, b) for a, b in pairwise(ends) if b - a > 1]


def test_lengths_of_a_board_read_back_from_its_pixels() -> None:
    """The outline, each blank and each cut of the blade: to one scale, within a pixel."""
    picture = drawn()["board"]
    image = greys(picture)
    left, top, right, bottom = picture.drawn[0].pixels
    line = [int(str(image.getpixel((x, bottom - 6)))) for x in range(image.width)]
    dark = [n for n, grey in enumerate(line) if grey < DARK]
    scale = (dark[-1] + 1 - dark[0]) / 96  # pixels to an inch, as read
    clear = bright_runs(line)
    x = 0.25

    assert (dark[0], dark[-1] + 1) == (left, right)
    assert scale * 96 == pytest.approx((WIDE - 0.2) * DPI, abs=8)
    assert bottom - top == pytest.approx(3.5 * scale, abs=1)
    for length in [22.5] * 2 + [12.0] * 3:
        inside = (x * scale + LINE, (x + length) * scale - LINE)
        assert any(abs(a - inside[0]) <= 1 and abs(b - inside[1]) <= 1 for a, b in clear), (
            f"{length} at {x} is not drawn"
        )
        x += length + 0.125


@pytest.mark.parametrize(
    ("name", "views"),
    [("board", (slice(None),)), ("sheet", (slice(None),)), ("section", (slice(3), slice(3, None)))],
)
def test_what_is_said_to_be_drawn_is_there(name: str, views: tuple[slice, ...]) -> None:
    """Each rectangle has dark lines at its sides, and all of one view have one scale."""
    picture = drawn()[name]
    image = greys(picture)
    for view in views:
        whole = picture.drawn[view][0]
        scale = (whole.pixels[2] - whole.pixels[0]) / float(whole.across)
        for each in picture.drawn[view]:
            left, top, right, bottom = each.pixels
            for x, y in ((left, bottom - 4), (right - 1, top + 4), (left + 4, top)):
                assert int(str(image.getpixel((x, y)))) < DARK, (each, x, y)
            assert right - left == pytest.approx(float(each.across) * scale, abs=1.5)
            assert bottom - top == pytest.approx(float(each.up) * scale, abs=1.5)


def test_pictures_fit_the_page_and_are_sharp() -> None:
    """No wider than the page, no taller than a row of cells, 300 dots to the printed inch."""
    for picture in drawn().values():
        image = Image.open(io.BytesIO(picture.png))
        assert picture.width <= WIDE
        assert picture.height <= TALLEST
        assert image.width == pytest.approx(picture.width * DPI, abs=1)
        assert image.height == pytest.approx(picture.height * DPI, abs=1)


def test_pictures_are_told_in_words() -> None:
    """The alternative text names the boards, blanks and pieces with their sizes."""
    told = {name: picture.alt for name, picture in drawn().items()}

    assert told["board"] == f"Board A, {BOARD.heading}: {BOARD.says}"
    assert "22 1/2: 1 strip 3/8 x 1 for 2 c (11)" in told["section"]
    assert told["sheet"].endswith("1 e and 1 f.")


def test_the_same_plan_is_drawn_alike() -> None:
    """Equal plans give equal bytes."""
    assert [each.png for each in drawn().values()] == [each.png for each in drawn().values()]


def test_many_blanks_are_drawn_on_several_pictures() -> None:
    """None is taller than a row of cells may be; every blank is on one of them."""
    blanks = tuple(
        BlankView(n, Fraction(45, 2), f"Blank {n}.", SECTION.blanks[0].strips) for n in range(1, 40)
    )
    section = SectionView(
        SECTION.size, Fraction(1, 8), Fraction(1, 8), True, SECTION.shapes, blanks
    )
    pictures = list(draw_blanks([section]))

    assert max(picture.height for picture in pictures) <= TALLEST + 0.2
    assert sum(picture.alt.count("Blank") for picture in pictures) == 39


def test_pictures_stand_in_rows() -> None:
    """Two halves beside one another, the third below."""
    half = Picture(b"", WIDE / 2, 1.0, "")
    rows = in_rows([half, half, half])

    assert [[left for left, _ in row.placed] for row in rows] == [[0.0, WIDE / 2], [0.0]]


def test_words_on_drawings() -> None:
    """Accents go, other alphabets become question marks, sizes stay in one line."""
    assert to_plain_letters("bøg 18×95, Größe") == "bog 18x95, Grosse"
    assert to_plain_letters("дуб") == "???"
    lines = break_text("rip a strip 1 1/2 x 2 3/4 off", 8, 300)
    assert any("1 1/2 x 2 3/4" in line.replace("\N{NO-BREAK SPACE}", " ") for line in lines)
