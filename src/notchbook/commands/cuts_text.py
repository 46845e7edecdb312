"""A cutting plan as text for an 80-column terminal: in short, or whole with drawings."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import groupby

from notchbook.base.sentences import COLUMNS, counted, listed, so_many, wrapped
from notchbook.base.spelling import spell
from notchbook.commands.cuts import Cuts
from notchbook.plan_views.board_views import CutViews, letter_parts, say_legend
from notchbook.plan_views.later_work import Work, list_later_work
from notchbook.plan_views.letters.boards import sketch_boards, sketch_sections, sketch_sheets
from notchbook.planning.from_boards import Most
from notchbook.planning.model.plan import Plan
from notchbook.planning.saw.bench import lay_out_bench
from notchbook.planning.saw.steps import Step
from notchbook.planning.whole_shop import WholeShop
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.work_steps import StepRow

_NAME = 30
_MORE = "--drawn: pieces, every board drawn, each step at the saw, all cautions."
_ONE = "Name one project to see what each board gives."


def format_cuts(found: Cuts, drawn: bool = False) -> str:
    """Write all plans one after another: what to buy, boards and settings, or all of them."""
    texts = [_PlanText(found, plan) for plan in found.plans]
    if drawn:
        return "\n\n\n".join("\n".join(text.write_lines()) for text in texts)
    one = len(texts) == 1
    more = _MORE if one else f"{_ONE}\n{_MORE}"
    return "\n\n".join([*("\n".join(text.write_short(one)) for text in texts), more])


class _PlanText:
    def __init__(self, found: Cuts, plan: Plan) -> None:
        self.found, self.plan = found, plan
        self.words = found.words
        self.parts = [
            part
            for project, job in found.jobs.items()
            if plan.project in (None, project)
            for part in job.parts
        ]
        self.keys = letter_parts(self.parts)
        self.steps = self.words.list_steps(plan)

    def write_lines(self) -> Iterator[str]:
        bench = lay_out_bench(self.plan, self.words.saw)
        views = CutViews(bench, self.words, self.keys, self.plan.kept)
        yield from self.write_head()
        if self.found.together:
            yield from self.write_savings(self.found.together)
            yield from self.write_shopping_list()
        if self.parts:
            yield from _under("Pieces", self.write_pieces())
        if bench.boards or bench.sheets:
            yield from ("", *wrapped(say_legend("dots")))
        if bench.boards:
            yield from _under("Boards", sketch_boards(views))
            yield from _under("Blanks", sketch_sections(views))
        if bench.sheets:
            yield from _under("Sheets", sketch_sheets(views))
        if self.steps:
            yield from _under("Steps", self.write_steps())
            yield from _under("Safety", _bullets(self.words.list_cautions(self.plan, self.steps)))
        if self.plan.offcuts:
            yield from _under("Offcuts worth keeping", _bullets(self.words.list_offcuts(self.plan)))

    def write_short(self, alone: bool) -> Iterator[str]:
        """Write what to buy, what each board gives where the plan stands `alone`, the settings."""
        if alone:
            yield from self.write_head()
            if self.found.together:
                yield from self.write_savings(self.found.together)
                yield from self.write_shopping_list()
            bench = lay_out_bench(self.plan, self.words.saw)
            names = {at: self.plan.name_part(*reversed(at)) for at in self.keys}
            views = CutViews(bench, self.words, names, self.plan.kept)
            if bench.boards or bench.sheets:
                yield from ("", *_list_boards(views), "")
        else:
            yield from wrapped(f"{self.plan.project}: {counted(self.plan.units, 'unit')}")
            told = (*self.words.say_shortages(self.plan), *self.words.say_what_to_get(self.plan))
            if self.plan.cost != self.plan.cost_bound:
                told = (*told, self.words.say_verdict(self.plan))
            for text in (" ".join(told), *self.say_saw_work(), *self.say_near_misses()):
                yield from wrapped(text, "  ")
        yield from self.write_settings("" if alone else "  ")

    def write_settings(self, indent: str) -> Iterator[str]:
        """Write the settings of the saw in order, and what asks for care at any of them."""
        runs = (
            f"{str(tool).lower()} {listed(dict.fromkeys(map(self.show_setting, steps)))}"
            for tool, steps in groupby(
                (step for step in self.steps if step.setting is not None), key=lambda s: s.tool
            )
        )
        if said := "; ".join(runs):
            yield from wrapped(f"Settings: {said}.", indent)
        if hazards := sorted({hazard for step in self.steps for hazard in step.hazards}):
            yield from wrapped(
                f"Safety: {listed(hazards)} pieces, marked *; --drawn says how.", indent
            )

    def show_setting(self, step: Step) -> str:
        """Show what stop or fence is set to, starred where that asks for care."""
        setting = step.setting
        assert setting is not None
        return self.words.ruler.show(setting) + ("*" if step.hazards else "")

    def write_head(self) -> Iterator[str]:
        words = self.words
        if self.found.most is not None:
            yield from self.write_most(self.found.most)
            return
        if self.plan.project is None:
            sizes = self.found.sizes
            everything = len(sizes) == len(self.found.definitions.projects)
            yield from _title("All projects together" if everything else "Together")
            yield from wrapped("Batches: " + listed(so_many(n, name) for name, n in sizes.items()))
        else:
            yield from _title(f"{self.plan.project}: {counted(self.plan.units, 'unit')}")
        told = (
            *words.say_shortages(self.plan),
            *words.say_what_to_get(self.plan),
            words.say_verdict(self.plan),
        )
        for text in (*told, *self.say_saw_work(), *self.say_near_misses()):
            yield from wrapped(text)

    def say_near_misses(self) -> Iterator[str]:
        """Say what a part a little smaller would save."""
        for text in self.words.list_near_misses(self.found.near.get(self.plan.project or "", ())):
            yield f"Near miss: {text}"

    def say_saw_work(self) -> Iterator[str]:
        """Say how long the saw takes by the plan, beside the minutes of the work steps."""
        if not self.steps:
            return
        sizes = (
            self.found.sizes if self.plan.project is None else {self.plan.project: self.plan.units}
        )
        rows = self.found.definitions.table("Work steps", StepRow)
        typed = sum(
            row.setup + row.minutes * sizes[row.project] for row in rows if row.project in sizes
        )
        yield f"{self.words.say_saw_work(self.plan)} Your work steps add up to {typed:,.0f} min."

    def write_most(self, most: Most) -> Iterator[str]:
        """Write how many come out of so many boards, and whether more could."""
        what = "unit" if most.part is None else f"{most.part}"
        kind = next(each.kind for each in most.job.boards if each.stock == most.stock)
        board = "sheet" if kind == "panel" else "board"
        boards = f"{counted(most.boards, board)} of {most.stock}"
        yield from _title(f"{self.plan.project}: {counted(most.units, what)} from {boards}")
        if most.status == "optimal":
            text = "Proved: no way of cutting gives more."
        else:
            text = f"No way of cutting gives more than {most.bound:,}."
        yield from wrapped(text)
        if most.part is None:
            alone = listed(dict.fromkeys(part.part for part in most.job.parts))
            yield from wrapped(f"Counted are the parts that may be cut from it: {alone}.")

    def write_pieces(self) -> Iterator[str]:
        made = self.plan.count_made()
        ends = {
            (row.project, row.part): row.ends or ""
            for row in self.found.definitions.table("Cut list", CutRow)
        }
        for part in self.parts:
            key = (part.project, part.part)
            name = f"{self.keys[key]:<3} {self.plan.name_part(part.part, part.project)}"
            size = self.words.ruler.size(part.thickness, part.width, part.length)
            row = f"{made[key]:>5,}  {size:<24} {ends.get(key, '')}".rstrip()
            if len(name) <= _NAME and _NAME + len(row) <= COLUMNS:
                yield f"{name:<{_NAME}}{row}"
            else:
                yield from wrapped(name, rest="    ")
                yield from wrapped(row.lstrip(), " " * (_NAME + 5 - len(f"{made[key]:,}")))
        if any(ends.get((part.project, part.part)) for part in self.parts):
            says = "Lengths are long point to long point: cut square first, then miter or bevel."
            yield from wrapped(spell(says, self.words.settings.spelling))

    def write_steps(self) -> Iterator[str]:
        """Write the steps under what they are about."""
        at = ""
        sawn = ((step.phase, step.text) for step in self.steps)
        for number, (phase, text) in enumerate((*sawn, *self.list_later_work()), 1):
            if phase != at:
                at = phase
                yield f"     {phase}"
            yield from wrapped(text, f"{number:>3}. ")

    def list_later_work(self) -> Iterator[Work]:
        """List what the pieces of whole units need after the saw; single pieces need nothing."""
        if self.found.most is not None and self.found.most.part is not None:
            return
        rows = self.found.definitions.table("Cut list", CutRow)
        for project in dict.fromkeys(part.project for part in self.parts):
            together = self.plan.project is None
            units = self.found.sizes[project] if together else self.plan.units
            its = (part for part in self.parts if part.project == project)
            yield from list_later_work(rows, its, units, self.words)

    def write_savings(self, together: WholeShop) -> Iterator[str]:
        """Write what planning together saves against one project after another."""
        alone = f"{self.words.show_money(together.alone_cost)} and"
        alone += f" {counted(together.alone_boards, 'board')}"
        text = "saves nothing here"
        if together.saved or together.boards_saved:
            fewer = together.boards_saved
            boards = counted(abs(fewer), "board") + (" more" if fewer < 0 else "")
            joint = ", with " if fewer < 0 else " and "
            text = f"saves {self.words.show_money(together.saved)}{joint}{boards}"
        yield from wrapped(
            f"One after another, each project for itself, they take {alone} (from stock and"
            f" bought): planning them together {text}."
        )

    def write_shopping_list(self) -> Iterator[str]:
        """Write what is bought together: a row for each stock."""
        there, bought = self.plan.count_from_stock(), self.plan.count_bought()
        yield from ("", "Bought together", "-" * 15)
        yield f"{'stock':<34}{'needed':>8}{'there':>8}{'buy':>6}{'each':>11}{'cost':>13}"
        for stock in dict.fromkeys(cut.stock for cut in self.plan.cuts()):
            each, buy = self.found.prices[stock], bought[stock]
            numbers = f"{self.plan.count_boards(stock):>8,}{there[stock]:>8,}{buy:>6,}"
            amounts = f"{self.words.show_amount(each):>11}{self.words.show_amount(each * buy):>13}"
            *before, last = textwrap.wrap(stock, 33)
            yield from before
            yield f"{last:<34}{numbers}{amounts}"
        yield f"{'total (' + self.words.settings.currency + ')':<56}{'':>11}" + (
            f"{self.words.show_amount(self.plan.cost):>13}"
        )


def _list_boards(views: CutViews) -> Iterator[str]:
    """List each board with the lengths that are cut from it, each sheet with its pieces."""
    for board in views.view_boards():
        cut = listed(f"{each.often} at {each.below}" for each in board.stretches if not each.waste)
        yield from wrapped(f"{board.heading}: crosscut {cut}", f"{board.letter}: ")
    for sheet in views.view_sheets():
        yield from wrapped(f"{sheet.heading}: {sheet.says}", f"{sheet.letter}: ")


def _title(text: str) -> Iterator[str]:
    lines = wrapped(text)
    yield from (*lines, "=" * max(map(len, lines)))


def _under(heading: str, lines: Iterator[str]) -> Iterator[str]:
    yield from ("", heading, "-" * len(heading))
    first = next(lines)
    yield from (first, *lines) if first else lines


def _bullets(texts: list[str]) -> Iterator[str]:
    for text in texts:
        yield from wrapped(text, "- ")
