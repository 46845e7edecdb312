"""Boards with next to no waste: blanks listed by their waste, and chosen whole."""

from __future__ import annotations

from collections import Counter
from itertools import combinations_with_replacement, product
from typing import NamedTuple

import pytest

from notchbook.planning import Planner
from notchbook.planning.search.blank_list import BlankList, keep_often
from notchbook.planning.search.search import Search
from notchbook.planning.search.wood import StripCut, Wood

from .benchmarks.measured import measure
from .benchmarks.random_jobs import tight_job
from .plain_shops import board, job_of, part, shop_of

TOLERANCE = 1e-9


class Listing(NamedTuple):
    """A wood, what pieces are worth there, and how many are wanted."""

    wood: Wood
    values: tuple[float, ...]
    need: list[int]

    def worth(self, strips: tuple[StripCut, ...]) -> float:
        """What the pieces of the strips are worth."""
        return sum(self.values[i] * n for strip in strips for i, n in strip.pieces)


@pytest.fixture(scope="module")
def listing() -> Listing:
    """A board cut apart, and the values that their relaxation gives."""
    planner = Planner(job_of(tight_job(1, 1)))
    planner.budget.start()
    demand = [part.make for part in planner._sorted.parts]
    search = Search(planner.groups[0], demand, [0])
    search.relax(planner.budget.left)
    wood = search.relaxation.supplies[0]
    assert isinstance(wood, Wood)
    return Listing(wood, search._relaxed.values, demand)


def _pieces(strips: tuple[StripCut, ...]) -> Counter[int]:
    return sum((Counter(dict(strip.pieces)) for strip in strips), Counter[int]())


def test_blanks_hold_no_more_than_is_needed_and_are_long_enough(listing: Listing) -> None:
    """And none of them is listed twice."""
    wood = listing.wood
    found = BlankList(*listing).find(5_000)
    for each in found:
        blank = each.blank
        assert _pieces(blank.strips) == each.pieces
        assert all(n <= listing.need[i] for i, n in each.pieces.items())
        assert blank.room == max([wood.shortest, *map(wood.strip_room, blank.strips)])
        kinds = Counter(strip.kind for strip in blank.strips)
        assert all(n <= wood.patterns[blank.pattern][kind] for kind, n in kinds.items())
    blanks = [each.blank for each in found]
    assert len(set(blanks)) == len(blanks) > 50


def test_every_blank_that_wastes_so_little_is_listed(listing: Listing) -> None:
    """All strips in all places by force: those within the waste listed are listed, no others."""
    wood, need = listing.wood, listing.need
    found = BlankList(*listing).find(5_000)
    most = max(each.waste for each in found) * 0.9
    prices = wood.prices(listing.values, need)
    board = max(wood.room.values())
    whole = prices.board[wood.ruler.below(board)]
    forced = {}
    for number, pattern in enumerate(wood.patterns):
        kinds = [(kind, int(n)) for kind, n in enumerate(pattern) if n]
        choices = [
            list(combinations_with_replacement([None, *wood.all_strips(kind, need, 10**6)], n))
            for kind, n in kinds
        ]
        for chosen in product(*choices):
            strips = tuple(sorted(strip for each in chosen for strip in each if strip))
            pieces = _pieces(strips)
            room = max([wood.shortest, *map(wood.strip_room, strips)])
            if not strips or room > board or any(n > need[i] for i, n in pieces.items()):
                continue
            rest = prices.board[wood.ruler.below(board - room)]
            if (waste := float(whole - listing.worth(strips) - rest)) <= most:
                forced[number, room, strips] = waste
    listed = {
        (each.blank.pattern, each.blank.room, each.blank.strips): each.waste
        for each in found
        if each.waste <= most
    }
    assert listed.keys() == forced.keys()
    assert all(abs(listed[key] - forced[key]) < TOLERANCE for key in listed)


def test_of_a_section_that_is_not_ripped_only_its_pieces_are_blanks() -> None:
    """A stock that nothing is ripped from, beside one that is."""
    parts = [
        part("slat", 4, ("3/4", 1, 20), "two by four"),
        part("rail", 3, ("3/4", "7/2", 16), "one by four"),
    ]
    boards = [
        board("two by four", ("3/2", "7/2", 96), "4.10"),
        board("one by four", ("3/4", "7/2", 96), "5.30"),
    ]
    planner = Planner(job_of(shop_of(parts, boards)))
    planner.budget.start()
    demand = [each.make for each in planner._sorted.parts]
    woods = {
        not wood.kinds: wood
        for group in planner.groups
        for wood in group.supplies
        if isinstance(wood, Wood)
    }
    found = BlankList(woods[True], [1.0] * len(demand), demand).find(50)
    assert [each.pieces for each in found] == [{i: 1} for i in woods[True].unripped]
    assert BlankList(woods[False], [1.0] * len(demand), demand).find(50)


def test_each_part_keeps_the_blanks_that_waste_least(listing: Listing) -> None:
    """Of every part the first three, and no blank that is among the first of none."""
    found = BlankList(*listing).find(5_000)
    kept = keep_often(found, 3)
    for i in {i for each in found for i in each.pieces}:
        holding = [[each for each in blanks if i in each.pieces] for blanks in (found, kept)]
        assert holding[0][:3] == holding[1][:3]
    assert len(kept) <= 3 * sum(map(bool, listing.need)) < len(found)


@pytest.mark.deep
@pytest.mark.parametrize("boards, seed", [(3, 2), (3, 10), (4, 5), (4, 10)])
def test_boards_cut_apart_on_a_fine_grid_are_found_again(boards: int, seed: int) -> None:
    """As many boards as were cut apart, and proved; strips and blanks apart did not find these."""
    found = measure("tight", tight_job(boards, seed))
    assert found.proved
    assert found.boards == boards
