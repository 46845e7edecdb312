"""Parts glued up of layers, and parts cut larger than they are in the end."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from notchbook.cli import main
from notchbook.commands.adopting import adoption
from notchbook.definitions import DefinitionError
from notchbook.gathering import load
from notchbook.planning import Board, Part, Saw
from notchbook.planning.model.rough import Extents, enlarge
from notchbook.shop.pipeline import Priced, price

from .desk import AS_OF, Desk, compiled
from .maker import SHOP
from .shops import GOOD, write_shop

RAIL = "projects/herb-rail.yaml"
STOCK = """\
lumber:
  - {stock: spruce 2x4 8ft, nominal: 2x4, length: 96, price: 4.15}
  - {stock: pine 1x6 8ft, nominal: 1x6, length: 96, price: 7.60}
hardware:
  - {stock: brass cup pull, price: 13.50, pack: 10}
consumables:
  - {stock: wood glue, price: 8.00, pack: 16, unit: fl oz, covers: 4, covers_per: 1}
"""
PARTS = """\
parts:
  - {part: front, make: 1, size: 3/4 x 2 x 24, from: [pine 1x6 8ft], rough: 1/4}
  - {part: leg, make: 4, size: 1 1/2 x 3 x 12, from: [pine 1x6 8ft], layers: 2,
     rough: {length: 1/2}}
uses:
  - {stock: brass cup pull, each: 2}
  - {stock: wood glue, coats: 1, on: [leg], faces: glue}
steps:
  - {step: rip and crosscut, setup: 20, minutes: 6}
