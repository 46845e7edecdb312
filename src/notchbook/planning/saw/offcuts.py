"""What is left of a plan once its cuts are made, and worth keeping."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from notchbook.planning.model.plan import CutBoard, Offcut, Plan
from notchbook.planning.model.problem import Job, Saw
from notchbook.planning.saw.bench import Bench, SawPattern, lay_out_bench
from notchbook.planning.saw.cut_order import SCRAP_KERFS
from notchbook.planning.saw.passes import order_passes


def add_offcuts(plan: Plan, job: Job) -> Plan:
    """Return the plan with the usable offcuts that its own cuts leave."""
    return replace(plan, offcuts=list_offcuts(plan, job))


def list_offcuts(plan: Plan, job: Job) -> tuple[Offcut, ...]:
    """List offcuts of one size together, the longest of each stock first.

    Only those are listed that the job calls usable. Raises ValueError for a layout that no cuts
    right across free.
    """
    saw = job.saw
    bench = lay_out_bench(plan, saw)
    sheets = {cut.stock for cut in plan.panels}
    found: Counter[Offcut] = Counter()
    for left in (*_of_boards(bench, saw), *_of_blanks(bench, saw), *_of_sheets(bench)):
        if is_usable(left, job, sheet=left.stock in sheets):
            found[replace(left, count=0)] += left.count
    stocks = list(dict.fromkeys(cut.stock for cut in plan.cuts()))
    ordered = sorted(
        found, key=lambda o: (stocks.index(o.stock), -o.length, -o.width, -o.thickness)
    )
    return tuple(replace(left, count=found[left]) for left in ordered)


def is_usable(left: Offcut, job: Job, *, sheet: bool) -> bool:
    """Tell whether an offcut is worth keeping; a sheet's is as thick as it was bought."""
    if sheet:
        short, long = sorted((left.width, left.length))
        return long >= job.usable_offcut and short >= (job.usable_width or job.usable_offcut)
    thinnest = max(job.usable_thickness, SCRAP_KERFS * job.saw.kerf)
    return (
        left.length >= job.usable_offcut
        and left.width >= job.usable_width
        and left.thickness >= thinnest
    )


def measure_end_left(cut: CutBoard, saw: Saw) -> Fraction:
    """Measure what is left between a board's last blank and the trim of its far end."""
    used = sum((blank.length + saw.kerf for blank in cut.blanks), Fraction(0))
    return max(cut.length - 2 * saw.end_trim - used, Fraction(0))


def _of_boards(bench: Bench, saw: Saw) -> Iterator[Offcut]:
    for board in bench.boards:
        cut = board.cut
        assert isinstance(cut, CutBoard)
        yield Offcut(cut.stock, cut.thickness, cut.width, measure_end_left(cut, saw), cut.count)


def _of_blanks(bench: Bench, saw: Saw) -> Iterator[Offcut]:
    """The rests of rips, as long as the blank, and the ends of strips."""
    for pattern, (a, b), count in list_rests(bench.rips):
        thin, wide = sorted((bench.length(a), bench.length(b)))
        for length, blanks in pattern.lengths:
            yield Offcut(pattern.stock, thin, wide, length, count * blanks)
    for blank in bench.blanks:
        for strip in blank.blank.strips:
            used = sum((piece.length + saw.kerf for piece in strip.pieces), Fraction(0))
            end = max(blank.blank.length - used, Fraction(0))
            yield Offcut(blank.stock, strip.thickness, strip.width, end, blank.count)


def _of_sheets(bench: Bench) -> Iterator[Offcut]:
    thickness = {sheet.letter: sheet.cut.thickness for sheet in bench.sheets}
    for pattern, (along, across), count in list_rests(bench.cut_sheets):
        width, length = bench.length(across), bench.length(along)
        sheets = count * pattern.count
        yield Offcut(pattern.stock, thickness[pattern.names[0]], width, length, sheets)


def list_rests(
    patterns: tuple[SawPattern, ...],
) -> Iterator[tuple[SawPattern, tuple[int, int], int]]:
    """List what is left of each thing of a pattern: its size in steps, and how often."""
    for each in order_passes([pattern.tree for pattern in patterns]):
        for sawing in each.sawings:
            if sawing.last and sawing.remains is None:
                yield patterns[sawing.owner], sawing.rest, sawing.times
