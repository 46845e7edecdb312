"""Every setting of the saw that a plan wants, in order, and what is cut at it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby
from typing import TypeVar

from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Saw
from notchbook.planning.saw.bench import Bench, Numbered, lay_out_bench
from notchbook.planning.saw.passes import Pass, Sawing, order_passes

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Squaring:
    """Both long edges of blanks of one width are ripped clean: first edge, then the other."""

    first: Fraction
    second: Fraction
    blanks: tuple[Numbered, ...]


@dataclass(frozen=True, slots=True)
class Taken:
    """Pieces of a part crosscut from strips alike of one blank, `each` from every strip."""

    part: str
    project: str
    blank: int
    section: tuple[Fraction, Fraction]
    each: int
    strips: int


@dataclass(frozen=True, slots=True)
class SheetPass:
    """Sheets sawn at one setting: of the fence, or of a stop where the edge is too short for it."""

    stop: bool
    setting: int
    sawings: tuple[Sawing, ...]


@dataclass(frozen=True, slots=True)
class Setups:
    """What is set, from boards to pieces; sizes the widest or longest first where order is free.

    `blanks` and `pieces` go by their stop; pieces as long as their blank stand under `no_cut`.
    """

    bench: Bench
    blanks: tuple[tuple[Fraction, tuple[Numbered, ...]], ...]
    squarings: tuple[Squaring, ...]
    rips: tuple[Pass, ...]
    no_cut: tuple[tuple[Fraction, tuple[Taken, ...]], ...]
    pieces: tuple[tuple[Fraction, tuple[Taken, ...]], ...]
    sheets: tuple[SheetPass, ...]

    @property
    def count(self) -> int:
        """How many times a stop or a fence is set."""
        fences = len({fence for each in self.squarings for fence in (each.first, each.second)})
        return fences + sum(map(len, (self.blanks, self.rips, self.pieces, self.sheets)))


def list_setups(plan: Plan, saw: Saw) -> Setups:
    """List all settings of a plan, in order.

    Raises ValueError for a layout that no cuts right across free.
    """
    bench = lay_out_bench(plan, saw)
    no_cut, pieces = _pieces(bench.blanks)
    return Setups(
        bench,
        _by_length((blank.blank.length, blank) for blank in bench.blanks),
        _squarings(bench.blanks, saw),
        tuple(order_passes([pattern.tree for pattern in bench.rips])),
        _by_length(no_cut),
        _by_length(pieces),
        tuple(_sheet_passes(bench)),
    )


def _by_length(
    things: Iterable[tuple[Fraction, T]],
) -> tuple[tuple[Fraction, tuple[T, ...]], ...]:
    found: dict[Fraction, list[T]] = {}
    for length, thing in things:
        found.setdefault(length, []).append(thing)
    return tuple((length, tuple(found[length])) for length in sorted(found, reverse=True))


def _squarings(blanks: Iterable[Numbered], saw: Saw) -> tuple[Squaring, ...]:
    if not saw.squaring:
        return ()
    widths: dict[Fraction, list[Numbered]] = {}
    for blank in blanks:
        if blank.ripped:
            widths.setdefault(blank.section[1], []).append(blank)
    return tuple(
        Squaring(width - saw.squaring, width - 2 * saw.squaring, tuple(widths[width]))
        for width in sorted(widths, reverse=True)
    )


def _sheet_passes(bench: Bench) -> Iterator[SheetPass]:
    """One sheet after the other, so that one at a time lies open; a setting that stays is one.

    A piece shorter along the fence than away from it twists there (common practice).
    """
    cuts = (
        (sawing.depth < each.fence, each.fence, replace(sawing, owner=owner))
        for owner, pattern in enumerate(bench.cut_sheets)
        for each in order_passes([pattern.tree])
        for sawing in each.sawings
    )
    for (stop, setting), alike in groupby(cuts, lambda cut: cut[:2]):
        yield SheetPass(stop, setting, tuple(sawing for *_, sawing in alike))


def _pieces(
    blanks: Iterable[Numbered],
) -> tuple[list[tuple[Fraction, Taken]], list[tuple[Fraction, Taken]]]:
    """Pieces as long as the blank they are ripped from, and those that are crosscut from strips."""
    whole: list[tuple[Fraction, Taken]] = []
    cut: list[tuple[Fraction, Taken]] = []
    for blank in blanks:
        strips: Counter[tuple[Fraction, Taken]] = Counter()
        for strip in blank.blank.strips:
            section = (strip.thickness, strip.width)
            for piece, each in Counter(strip.pieces).items():
                taken = Taken(piece.part, piece.project, blank.number, section, each, blank.count)
                strips[piece.length, taken] += 1
        for (length, one), count in strips.items():
            taken = replace(one, strips=count * blank.count)
            if length != blank.blank.length:
                cut.append((length, taken))
            elif blank.ripped:
                whole.append((length, taken))
    return whole, cut
