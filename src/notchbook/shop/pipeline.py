"""The pipeline: definitions, plans, planned rows, computed columns, workbook."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from notchbook.books.keeping import GoodsBooks
from notchbook.definitions import DefinitionError, Definitions, Problem
from notchbook.gathering import Gathered, gather
from notchbook.jobs import build_jobs, build_leeways, build_offcuts
from notchbook.measure import CONVERSIONS, UNIT_WORDS, Ruler, show_length
from notchbook.planning.model.problem import MOST_PIECES, Job, find_crowded, find_misfits
from notchbook.sheets import book_for
from notchbook.sheets.checks.sheet import OF_PLANS, checks_of, notices_of
from notchbook.sheets.kit.calculate import Filled, calculate
from notchbook.sheets.kit.declare import Book, LineRow
from notchbook.sheets.kit.show import COUNT
from notchbook.sheets.making.pricing_tiers import BELOW
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.tax.tool_depreciation import years_shown
from notchbook.sheets.tax.tool_rows import ToolRow
from notchbook.shop.books_of_year import FILLED, fill_books
from notchbook.shop.filed_lines import keep_filed, read_filed
from notchbook.shop.ideas_ranked import fill_best_ideas
from notchbook.shop.kept_plans import KeptPlans
from notchbook.shop.kept_use import put_kept_use, read_kept_use
from notchbook.shop.looks import NAMED_APART, fill_looks, find_shortages
from notchbook.shop.mark_rows import find_mark_misfits as mark_misfits
from notchbook.shop.mark_rows import find_meeting_marks, write_readings, write_short_points
from notchbook.shop.named_rows import name_rows
from notchbook.shop.offcuts_used import use_offcuts
from notchbook.shop.plans import Plans, Watch, plan_shop
from notchbook.shop.sale_costs import COSTS_KEPT, fill_sale_costs
from notchbook.trade.money import currency_decimals

if TYPE_CHECKING:
    from notchbook.shop.there_now import There
    from notchbook.workbook.layout.subject import Subject


@dataclass(frozen=True)
class Priced:
    """A shop with everything worked out."""

    definitions: Definitions
    book: Book
    plans: Plans
    filled: Filled
    kept: KeptPlans
    there: There  # of each stock, when it was planned
    books: GoodsBooks = field(default_factory=GoodsBooks)
    frozen: list[dict[str, object]] = field(default_factory=list)  # costs kept from now on

    @property
    def units(self) -> dict[str, int]:
        """The unit conversions of the shop."""
        return {
            name: by_unit[self.definitions.settings.units] for name, by_unit in CONVERSIONS.items()
        }


def price(folder: Path, as_of: date | None, watch: Watch = iter) -> Priced:
    """Read, plan and work out a shop, merged with its workbook where there is one.

    `watch` passes on each project before it is planned. Raises DefinitionError with all problems
    of all files and cells, parts that fit no stock included.
    """
    return price_gathered(gather(folder, as_of), watch)


def price_gathered(gathered: Gathered, watch: Watch = iter) -> Priced:
    """Plan and work out what was gathered; plans that the workbook kept are used again.

    Raises DefinitionError for parts that fit no stock.
    """
    from notchbook.shop.planned_rows import fill_book
    from notchbook.shop.there_now import settle_shelf

    definitions, kept = gathered.definitions, KeptPlans(gathered.plans)
    book, sizes = choose_book(definitions), batch_sizes(definitions)
    leeways = build_leeways(definitions)

    made: list[Plans] = []

    def plan(there: There) -> Plans:
        jobs = _build_jobs(definitions, book, there)
        if not made or made[-1].jobs != jobs:
            made.append(plan_shop(jobs, sizes, leeways, kept, watch))
        return made[-1]

    shelf = settle_shelf(definitions, book, read_kept_use(gathered), plan)
    plans = use_offcuts(plan(shelf.there), sizes, build_offcuts(definitions), kept)
    filled = fill_book(definitions, book, plans, shelf.there)
    priced = Priced(definitions, book, plans, filled, kept, shelf.there)
    put_kept_use(book, filled, shelf.use)
    calculate(book, filled, priced.units)
    priced.frozen.extend(fill_sale_costs(filled))
    priced = replace(priced, books=fill_books(filled, priced.units))
    calculate(book, filled, priced.units, changed=FILLED | COSTS_KEPT)
    keep_filed(book, filled, priced.units, read_filed(gathered))
    fill_best_ideas(filled)
    _sort_best_first(priced)
    _fill_shop_sheets(priced)
    name_rows(book, filled, priced.units)
    fill_looks(book, filled, definitions.look, definitions.settings.tax)
    return priced


def choose_book(definitions: Definitions) -> Book:
    """Choose the sheets of the year, with a column for each year a tool is written off in."""
    settings = definitions.settings
    years = years_shown(settings.year, definitions.table("Tool depreciation", ToolRow))
    filed = settings.filed is not None
    return book_for(settings.tax, settings.year, years, settings.spelling, filed)


def check(folder: Path, as_of: date | None) -> Definitions:
    """Read a shop and its workbook, and see that every part fits a stock.

    What a compile would tell of cells is told. Raises DefinitionError with all problems.
    """
    gathered, _ = prepare_jobs(folder, as_of)
    notices = [*gathered.files.notices, *gathered.notices]
    return replace(gathered.definitions, look=gathered.look, notices=notices)


def prepare_jobs(
    folder: Path, as_of: date | None, workbook: Path | None = None
) -> tuple[Gathered, dict[str, Job]]:
    """Merge a shop with its workbook; give what is to be cut for a unit of each project.

    `workbook` names another one than the shop's own. Raises DefinitionError with all problems,
    parts that fit no stock included.
    """
    from notchbook.shop.there_now import find_shelf

    gathered = gather(folder, as_of, workbook)
    definitions, book = gathered.definitions, choose_book(gathered.definitions)
    shelf = find_shelf(definitions, book, read_kept_use(gathered))
    return gathered, _build_jobs(definitions, book, shelf.there)


def prepare_cuts(gathered: Gathered, watch: Watch = iter) -> tuple[dict[str, Job], There]:
    """Give what is to be cut in a merged shop, and what there is of each stock.

    Raises DefinitionError for parts that fit no stock.
    """
    from notchbook.shop.there_now import settle_shelf

    definitions, book = gathered.definitions, choose_book(gathered.definitions)

    def plan(there: There) -> Plans:
        work, leeways = _build_jobs(definitions, book, there), build_leeways(definitions)
        return plan_shop(work, batch_sizes(definitions), leeways, KeptPlans(gathered.plans), watch)

    shelf = settle_shelf(definitions, book, read_kept_use(gathered), plan)
    return _build_jobs(definitions, book, shelf.there), shelf.there


def _build_jobs(definitions: Definitions, book: Book, there: There) -> dict[str, Job]:
    from notchbook.shop.laid_surface_rows import count_strips

    work = build_jobs(definitions, count_strips(definitions, book), there)
    problems = [
        *(each for project, job in work.items() for each in _misfits(definitions, project, job)),
        *mark_misfits(definitions, book),
    ]
    if problems:
        raise DefinitionError(sorted(problems, key=lambda each: (each.file, each.line)))
    return work


def batch_sizes(definitions: Definitions) -> dict[str, int]:
    """Return the batch size of each project."""
    return {row.project: row.batch for row in definitions.table("Projects", ProjectRow)}


def describe_subject(definitions: Definitions) -> Subject:
    """Say what the sheets speak of: shop, year, currency, units, paper."""
    from notchbook.workbook.layout.subject import Subject

    settings = definitions.settings
    return Subject(
        shop=settings.shop,
        year=settings.year,
        currency=settings.currency,
        decimals=currency_decimals(settings.currency),
        units=settings.units,
        paper=settings.paper,
    )


def _misfits(definitions: Definitions, project: str, job: Job) -> list[Problem]:
    settings = definitions.settings

    def show(length: Fraction) -> str:
        return show_length(length, settings.units, settings.show_fractions_to)

    unit = UNIT_WORDS["length"][settings.units]

    problems = []
    for misfit in find_misfits(job):
        file, line = definitions.place_of_part(project, misfit.part)
        reasons = "; ".join(reason.sentence(show, unit) for reason in misfit.reasons)
        message = f"{misfit.part} of {project} fits none of its stocks: {reasons}"
        problems.append(Problem(file, line, message))
    for part, board in find_crowded(job):
        file, line = definitions.place_of_part(project, part.part)
        message = (
            f"{part.part} of {project} is too small for {board.stock}: more than {MOST_PIECES:,} "
            "would come out of one; write a larger size, or another stock"
        )
        problems.append(Problem(file, line, message))
    return problems


def _sort_best_first(priced: Priced) -> None:
    """Put what Start lists and draws in the order of what an hour earns, the best first."""
    tables = priced.filled.tables
    order = tables["Projects"].sort_values("per_hour", ascending=False, kind="stable")["project"]
    rank = {project: n for n, project in enumerate(order)}
    for name in ("At a glance", "Batch sizes"):
        by_rank = tables[name]["project"].map(rank).sort_values(kind="stable").index
        tables[name] = tables[name].loc[by_rank].reset_index(drop=True)


def _fill_shop_sheets(priced: Priced) -> None:
    """Write readings and short points into the shop sheets, in the shop's fraction."""
    settings = priced.definitions.settings
    ruler = Ruler(settings.units, settings.show_fractions_to)
    write_readings(priced.filled, ruler)
    write_short_points(priced.filled, ruler)
    calculate(priced.book, priced.filled, priced.units, only=["Shop marks"])


