"""What to do at the saw, step by step, each setting once for all boards of a plan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from notchbook.base.sentences import counted, listed, so_many
from notchbook.measure import Ruler
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Saw
from notchbook.planning.saw.bench import Numbered
from notchbook.planning.saw.passes import Sawing
from notchbook.planning.saw.saw_words import SawWords
from notchbook.planning.saw.setups import Taken, list_setups

Phase = Literal["boards to blanks", "square the edges", "rip", "strips to pieces", "sheets"]
Hazard = Literal["narrow", "short", "small", "large", "wide"]
Tool = Literal["Stop", "Fence", "Guided saw"]


@dataclass(frozen=True, slots=True)
class Limits:
    """Where a step says what to mind.

    Below: a rip's fence, a ripped blank's length, a piece's length. Above: the length of a whole
    sheet, and what the fence reaches (None: as wide as wished), beyond which a saw is guided.
    """

    narrow: Fraction
    short: Fraction
    small: Fraction
    large: Fraction
    reach: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do; `setting` is that of the tool, both None where nothing is set."""

    phase: Phase
    tool: Tool | None
    setting: Fraction | None
    text: str
    hazards: tuple[Hazard, ...] = ()


def list_steps(plan: Plan, saw: Saw, limits: Limits, ruler: Ruler) -> tuple[Step, ...]:
    """List the steps of a plan in order.

    Raises ValueError for a layout that no cuts right across free.
    """
    scribe = _Scribe(plan, saw, limits, ruler)
    return (
        *scribe.trims(),
        *scribe.blanks(),
        *scribe.squares(),
        *scribe.rips(),
        *scribe.pieces(),
        *scribe.sheets(),
    )