"""


def _text() -> str:
    head = SHOP[RAIL].partition("parts:")[0].replace("batch: 6", "batch: 2")
    return head + PARTS


def write_glued(folder: Path) -> Path:
    files = {**dict.fromkeys(GOOD), **SHOP, "stock.yaml": STOCK, RAIL: _text()}
    return write_shop(
        folder, **{name: text for name, text in files.items() if "ledgers" not in name}
    )


@pytest.fixture(scope="module")
def priced() -> Priced:
    return price(compiled(write_glued), AS_OF)


def row_of(priced: Priced, table: str, **named: str) -> dict[str, Any]:
    frame = priced.filled.tables[table]
    for column, value in named.items():
        frame = frame[frame[column] == value]
    (row,) = frame.to_dict("records")
    return dict(row)


def test_layers_are_cut_and_glued(priced: Priced) -> None:
    """By hand: 4 legs of 2 layers for 2 units are 16 pieces, each 3/4 thick and 1/2 longer.

    The area to coat is that of the legs as they are in the end, the glue faces one a leg.
    """
    leg = row_of(priced, "Cut list", part="leg")
    made = priced.plans.cuts["herb rail"].count_made()
    part = priced.plans.jobs["herb rail"].parts[1]

    assert (leg["pieces"], made["herb rail", "leg"]) == (16, 16)
    assert (part.thickness, part.width, part.length) == (
        Fraction(3, 4),
        Fraction(3),
        Fraction(25, 2),
    )
    assert leg["surface"] == pytest.approx(4 * 2 * (1.5 * 3 + 1.5 * 12 + 3 * 12) / 144)
    assert leg["glue_faces"] == pytest.approx(4 * 3 * 12 / 144)
    assert leg["board_measure"] == pytest.approx(16 * 1 * 3 * 12 / 144)  # an inch at least


def test_glue_faces_take_glue(priced: Priced) -> None:
    """One square foot of glue faces at 4 sq ft a fluid ounce."""
    glue = row_of(priced, "Consumables", stock="wood glue")

    assert (glue["basis"], glue["measure"]) == ("glue", pytest.approx(1))
    assert glue["unit_amount"] == pytest.approx(0.25)


def test_the_shop_sheet_shows_pieces_as_they_are_cut(priced: Priced) -> None:
    """Sizes at the saw, then which pieces make a part, and to what size parts are brought."""
    leg, front = (row_of(priced, "Shop parts", part=name) for name in ("leg", "front"))
    said = " ".join(priced.filled.tables["Shop saw"]["says"])

    assert (leg["pieces"], leg["thickness"], leg["width"], leg["length"]) == (16, 0.75, 3, 12.5)
    assert (front["thickness"], front["width"], front["length"]) == (0.75, 2.25, 24.25)
    assert "Glue 2 pieces of leg into one part, 1 1/2 thick: 16 pieces make 8 parts." in said
    assert "Bring 2 x front to 3/4 x 2 x 24: cut 1/4 wider and 1/4 longer." in said
    assert "Bring 8 x leg to 1 1/2 x 3 x 12: cut 1/2 longer." in said


def test_the_command_tells_it_too() -> None:
    """Behind the steps at the saw."""
    result = CliRunner().invoke(
        main, ["cuts", str(compiled(write_glued)), "herb rail=3", "--drawn"]
    )

    assert result.exit_code == 0, result.stderr
    assert "\n     plane and glue\n" in result.stdout
    assert "24 pieces make 12 parts." in " ".join(result.stdout.split())


@pytest.mark.parametrize(
    ("typed", "stale"),
    [
        ({"layers": 3}, True),
        ({"layers": None}, True),
        ({"rough_length": 0.25}, True),
        ({"rough_width": 0.25}, True),
        ({"rough_thickness": 0.25}, True),
        ({}, False),
    ],
)
def test_they_make_a_plan_stale(priced: Priced, typed: dict[str, Any], stale: bool) -> None:
    """Each stands in the sum of the cut list."""
    from notchbook.sheets.kit.calculate import calculate

    frame = priced.filled.tables["Cut list"]
    before = frame.loc[1].copy()
    try:
        for column, value in typed.items():
            frame.loc[1, column] = value
        calculate(priced.book, priced.filled, priced.units)
        state = row_of(priced, "Projects", project="herb rail")["stale"]
        assert state == ("stale" if stale else "")
    finally:
        frame.loc[1] = before
        calculate(priced.book, priced.filled, priced.units)


@pytest.mark.deep
def test_typed_in_the_workbook_and_adopted(tmp_path: Path) -> None:
    """A bare length where length and width are alike, else each by its name; faces as words."""
    desk = Desk(tmp_path, compiled(write_glued))
    with desk.open() as book:
        book.put("Cut list", 0, rough_width=None, rough_thickness=0.125)
        book.put("Cut list", 1, layers=3, rough_length=0.5, rough_width=0.5)
        at = book.row_of("Consumables", "stock", "wood glue")
        book.put("Consumables", at, basis="area", faces=2)
    text = adoption(desk.folder).after[RAIL] or ""

    assert "rough: {length: 1/4, thickness: 1/8}}" in text
    assert "layers: 3," in text
    assert "rough: 1/2}" in text
    assert "faces: 2}" in text


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("layers: 2", "layers: 0", "layers"),
        ("layers: 2", "layers: two", "layers: 'two' is not a whole number"),
        ("rough: {length: 1/2}", "rough: {lenght: 1/2}", "nearest known: length"),
        ("rough: {length: 1/2}", "rough: {length: much}", "length: "),
        ("rough: 1/4", "rough: [1/4]", "a list stands"),
        ("faces: glue", "faces: glu", "nearest known: glue"),
        ("faces: glue", "faces: 3", "write 1 or 2 or glue"),
        (", layers: 2", "", "write layers on that part"),
        ("{stock: brass cup pull, each: 2}", "{stock: wood glue, each: 2, faces: glue}", "no use"),
    ],
)
def test_what_they_cannot_be(tmp_path: Path, old: str, new: str, said: str) -> None:
    """Told at the line of the file, with what to write."""
    assert old in _text()
    folder = write_glued(tmp_path)
    (folder / RAIL).write_text(_text().replace(old, new), encoding="utf-8")
    with pytest.raises(DefinitionError) as caught:
        load(folder, AS_OF)

    lines = [str(problem) for problem in caught.value.problems]
    assert any(line.startswith(f"{RAIL}:") and said in line for line in lines), lines


@pytest.mark.parametrize(
    ("width", "by", "cut"),
    [
        (Fraction(5), "1/8", Fraction(41, 8)),  # the board allows it
        (Fraction(21, 4), "1/8", Fraction(21, 4)),  # squared edges leave no more
        (Fraction(41, 8), "1/2", Fraction(11, 2)),  # the whole board is not squared at all
        (Fraction(11, 2), "1/8", Fraction(11, 2)),  # as wide as the board
    ],
)
def test_rough_as_the_board_allows(width: Fraction, by: str, cut: Fraction) -> None:
    """By hand: a board 5 1/2 wide leaves 5 1/4 after squaring, and is as thick as the part."""
    saw = Saw(Fraction(1, 8), Fraction(1, 8), Fraction(1, 4), Fraction(12), None)
    board = Board(
        "pine", "lumber", Fraction(3, 4), Fraction(11, 2), Fraction(96), Fraction(7), 0, True, False
    )
    part = Part("rail", "p", 1, Fraction(3, 4), width, Fraction(95), ("pine",), False)
    found = enlarge(part, Extents(*[Fraction(by)] * 3), [board], saw)

    assert (found.thickness, found.width, found.length) == (
        Fraction(3, 4),
        cut,
        min(95 + Fraction(by), Fraction(191, 2)),
    )
