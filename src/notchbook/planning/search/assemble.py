"""From grid steps back to the shop's unit: the cuts of a search become a plan."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from notchbook.planning.model.filled import PlacedBlank, PlacedStrip
from notchbook.planning.model.grid import LengthGrid
from notchbook.planning.model.outcome import Cut, Outcome
from notchbook.planning.model.plan import (
    Blank,
    CutBoard,
    CutPanel,
    PanelPiece,
    Piece,
    Plan,
    Short,
    Strip,
)
from notchbook.planning.model.problem import Job
from notchbook.planning.search.neighbours import join_neighbours


def assemble(
    job: Job,
    grid: LengthGrid,
    outcomes: Sequence[Outcome],
    units: int,
    project: str | None,
    *,
    out_of_time: bool,
) -> Plan:
    """Put the outcomes for all groups of parts together into one plan, neighbours joined."""
    scribe = _Scribe(job, grid)
    lengths = tuple(part.length for part in grid.parts)

    def tidied(cut: Cut) -> Cut:
        board = grid.boards[cut.board]
        return replace(cut, filled=join_neighbours(cut.filled, board, grid.saw, lengths))

    cuts = merge_alike(tidied(cut) for outcome in outcomes for cut in outcome.cuts)
    short = {i: n for outcome in outcomes for i, n in outcome.short.items()}
    cost = sum(outcome.cost for outcome in outcomes)
    bound = sum(outcome.bound for outcome in outcomes)
    return Plan(
        project,
        units,
        "optimal" if cost == bound else "feasible",
        Fraction(cost, grid.money),
        Fraction(bound, grid.money),
        tuple(scribe.board(cut) for cut in cuts if not grid.boards[cut.board].panel),
        tuple(scribe.panel(cut) for cut in cuts if grid.boards[cut.board].panel),
        (),
        tuple(Short(job.parts[i].part, job.parts[i].project, short[i]) for i in sorted(short)),
        out_of_time=out_of_time and cost > bound,
    )


def merge_alike(cuts: Iterable[Cut]) -> list[Cut]:
    """Merge boards cut alike into one entry, in the order of the job's boards."""
    together: dict[tuple[int, object], Cut] = {}
    for cut in cuts:
        key = (cut.board, cut.filled)
        known = together.get(key, replace(cut, count=0, on_hand=0))
        together[key] = replace(
            known, count=known.count + cut.count, on_hand=known.on_hand + cut.on_hand
        )
    return sorted(together.values(), key=lambda cut: cut.board)


class _Scribe:
    """Writes lengths in the shop's unit and parts by name."""

    def __init__(self, job: Job, grid: LengthGrid) -> None:
        self.job, self.grid = job, grid

    def length(self, steps: int) -> Fraction:
        return Fraction(steps, self.grid.scale)

    def board(self, cut: Cut) -> CutBoard:
        of = self.job.boards[cut.board]
        blanks = tuple(self.blank(blank) for blank in cut.filled.blanks)
        return CutBoard(of.stock, cut.count, cut.on_hand, of.thickness, of.width, of.length, blanks)

    def blank(self, blank: PlacedBlank) -> Blank:
        return Blank(self.length(blank.length), tuple(self.strip(strip) for strip in blank.strips))

    def strip(self, strip: PlacedStrip) -> Strip:
        pieces = []
        for i, often in strip.pieces:
            part = self.job.parts[i]
            pieces += [Piece(part.part, part.project, part.length)] * often
        return Strip(
            self.length(strip.thickness),
            self.length(strip.width),
            (self.length(strip.at[0]), self.length(strip.at[1])),
            strip.turned,
            tuple(pieces),
        )

    def panel(self, cut: Cut) -> CutPanel:
        of, trim = self.job.boards[cut.board], self.grid.saw.sheet_trim
        pieces = tuple(
            PanelPiece(
                self.job.parts[laid.part].part,
                self.job.parts[laid.part].project,
                (self.length(laid.x + trim), self.length(laid.y + trim)),
                self.length(laid.along),
                self.length(laid.across),
                laid.turned,
            )
            for laid in cut.filled.sheet
        )
        return CutPanel(of.stock, cut.count, cut.on_hand, of.thickness, of.width, of.length, pieces)
