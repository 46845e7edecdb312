"""Planned rows of the shop sheets: what is to be cut, set, done and minded for each project."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from notchbook.base.sentences import wrapped
from notchbook.definitions import Definitions
from notchbook.plan_views.board_views import Keys, letter_parts, say_legend
from notchbook.plan_views.cautions import choose_cautions
from notchbook.plan_views.later_work import Work, list_later_work
from notchbook.plan_views.plan_words import PlanWords, make_plan_words
from notchbook.planning.model.plan import Plan
from notchbook.planning.saw.steps import Step
from notchbook.sheets.making.consumables import UseRow
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.laid_surfaces import LaidRow
from notchbook.sheets.making.pricing_tiers import PriceRow
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.making.work_steps import StepRow
from notchbook.shop.from_one import add_from_one
from notchbook.shop.mark_rows import build_shop_mark_rows

if TYPE_CHECKING:
    from notchbook.shop.plans import Plans

Rows = list[dict[str, Any]]
Steps = tuple[Step, ...]
BOX = "\N{WHITE SQUARE}"
_A_CHECK = "Only a check: the minutes of the steps below count."
LETTERS = 118
"""That a line holds over the whole page, at the size of a table's letters."""


def build_shop_sheet_rows(
    definitions: Definitions,
    plans: Plans,
    takeoff: Iterable[Any],
    marks: Rows,
    there: Mapping[str, float],
) -> dict[str, Rows]:
    """Build the rows of all tables of the shop sheets; `there` says what is on the shelf."""
    words, projects = make_plan_words(definitions), definitions.projects
    priced = projects if definitions.settings.shop_sheet_costs == "yes" else []
    keys = {at: key for job in plans.jobs.values() for at, key in letter_parts(job.parts).items()}
    at_saw = plans.take_from_stock(there)
    steps = {project: words.list_steps(plan) for project, plan in at_saw.items()}
    parts = definitions.table("Cut list", CutRow)
    later = {
        project: list_later_work(parts, plans.jobs[project].parts, plan.units, words)
        for project, plan in plans.cuts.items()
    }
    return {
        "Shop head": [{"project": project} for project in projects],
        "Shop parts": _ticked(_build_part_rows(definitions, keys)),
        "Shop stock": _ticked(add_from_one(_list_used(takeoff, plans), plans)),
        "Shop saw": [
            row
            for project, plan in at_saw.items()
            for row in _build_saw_rows(plan, words, steps[project], later[project])
        ],
        "Shop marks": _ticked(build_shop_mark_rows(marks, projects)),
        "Shop steps": _ticked(
            {"project": row.project, "step": row.step}
            for row in definitions.table("Work steps", StepRow)
        ),
        "Shop cautions": _build_caution_rows(definitions, at_saw, words, steps),
        **{
            name: [{"project": project} for project in priced]
            for name in ("Shop cost", "Shop cash")
        },
        "Shop prices": [
            {"project": row.project, "tier": row.tier}
            for row in definitions.table("Pricing tiers", PriceRow)
            if row.project in priced
        ],
    }


def _list_used(takeoff: Iterable[Any], plans: Plans) -> Iterator[Any]:
    """List what the batch takes: not the boards and sheets that only other batches are cut from."""
    for row in takeoff:
        project, stock = row["project"], row["stock"]
        boards = {board.stock for board in plans.jobs[project].boards}
        if stock not in boards or plans.cuts[project].count_boards(stock):
            yield row


def _ticked(rows: Iterable[Mapping[str, Any]]) -> Rows:
    return [{"box": BOX, **row} for row in rows]


def _build_part_rows(definitions: Definitions, keys: Keys) -> Iterator[dict[str, Any]]:
    for row in definitions.table("Cut list", CutRow):
        yield {
            "project": row.project,
            "part": row.part,
            "key": keys.get((row.project, row.part)),
            "ends": row.ends,
            "stocks": row.stocks,
        }
    for laid in definitions.table("Laid surfaces", LaidRow):
        yield {
            "project": laid.project,
            "part": laid.surface,
            "key": keys.get((laid.project, laid.surface)),
            "stocks": laid.stocks,
        }


def _build_saw_rows(
    plan: Plan, words: PlanWords, steps: Steps, later: Sequence[Work]
) -> Iterator[dict[str, Any]]:
    """Build what to get and the kerf, then the steps under their phases; a box before each."""
    phase, legend = "", say_legend("hatched")
    work = f"{words.say_saw_work(plan)} {_A_CHECK}"
    blade = (legend, words.say_kerf(), work) if steps else ()
    boards = words.say_what_to_get(plan, words.settings.shop_sheet_costs == "yes")
    for text in (*words.say_shortages(plan), *boards, *blade):
        for n, line in enumerate(wrapped(text, columns=LETTERS)):
            ticked = "" if n or text == legend else BOX
            yield {"project": plan.project, "box": ticked, "says": line}
    every = [*((step.phase, step.text) for step in steps), *later]
    for number, (its_phase, text) in enumerate(every, 1):
        if its_phase != phase:
            phase = its_phase
            yield {"project": plan.project, "says": f"{phase[0].upper()}{phase[1:]}"}
        for n, line in enumerate(wrapped(text, f"  {number}. ", "        ", LETTERS)):
            yield {"project": plan.project, "box": "" if n else BOX, "says": line}
    if kept := words.list_offcuts(plan):
        for n, line in enumerate(wrapped(f"Offcuts to keep: {'; '.join(kept)}.", columns=LETTERS)):
            yield {"project": plan.project, "box": "" if n else BOX, "says": line}


def _build_caution_rows(
    definitions: Definitions,
    at_saw: Mapping[str, Plan],
    words: PlanWords,
    steps: Mapping[str, Steps],
) -> Rows:
    rows: Rows = []
    for project in definitions.table("Projects", ProjectRow):
        plan = at_saw[project.project]
        named = [word.strip() for word in (project.cautions or "").split(";") if word.strip()]
        care = words.list_cautions(plan, steps[project.project])
        about = " / ".join((project.title or "", *_describe_work(definitions, project.project)))
        for sentence in choose_cautions(named, about, care, words.settings.spelling):
            rows += [
                {"project": project.project, "caution": line}
                for line in wrapped(sentence, "- ", columns=LETTERS)
            ]
    return rows


def _describe_work(definitions: Definitions, project: str) -> Iterator[str]:
    """Return the words that tell what is done: stocks and tools used, steps, slanted ends."""
    for use in definitions.table("Consumables", UseRow):
        if use.project == project:
            yield from (name for name in (use.stock, use.tool) if name)
    yield from (
        row.step for row in definitions.table("Work steps", StepRow) if row.project == project
    )
    for part in definitions.table("Cut list", CutRow):
        if part.project == project:
            yield from (word for word in (part.stocks, part.ends) if word)
    yield from (
        row.stocks for row in definitions.table("Laid surfaces", LaidRow) if row.project == project
    )
