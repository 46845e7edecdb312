"""What a plan takes at the saw: settings, passes, minutes. Of equal plans the quicker is taken."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Saw
from notchbook.planning.saw.setups import Setups, list_setups

SHORT_RIPS = 2  # a rip of a blank under so many shortest rips is one of a short blank
SHORT_COSTS = 2  # and counts as so many passes: push blocks, both ends watched (common practice)


class SawWork(NamedTuple):
    """Settings of a stop or fence, passes of the blade, and the minutes they take together.

    `weighed` are the passes with those of short blanks counted more often.
    """

    settings: int
    passes: int
    weighed: int
    minutes: Fraction


def measure_saw_work(plan: Plan, saw: Saw) -> SawWork:
    """Measure the work of a plan. Raises ValueError for a layout that no cuts right across free."""
    setups = list_setups(plan, saw)
    counts = tuple(_count_passes(setups, saw))
    passes, weighed = sum(n for n, _ in counts), sum(n * weight for n, weight in counts)
    minutes = setups.count * saw.minutes_a_setting + weighed * saw.minutes_a_pass
    return SawWork(setups.count, passes, weighed, minutes)


def _count_passes(setups: Setups, saw: Saw) -> Iterator[tuple[int, int]]:
    """Count passes, and how much each of them counts."""
    bench = setups.bench
    if saw.end_trim:
        yield sum(board.cut.count for board in bench.boards), 1
    if saw.sheet_trim:
        yield 4 * sum(sheet.cut.count for sheet in bench.sheets), 1
    for blank in bench.blanks:
        yield blank.count, 1
        if blank.ripped and saw.squaring:
            yield 2 * blank.count, _weigh(blank.blank.length, saw)
    for rip in setups.rips:
        for sawing in rip.sawings:
            for length, count in bench.rips[sawing.owner].lengths:
                yield sawing.times * sawing.cuts * count, _weigh(length, saw)
    for _, pieces in setups.pieces:
        yield sum(taken.each * taken.strips for taken in pieces), 1
    for sheet_pass in setups.sheets:
        for sawing in sheet_pass.sawings:
            yield sawing.times * sawing.cuts * bench.cut_sheets[sawing.owner].count, 1


def _weigh(length: Fraction, saw: Saw) -> int:
    return SHORT_COSTS if length < SHORT_RIPS * saw.shortest_rip else 1