def list_checks(priced: Priced) -> list[dict[str, object]]:
    """List every check: what it looks at, whether it is all right, by how much it is off."""
    lines = priced.filled.lines
    return [
        {
            "check": row.label,
            "ok": lines["Checks", f"{name}_state"] == "OK",
            "difference": round(float(lines["Checks", name]), 6) + 0.0,
            "named": lines.get(("Checks", f"{name}_named"), ""),
        }
        for name, row in checks_of(priced.definitions.settings.tax).items()
    ]


def list_book_notices(priced: Priced) -> list[str]:
    """List what is worth knowing of the year's books, and no fault."""
    return _list_counted(priced, {*NAMED_APART, *OF_PLANS})


def _list_counted(priced: Priced, without: Container[str]) -> list[str]:
    return [
        _say_notice(priced, name, row)
        for name, row in notices_of(priced.definitions.settings.tax).items()
        if priced.filled.lines["Checks", f"{name}_state"] != "OK" and name not in without
    ]


def list_notices(priced: Priced) -> list[str]:
    """List what is worth knowing and no fault."""
    return [
        *_list_counted(priced, NAMED_APART),
        *list_estimates(priced),
        *list_losses(priced),
        *find_meeting_marks(priced.filled),
    ]


_SAID = {
    "stock_gap": "counted stock is {amount} {side} the books (Counts)",
    "overhead_low": "real overheads of a bench hour are {amount}, far above the rate on Settings",
}
"""Notices whose amount stands within a sentence."""


