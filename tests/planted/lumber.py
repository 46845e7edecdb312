"""Lumber cut apart: boards into blanks, sections into strips, strips into pieces."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import NamedTuple

from ..plain_shops import Json, board, part, shop_of
from .cuts import INCH, STEP, Area, Lengths, guillotined, split
from .job import LEAST_PARTS, PRICE, Names, Planted, first_planted, proved_plan, shortened

MOST_SECTIONS, MOST_LENGTHS = 4, 6
NARROWEST, SHORTEST = 3 * INCH // 8, 2 * INCH

# thickness, width (dressed sizes of PS 20-20, table 3), length
LUMBER = [(1.5, 3.5, 96), (1.5, 5.5, 96), (0.75, 3.5, 72), (0.75, 5.5, 96), (1.5, 3.5, 120)]


class Flavour(NamedTuple):
    """From-to blanks a board, strips a blank, pieces a strip; how often a blank is not ripped."""

    blanks: tuple[int, int]
    strips: tuple[int, int]
    pieces: tuple[int, int]
    whole: float


FLAVOURS = {
    "usual": Flavour((2, 5), (2, 6), (1, 2), 0.2),
    "long blanks": Flavour((1, 2), (2, 6), (2, 5), 0.0),
    "thin strips": Flavour((2, 4), (6, 12), (1, 3), 0.0),
    "whole sections": Flavour((3, 6), (2, 5), (1, 2), 0.5),
}


class Strip(NamedTuple):
    """Where it lies in the section, and the numbers of its pieces' lengths."""

    box: Area
    pieces: list[int]


class Blank(NamedTuple):
    """A length of the board and the strips ripped from it."""

    length: int
    strips: list[Strip]


@dataclass(frozen=True, slots=True)
class Bench:
    """A board and a saw, in steps, and how boards are cut."""

    flavour: Flavour
    thickness: int
    width: int
    length: int
    kerf: int
    squaring: int
    end_trim: int
    shortest_rip: int
    deepest_cut: int | None

    @property
    def usable(self) -> int:
        """The length that the end trims leave."""
        return self.length - 2 * self.end_trim

    @property
    def region(self) -> Area:
        """The section that squaring leaves."""
        return Area(self.squaring, 0, self.width - 2 * self.squaring, self.thickness)

    def pattern(self, rng: Random) -> list[Area]:
        """A way to rip the section."""
        strips = rng.randint(*self.flavour.strips)
        boxes = guillotined(rng, self.region, strips, self.kerf, NARROWEST, self.deepest_cut)
        return list(boxes)

    def blanks(self, rng: Random) -> list[int] | None:
        """The blanks of a board."""
        blanks = rng.randint(*self.flavour.blanks)
        return split(rng, self.usable, blanks, self.kerf, self.shortest_rip)

    def cut(
        self, rng: Random, blanks: list[int], patterns: list[list[Area]], lengths: Lengths
    ) -> list[Blank]:
        """One board: each blank ripped in one of the patterns, or not at all; strips crosscut."""
        done = []
        for long in blanks:
            whole = rng.random() < self.flavour.whole
            boxes = [Area(0, 0, self.width, self.thickness)] if whole else rng.choice(patterns)
            ways = [self._pieces(rng, long) for _ in range(2)]
            strips = []
            for box in boxes:
                section = self.region.size if whole else box.size
                pieces = self._pieces(rng, long) if lengths.different else rng.choice(ways)
                strips.append(Strip(box, [lengths.number(piece, section) for piece in pieces]))
            done.append(Blank(long, strips))
        return done

    def _pieces(self, rng: Random, long: int) -> list[int]:
        pieces = rng.randint(*self.flavour.pieces)
        return split(rng, long, pieces, self.kerf, SHORTEST) or [long]


