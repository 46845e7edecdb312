"""Rows of Cut plan and of Bought together: what the planner found, and what to do at the saw."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from notchbook.base.sentences import listed, so_many
from notchbook.plan_views.plan_words import PlanWords
from notchbook.planning.model.plan import CutPanel, Plan, Strip
from notchbook.planning.saw.bench import Bench, Lettered, Numbered, lay_out_bench
from notchbook.planning.whole_shop import WholeShop

if TYPE_CHECKING:
    from notchbook.shop.plans import Plans

Rows = Iterator[dict[str, Any]]


def build_cut_plan_rows(plans: Plans, there: Mapping[str, float], words: PlanWords) -> Rows:
    """Build the rows of all plans: what to get, near misses, boards, steps and what to keep.

    What is `there` is taken from stock.
    """
    for project, plan in plans.take_from_stock(there).items():
        named = {"project": project, "units": plan.units}
        near = words.list_near_misses(() if project in plans.at_saw else plans.near[project])
        yield from (named | row for row in _of_plan(plan, near, words))


def build_bought_together_rows(found: WholeShop, stocks: Iterable[str]) -> Rows:
    """Build a row a stock, with the boards that one plan for all projects takes."""
    for stock in stocks:
        yield {"stock": stock, "boards": found.plan.count_boards(stock) or None}


def _of_plan(plan: Plan, near: Iterable[str], words: PlanWords) -> Rows:
    for text in (*words.say_shortages(plan), *words.say_what_to_get(plan)):
        yield {"kind": "get", "says": text}
    yield {"kind": "how good", "says": words.say_verdict(plan)}
    for text in near:
        yield {"kind": "near miss", "says": text}
    bench = lay_out_bench(plan, words.saw)
    for lettered in (*bench.boards, *bench.sheets):
        cut = lettered.cut
        board = {
            "kind": "cut",
            "board": lettered.letter,
            "stock": cut.stock,
            "count": cut.count,
            "on_hand": cut.on_hand,
        }
        rows = (
            _sheet(lettered, words) if isinstance(cut, CutPanel) else _board(lettered, bench, words)
        )
        yield from (board | row for row in rows)
    steps = words.list_steps(plan)
    for number, step in enumerate(steps, 1):
        yield {"kind": "step", "step": number, "setting": step.setting, "says": step.text}
    for text in words.list_cautions(plan, steps):
        yield {"kind": "safety", "says": text}
    for text in words.list_offcuts(plan):
        yield {"kind": "keep", "says": text}


def _board(board: Lettered, bench: Bench, words: PlanWords) -> Rows:
    """Build a row a strip of a board's blanks, blanks alike once."""
    for blank in bench.blanks:
        often = dict(blank.per_board).get(board)
        if often is not None:
            for strip in blank.blank.strips:
                yield from _strip(board, blank, strip, often, words)


def _strip(board: Lettered, blank: Numbered, strip: Strip, often: int, words: PlanWords) -> Rows:
    pieces = Counter(strip.pieces)
    size = words.ruler.size(strip.thickness, strip.width)
    told = listed(
        f"{so_many(n, piece.part)}, {words.ruler.show(piece.length)} long"
        for piece, n in pieces.items()
    )
    rip = f"a strip {size}, cut into {told}" if blank.ripped else f"not ripped; {told}"
    for piece, count in pieces.items():
        yield {
            "says": f"Board {board.letter}, {often} of blank {blank.number}: {rip}.",
            "blank": blank.number,
            "blanks": often,
            "blank_length": blank.blank.length,
            "thickness": strip.thickness,
            "width": strip.width,
            "across": strip.at[0],
            "up": strip.at[1],
            "turned": "turned" if strip.turned else None,
            "part": piece.part,
            "length": piece.length,
            "pieces": count,
        }


def _sheet(sheet: Lettered, words: PlanWords) -> Rows:
    """Build a row for the pieces of a sheet that are alike; where each lies is drawn."""
    cut = sheet.cut
    assert isinstance(cut, CutPanel)
    alike = Counter((each.part, each.length, each.width, each.turned) for each in cut.pieces)
    for (part, length, width, turned), count in alike.items():
        size = words.ruler.size(length, width)
        yield {
            "says": f"Sheet {sheet.letter}: {so_many(count, part)}, {size}.",
            "blank_length": cut.length,
            "thickness": cut.thickness,
            "width": width,
            "turned": "turned" if turned else None,
            "part": part,
            "length": length,
            "pieces": count,
        }