def _say_notice(priced: Priced, name: str, row: LineRow) -> str:
    """Say how many there are, or how much it is, and up to three rows that it counts."""
    lines = priced.filled.lines
    number = float(lines["Checks", name])
    decimals = currency_decimals(priced.definitions.settings.currency)
    if name in _SAID:
        side = "below" if number < 0 else "above"
        return _SAID[name].format(amount=f"{abs(number):,.{decimals}f}", side=side)
    shown = f"{number:,.{0 if row.cells[0].look is COUNT else decimals}f}"
    named = lines.get(("Checks", f"{name}_named"))
    return f"{row.label}: {shown}" + (f" ({named})" if named else "")


def list_estimates(priced: Priced) -> list[str]:
    """List the projects whose estimates log or ledger put off, with what these say."""
    found = priced.filled.tables["Estimates"]
    return [
        f"{row.project}: {row.off}; type it on Projects, if you take it over"
        for row in found[found["off"] != ""].itertuples()
    ]


def list_losses(priced: Priced) -> list[str]:
    """List the projects that lose money on each piece, with the prices and what these need."""
    decimals = currency_decimals(priced.definitions.settings.currency)
    tiers = priced.filled.tables["Pricing tiers"]
    below = tiers[tiers["state"] == BELOW]
    return [
        f"{project} loses money on each piece: "
        + "; ".join(
            f"{row.price:,.{decimals}f} at {row.tier} (it needs {row.break_even:,.{decimals}f})"
            for row in rows.itertuples()
        )
        for project, rows in below.groupby("project", sort=False)
    ]


def list_shortages(priced: Priced, projects: Container[str] | None = None) -> list[str]:
    """List the projects whose reclaimed stock does not suffice, each with the stock.

    `projects` are those that are looked at, all where it is left out.
    """
    return [each.says for each in find_shortages(priced.filled, projects)]