def planted_lumber(seed: int, boards: int, flavour: str, *, different: bool = False) -> Planted:
    """A job of up to 4 sections; of up to 6 lengths, or every piece of another length."""
    name = f"{boards} {flavour} {'different' if different else 'alike'} {seed}"
    return first_planted(name, lambda rng: _attempt(rng, name, boards, flavour, different))


def _attempt(rng: Random, name: str, boards: int, flavour: str, different: bool) -> Planted | None:
    bench, lengths = _bench(rng, FLAVOURS[flavour]), Lengths(different)
    patterns = [bench.pattern(rng) for _ in range(2)]
    ways = [bench.blanks(rng) for _ in range(boards if different else 2)]
    possible = [blanks for blanks in ways if blanks]
    if not possible:
        return None
    cut = [bench.cut(rng, rng.choice(possible), patterns, lengths) for _ in range(boards)]
    if not _fair(cut, lengths):
        return None
    used = shortened(rng, lengths, boards * bench.usable * bench.region.size, SHORTEST)
    return _written(name, bench, cut, lengths, used) if used else None


def _fair(cut: list[list[Blank]], lengths: Lengths) -> bool:
    """Few sections, few lengths unless all are to differ, and more than a part or two."""
    strips = [strip for blanks in cut for blank in blanks for strip in blank.strips]
    sections = {strip.box.sides for strip in strips}
    parts = {(strip.box.sides, number) for strip in strips for number in strip.pieces}
    few = lengths.different or len(lengths.values) <= MOST_LENGTHS
    return few and len(sections) <= MOST_SECTIONS and len(parts) >= LEAST_PARTS


def _bench(rng: Random, flavour: Flavour) -> Bench:
    thickness, width, length = rng.choice(LUMBER)
    return Bench(
        flavour,
        int(thickness * INCH),
        int(width * INCH),
        length * INCH,
        kerf=rng.choice([4, 3, 2]),
        squaring=rng.choice([4, 2]),
        end_trim=rng.choice([8, 4, 0]),
        shortest_rip=rng.choice([10, 12, 14]) * INCH,
        deepest_cut=rng.choice([None, 3 * INCH]),
    )


def _written(
    name: str, bench: Bench, cut: list[list[Blank]], lengths: Lengths, used: float
) -> Planted:
    """The job and its plan, in inches."""
    names = Names()
    sides = (bench.thickness * STEP, bench.width * STEP, bench.length * STEP)
    laid = [
        [
            {
                "length": float(blank.length * STEP),
                "strips": [_strip(strip, lengths, names) for strip in blank.strips],
            }
            for blank in blanks
        ]
        for blanks in cut
    ]
    size = dict(zip(("thickness", "width", "length"), map(float, sides), strict=True))
    one = {"stock": "board", "count": 1, "on_hand": 0, **size}
    plan = proved_plan(len(cut)) | {"boards": [one | {"blanks": blanks} for blanks in laid]}
    parts = [
        part(named, often, (t * STEP, w * STEP, long * STEP), "board")
        for named, often, (t, w, long) in names.parts()
    ]
    saw = {
        "kerf": bench.kerf * STEP,
        "squaring": bench.squaring * STEP,
        "end_trim": bench.end_trim * STEP,
        "shortest_rip": bench.shortest_rip * STEP,
        "deepest_cut": None if bench.deepest_cut is None else bench.deepest_cut * STEP,
    }
    return Planted(
        name, shop_of(parts, [board("board", sides, PRICE)], **saw), plan, len(cut), used
    )


def _strip(strip: Strip, lengths: Lengths, names: Names) -> Json:
    thickness, width = strip.box.sides
    pieces = [lengths.values[number] for number in strip.pieces]
    return {
        "thickness": float(thickness * STEP),
        "width": float(width * STEP),
        "at": [float(strip.box.x * STEP), float(strip.box.y * STEP)],
        "turned": strip.box.one < strip.box.other,
        "pieces": [
            {"part": names.take((thickness, width, long)), "length": float(long * STEP)}
            for long in pieces
        ],
    }