class _Scribe:
    def __init__(self, plan: Plan, saw: Saw, limits: Limits, ruler: Ruler) -> None:
        self.plan, self.saw, self.limits, self.ruler = plan, saw, limits, ruler
        self.setups = list_setups(plan, saw)
        self.bench = self.setups.bench
        self.kept = plan.kept

    def step(
        self,
        phase: Phase,
        tool: Tool,
        setting: Fraction,
        text: str,
        *hazards: Hazard,
        still: bool = False,
    ) -> Step:
        if tool == "Fence" and self.beyond(setting):
            tool, hazards = "Guided saw", (*hazards, "wide")
        flag = f" ({', '.join(hazards)})" if hazards else ""
        at = f"{tool}{' still' if still else ''} at {self.ruler.setting(setting)}{flag}"
        return Step(phase, tool, setting, f"{at}: {text}.", hazards)

    def beyond(self, setting: Fraction) -> bool:
        return self.limits.reach is not None and setting > self.limits.reach

    # --- boards to blanks ----------------------------------------------------------------------

    def trims(self) -> Iterator[Step]:
        if self.bench.boards and self.saw.end_trim:
            boards = listed(board.letter for board in self.bench.boards)
            count = counted(sum(board.cut.count for board in self.bench.boards), "board")
            text = (
                f"Square one end of each board, {self.ruler.setting(self.saw.end_trim)} off with"
                f" the kerf ({count}: {boards}), and measure from that end."
            )
            yield Step("boards to blanks", None, None, text)

    def blanks(self) -> Iterator[Step]:
        for stop, blanks in self.setups.blanks:
            text = "crosscut " + "; ".join(self.blank(blank) for blank in blanks)
            yield self.step("boards to blanks", "Stop", stop, text, *self.small(stop))

    def blank(self, blank: Numbered) -> str:
        boards = listed(
            f"{n:,} from {'each ' if board.cut.count > 1 else ''}{board.letter}"
            for board, n in blank.per_board
        )
        if blank.per_board[0][1] == blank.count:
            told = f"{blank.count:,} of blank {blank.number} from {blank.per_board[0][0].letter}"
        else:
            told = f"{blank.count:,} of blank {blank.number} ({boards})"
        return told if blank.ripped else f"{told}, not ripped: {listed(self.parts(blank))}"

    def parts(self, blank: Numbered) -> list[str]:
        pieces = [piece for strip in blank.blank.strips for piece in strip.pieces]
        return list(dict.fromkeys(self.plan.name_part(p.part, p.project) for p in pieces))

    def small(self, stop: Fraction) -> tuple[Hazard, ...]:
        return ("small",) if stop < self.limits.small else ()

    # --- ripping -------------------------------------------------------------------------------

    def squares(self) -> Iterator[Step]:
        for each in self.setups.squarings:
            blanks = _blanks(blank.number for blank in each.blanks)
            count = counted(sum(blank.count for blank in each.blanks), "piece")
            short = self.short(min(blank.blank.length for blank in each.blanks))
            first = f"lay {blanks} ({count}) flat, the straighter edge at the fence, and rip the"
            yield self.edge(each.first, f"{first} other edge straight", *short)
            second = f"flip {blanks}, the fresh edge at the fence, and clean up the second edge"
            yield self.edge(each.second, second, *short)

    def edge(self, fence: Fraction, text: str, *hazards: Hazard) -> Step:
        return self.step("square the edges", "Fence", fence, text, *hazards)

    def short(self, length: Fraction) -> tuple[Hazard, ...]:
        return ("short",) if length < self.limits.short else ()

    def narrow(self, fence: Fraction) -> tuple[Hazard, ...]:
        return ("narrow",) if fence < self.limits.narrow else ()

    def rips(self) -> Iterator[Step]:
        words = SawWords("blank", self.bench.rips, self.bench, self.ruler, self.kept)
        for each in self.setups.rips:
            fence = self.bench.length(each.fence)
            for n, sawing in enumerate(each.sawings):
                short = self.short(self.bench.rips[sawing.owner].shortest)
                hazards = self.narrow(fence) + short
                text = words.sentence(sawing)
                yield self.step("rip", "Fence", fence, text, *hazards, still=n > 0)

    # --- pieces --------------------------------------------------------------------------------

    def pieces(self) -> Iterator[Step]:
        for length, whole in self.setups.no_cut:
            taken = "; ".join(self.taken(group) for group in _alike(whole))
            text = f"Already {self.ruler.setting(length)} long, no cut: {taken}."
            yield Step("strips to pieces", None, None, text)
        for stop, cut in self.setups.pieces:
            text = "crosscut " + "; ".join(self.taken(group) for group in _alike(cut))
            yield self.step("strips to pieces", "Stop", stop, text, *self.small(stop))

    def taken(self, group: list[Taken]) -> str:
        one, strips = group[0], sum(taken.strips for taken in group)
        size = self.ruler.size(*one.section)
        blanks = _blanks(taken.blank for taken in group)
        each = f", {one.each} from each of " if one.each > 1 and strips > 1 else " from "
        named = self.plan.name_part(one.part, one.project)
        pieces = so_many(one.each * strips, named)
        return f"{pieces}{each}{counted(strips, 'strip')} {size} of {blanks}"

    def sheets(self) -> Iterator[Step]:
        if self.bench.sheets and self.saw.sheet_trim:
            sheets = listed(sheet.letter for sheet in self.bench.sheets)
            count = counted(sum(sheet.cut.count for sheet in self.bench.sheets), "sheet")
            trim = self.ruler.setting(self.saw.sheet_trim)
            yield Step(
                "sheets",
                None,
                None,
                f"Trim the four factory edges of each sheet, {trim} with the cut"
                f" ({count}: {sheets}), and measure from the fresh ones.",
            )
        words = SawWords("sheet", self.bench.cut_sheets, self.bench, self.ruler, self.kept)
        for each in self.setups.sheets:
            setting = self.bench.length(each.setting)
            tool: Tool = "Stop" if each.stop and not self.beyond(setting) else "Fence"
            hazards = self.small(setting) if each.stop else self.narrow(setting)
            for n, sawing in enumerate(each.sawings):
                text = words.sentence(sawing)
                large = self.large(sawing)
                yield self.step("sheets", tool, setting, text, *hazards, *large, still=n > 0)

    def large(self, sawing: Sawing) -> tuple[Hazard, ...]:
        longest = self.bench.length(max(sawing.sizes))
        return ("large",) if longest > self.limits.large else ()


def _blanks(numbers: Iterable[int]) -> str:
    """`blank 1`, `blanks 1, 2 and 4`."""
    names = [str(number) for number in dict.fromkeys(numbers)]
    return f"blank{'s' if len(names) > 1 else ''} {listed(names)}"


def _alike(cut: Iterable[Taken]) -> list[list[Taken]]:
    """The same part from strips of the same section, whatever the blank, together."""
    groups: dict[tuple[object, ...], list[Taken]] = {}
    for taken in cut:
        key = (taken.project, taken.part, taken.section, taken.each)
        groups.setdefault(key, []).append(taken)
    return list(groups.values())
