"""How many come out of so many boards: by hand, by trying everything, and on the command line."""

from __future__ import annotations

import json
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from notchbook.planning.from_boards import Number, count_from_one, find_most
from notchbook.planning.model.problem import Board, Job, Part, Saw

from .shops import write_shop
from .test_cli import run

KERF = Fraction(1, 8)


def board(stock: str, *sizes: Fraction | int, kind: str = "lumber", price: int = 5) -> Board:
    thickness, width, length = (Fraction(size) for size in sizes)
    return Board(
        stock=stock,
        kind="panel" if kind == "panel" else "lumber",
        thickness=thickness,
        width=width,
        length=length,
        price=Fraction(price),
        on_hand=0,
        buyable=True,
        grain=False,
    )


def part(name: str, make: int, *sizes: Fraction | int, stocks: tuple[str, ...] = ("pine",)) -> Part:
    thickness, width, length = (Fraction(size) for size in sizes)
    return Part(name, "rail", make, thickness, width, length, stocks, turn=False)


def job(parts: list[Part], boards: list[Board], trim: int = 0) -> Job:
    saw = Saw(
        kerf=KERF,
        squaring=KERF,
        end_trim=Fraction(trim),
        shortest_rip=Fraction(12),
        deepest_cut=None,
    )
    return Job(tuple(parts), tuple(boards), saw, usable_offcut=Fraction(12))


def test_lengths_by_hand() -> None:
    """96 in hold three of 24 and one of 20: 92 and three kerfs; a second set needs 92 more."""
    rail = job([part("rail", 3, 1, 4, 24), part("end", 1, 1, 4, 20)], [board("pine", 1, 4, 96)])

    assert [find_most(rail, "pine", n, "rail").units for n in (1, 2, 5)] == [1, 2, 5]
    assert find_most(rail, "pine", 2, "rail").status == "optimal"
    assert find_most(rail, "pine", 1, "rail", "end").units == 4  # 4 x 20 and three kerfs


def test_sheets_by_hand() -> None:
    """Squares of 10 on 24 x 48 with a kerf of 1/8: two rows of four."""
    back = job(
        [part("back", 2, Fraction(1, 4), 10, 10, stocks=("ply",))],
        [board("ply", Fraction(1, 4), 24, 48, kind="panel")],
    )
    most = find_most(back, "ply", 1, "rail")

    assert (most.units, most.bound, most.status) == (4, 4, "optimal")
    assert find_most(back, "ply", 1, "rail", "back").units == 8


def test_strips_by_hand() -> None:
    """A 2 x 4 of 98 in gives two strips 3/4 thick side by side, eight slats of 12 in along."""
    slat = job(
        [part("slat", 4, Fraction(3, 4), Fraction(3, 2), 12)],
        [board("pine", Fraction(3, 2), Fraction(7, 2), 98)],
    )
    # across 3 1/4 clear inches: 3/4 + 1/8 + 3/4 + 1/8 + 3/4 = 2 1/2, each strip 1 1/2 deep
    assert find_most(slat, "pine", 1, "rail", "slat").units == 3 * 8


def test_alternatives_are_left_aside() -> None:
    """What may be cut from pine or oak is cut from the one asked for; what may not is left out."""
    mixed = job(
        [
            part("rail", 1, 1, 4, 40, stocks=("oak", "pine")),
            part("end", 1, 1, 4, 90, stocks=("oak",)),
        ],
        [board("oak", 1, 4, 96, price=50), board("pine", 1, 4, 96)],
    )

    assert find_most(mixed, "pine", 1, "rail").units == 2
    assert find_most(mixed, "oak", 1, "rail").units == 0
    with pytest.raises(ValueError, match="no part is cut from ply"):
        find_most(mixed, "ply", 1, "rail")
    assert count_from_one(mixed) == {"oak": Number(0, 0), "pine": Number(2, 2)}


def test_a_part_that_one_of_its_stocks_is_too_small_for() -> None:
    """It is left out where that stock is asked about; with no part left there is no number."""
    boards = [board("pine", 1, 4, 96), board("lath", 1, 2, 96)]
    wide = part("rail", 1, 1, 4, 40, stocks=("pine", "lath"))
    narrow = part("slat", 2, 1, 2, 40, stocks=("lath",))

    assert count_from_one(job([wide, narrow], boards)) == {
        "pine": Number(2, 2),
        "lath": Number(1, 1),
    }
    assert count_from_one(job([wide], boards)) == {"pine": Number(2, 2)}


@cache
def packs(pieces: tuple[int, ...], rooms: tuple[Fraction, ...]) -> bool:
    """Whether pieces fit into boards with so much room, each with a kerf before it, by trying."""
    if not pieces:
        return True
    first, *rest = pieces
    for n in {room: n for n, room in enumerate(rooms)}.values():
        if first <= rooms[n]:
            left = [*rooms[:n], rooms[n] - first - KERF, *rooms[n + 1 :]]
            if packs(tuple(rest), tuple(sorted(left))):
                return True
    return False


@settings(deadline=None, max_examples=60)
@given(
    lengths=st.lists(st.integers(8, 40), min_size=1, max_size=3),
    boards=st.integers(1, 3),
    length=st.integers(40, 70),
    trim=st.integers(0, 1),
)
def test_as_many_as_trying_everything_finds(
    lengths: list[int], boards: int, length: int, trim: int
) -> None:
    """Pieces of the board's own section: the most, and the bound, that a search of all gives."""
    parts = [part(f"p{n}", 1, 1, 4, each) for n, each in enumerate(lengths)]
    usable = Fraction(length - 2 * trim)
    assume(max(lengths) <= usable)
    found = find_most(job(parts, [board("pine", 1, 4, length)], trim), "pine", boards, "rail")
    most = 0
    while packs(tuple(sorted(lengths * (most + 1), reverse=True)), (usable,) * boards):
        most += 1

    assert found.units == most
    assert found.bound >= most


def test_the_command_counts_units_and_pieces(tmp_path: Path) -> None:
    """In words, and as JSON beside the plan."""
    shop = write_shop(tmp_path)
    told = run("cuts", shop, "herb rail", "--boards", "1", "--stock", "pine 1x6 8ft")
    pieces = json.loads(
        run("cuts", shop, "herb rail", "--boards", "2", "--part", "front", "--json").stdout
    )

    assert told.stdout.startswith("herb rail: 1 unit from 1 board of pine 1x6 8ft\n")
    assert "Proved: no way of cutting gives more." in told.stdout
    assert pieces["most"] == {"pieces": 6, "status": "optimal", "bound": 6}
    assert sum(each["count"] for each in pieces["boards"]) == 2


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("herb rail", "--boards", "1", "--part", "slt"), "nearest known: slat"),
        (("herb rail", "--boards", "1", "--stock", "pine"), "nearest known: pine 1x6 8ft"),
        (("herb rial", "--boards", "1"), "nearest known: herb rail"),
        (("--boards", "1"), "name it"),
        (("herb rail", "--stock", "pine 1x6 8ft"), "go with --boards"),
    ],
)
def test_what_is_not_there_is_told(tmp_path: Path, words: tuple[str, ...], says: str) -> None:
    """A sentence each, exit 2."""
    result = run("cuts", write_shop(tmp_path), *words)

    assert result.exit_code == 2
    assert says in result.stderr
