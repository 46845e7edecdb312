"""A plan as it lies at the saw: boards by letter, blanks by number, and how each is ripped."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from string import ascii_uppercase

from notchbook.base.sentences import letters
from notchbook.planning.model.plan import Blank, CutBoard, CutPanel, Plan, Strip
from notchbook.planning.model.problem import Saw
from notchbook.planning.saw.cut_order import find_cut_tree
from notchbook.planning.saw.cut_tree import Box, Node, SawBlade

STRIP = ""  # what comes of a rip has no name until it is crosscut


@dataclass(frozen=True, slots=True)
class Lettered:
    """Boards or sheets cut alike, and the letter they go by."""

    letter: str
    cut: CutBoard | CutPanel


@dataclass(frozen=True, slots=True)
class Numbered:
    """Blanks alike of one stock: `per_board` come out of each board, by the board's letter."""

    number: int
    stock: str
    section: tuple[Fraction, Fraction]
    blank: Blank
    count: int
    per_board: tuple[tuple[Lettered, int], ...]

    @property
    def ripped(self) -> bool:
        """Whether it is not of the whole section as bought."""
        thickness, width = self.section
        return list_strip_boxes(self.blank) != [(Fraction(0), Fraction(0), width, thickness)]


@dataclass(frozen=True, slots=True)
class SawPattern:
    """Things sawn alike: blanks of these numbers, or sheets of this letter.

    `lengths` are those of the things and how many of each there are.
    """

    stock: str
    names: tuple[str, ...]
    lengths: tuple[tuple[Fraction, int], ...]
    tree: Node

    @property
    def count(self) -> int:
        """How many things are sawn so."""
        return sum(count for _, count in self.lengths)

    @property
    def shortest(self) -> Fraction:
        """The length of the shortest blank."""
        return min(length for length, _ in self.lengths)


@dataclass(frozen=True, slots=True)
class Bench:
    """Everything that is sawn, in whole steps of 1/`scale` where it is a tree of cuts."""

    scale: int
    boards: tuple[Lettered, ...]
    sheets: tuple[Lettered, ...]
    blanks: tuple[Numbered, ...]
    rips: tuple[SawPattern, ...]
    cut_sheets: tuple[SawPattern, ...]

    def length(self, steps: int) -> Fraction:
        """Steps as a length in the shop's unit."""
        return Fraction(steps, self.scale)


def lay_out_bench(plan: Plan, saw: Saw) -> Bench:
    """Letter the boards and sheets, number the blanks, work out the cuts.

    Raises ValueError for a layout that no cuts right across free.
    """
    scale = lcm(1, *(length.denominator for length in _lengths(plan, saw)))
    cuts = [Lettered(letters(n, ascii_uppercase), cut) for n, cut in enumerate(plan.cuts())]
    boards = tuple(cuts[: len(plan.boards)])
    sheets = tuple(cuts[len(plan.boards) :])
    blanks = _number_blanks(boards)
    maker = _Trees(plan, saw, scale)
    rips = maker.rips(blank for blank in blanks if blank.ripped)
    return Bench(scale, boards, sheets, blanks, rips, tuple(maker.sheet(sheet) for sheet in sheets))


def list_strip_boxes(blank: Blank) -> list[tuple[Fraction, Fraction, Fraction, Fraction]]:
    """List where each strip lies in the board's section: x, y, across the width, up."""
    return [(*strip.at, *_across_and_up(strip)) for strip in blank.strips]


def _across_and_up(strip: Strip) -> tuple[Fraction, Fraction]:
    sizes = (strip.width, strip.thickness)
    return (sizes[1], sizes[0]) if strip.turned else sizes


def _lengths(plan: Plan, saw: Saw) -> Iterator[Fraction]:
    yield from (saw.kerf, saw.squaring, saw.end_trim, saw.sheet_trim)
    if saw.deepest_cut is not None:
        yield saw.deepest_cut
    for cut in plan.boards:
        yield from (cut.thickness, cut.width, cut.length)
        for strip in (strip for blank in cut.blanks for strip in blank.strips):
            yield from (*strip.at, strip.thickness, strip.width)
    for sheet in plan.panels:
        yield from (sheet.width, sheet.length)
        for piece in sheet.pieces:
            yield from (*piece.at, piece.length, piece.width)


def _number_blanks(boards: Iterable[Lettered]) -> tuple[Numbered, ...]:
    """Number blanks, those alike once, the longest first within each stock and section."""
    found: dict[tuple[str, Fraction, Fraction, Blank], Counter[Lettered]] = {}
    for board in boards:
        if isinstance(board.cut, CutBoard):
            for blank in board.cut.blanks:
                key = (board.cut.stock, board.cut.thickness, board.cut.width, blank)
                found.setdefault(key, Counter())[board] += 1
    stocks = list(dict.fromkeys(stock for stock, *_ in found))
    ordered = sorted(found, key=lambda key: (stocks.index(key[0]), -key[3].length))
    return tuple(
        Numbered(
            number,
            key[0],
            (key[1], key[2]),
            key[3],
            sum(n * board.cut.count for board, n in found[key].items()),
            tuple(found[key].items()),
        )
        for number, key in enumerate(ordered, 1)
    )


class _Trees:
    """Cuts in whole steps."""

    def __init__(self, plan: Plan, saw: Saw, scale: int) -> None:
        self.plan, self.saw, self.scale = plan, saw, scale
        self.kerf = int(saw.kerf * scale)
        self.deepest = None if saw.deepest_cut is None else int(saw.deepest_cut * scale)

    def steps(self, *lengths: Fraction) -> tuple[int, ...]:
        return tuple(int(length * self.scale) for length in lengths)

    def rips(self, blanks: Iterable[Numbered]) -> tuple[SawPattern, ...]:
        """Blanks of a stock with strips in the same places are ripped together."""
        alike: dict[object, list[Numbered]] = {}
        for blank in blanks:
            key = (blank.stock, blank.section, frozenset(list_strip_boxes(blank.blank)))
            alike.setdefault(key, []).append(blank)
        return tuple(self.rip(group) for group in alike.values())

    def rip(self, group: list[Numbered]) -> SawPattern:
        thickness, width = group[0].section
        squaring, up, across = self.steps(self.saw.squaring, thickness, width)
        boxes = tuple((Box(*self.steps(*box)), STRIP) for box in list_strip_boxes(group[0].blank))
        section = Box(squaring, 0, across - 2 * squaring, up)
        return SawPattern(
            group[0].stock,
            tuple(str(blank.number) for blank in group),
            tuple((blank.blank.length, blank.count) for blank in group),
            find_cut_tree(section, boxes, SawBlade(self.kerf, self.deepest)),
        )

    def sheet(self, sheet: Lettered) -> SawPattern:
        assert isinstance(sheet.cut, CutPanel)
        cut = sheet.cut
        boxes = tuple(
            (
                Box(*self.steps(*piece.at, piece.length, piece.width)),
                self.plan.name_part(piece.part, piece.project),
            )
            for piece in cut.pieces
        )
        trim, length, width = self.steps(self.saw.sheet_trim, cut.length, cut.width)
        area = Box(trim, trim, length - 2 * trim, width - 2 * trim)
        tree = find_cut_tree(area, boxes, SawBlade(self.kerf, None))
        return SawPattern(cut.stock, (sheet.letter,), ((cut.length, cut.count),), tree)
