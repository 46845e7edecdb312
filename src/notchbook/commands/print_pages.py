"""Pages for paper: what to buy by vendor, shop sheets, labels of the pieces, prices."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pandas as pd

from notchbook.base.refusals import RefusedError
from notchbook.base.sentences import counted, listed, so_many
from notchbook.commands.hand_over import (
    Contents,
    HandOver,
    copy_of,
    known_projects,
    refuse_output,
    write,
)
from notchbook.gathering import Gathered, gather, workbook_path
from notchbook.jobs import build_offcuts
from notchbook.plan_views.labels import list_labels
from notchbook.plan_views.plan_words import make_plan_words
from notchbook.planning.whole_shop import WholeShop
from notchbook.sheets.kit.calculate import Filled, calculate, frame
from notchbook.sheets.kit.declare import Book, Sheet
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.marks import MarkRow
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.making.stock import StockRow
from notchbook.sheets.paper import assets, labels, to_buy
from notchbook.sheets.partner.copy import as_values
from notchbook.sheets.partner.words import SHOP_SHEET
from notchbook.shop.cut_plan_rows import build_bought_together_rows
from notchbook.shop.next_batches import count_begun, propose
from notchbook.shop.offcuts_used import with_offcuts
from notchbook.shop.pipeline import (
    Priced,
    batch_sizes,
    describe_subject,
    list_shortages,
    price_gathered,
)
from notchbook.shop.plans import Watch, plan_batches_from_stock
from notchbook.shop.shop_sheet_rows import BOX
from notchbook.workbook.file.written import PRINTED

Frames = Mapping[str, pd.DataFrame]
_NO_VENDOR = "no vendor"


@dataclass(frozen=True)
class Pages:
    """Pages that are ready to be written, for some projects."""

    priced: Priced
    sizes: Mapping[str, int]
    book: Book
    filled: Filled

    @property
    def projects(self) -> list[str]:
        """The projects that are printed."""
        return list(self.sizes)

    @property
    def look(self) -> list[str]:
        """What needs a look before anything is bought or cut."""
        return list_shortages(self.priced, self.projects)

    def list_contents(self) -> list[str]:
        """List the pages, and how much stands on them."""
        rows = self.filled.tables
        return [
            f"To buy: {counted(len(rows['To buy']), 'stock')}",
            f"Shop sheets: {listed(so_many(n, project) for project, n in self.sizes.items())}",
            f"Labels: {len(rows['Labels']):,}",
            f"Price list: {counted(len(rows['Price list']), 'price')}",
            *([f"Tools: {len(rows['Assets']):,}"] if "Assets" in rows else []),
        ]

    def file(self) -> bytes:
        """Return the pages as the bytes of a workbook of values."""
        from notchbook.shop.shop_pictures import draw_shop_pictures
        from notchbook.workbook.write.compose import compose

        about = replace(describe_subject(self.priced.definitions), category=PRINTED)
        pictures = draw_shop_pictures(self.priced, self.projects)
        return compose(self.book, self.filled, self.priced.units, about, pictures=pictures)

    def write(self, target: Path) -> None:
        """Put the pages in place, those of an earlier print if they stand as they were written.

        Raises RefusedError where anything else stands there.
        """
        write(self.file(), target, PRINTED)


def make_pages(
    folder: Path,
    wanted: Mapping[str, int | None] | None,
    target: Path,
    as_of: date | None,
    watch: Watch = iter,
) -> Pages:
    """Make the pages of some projects, of all where none is named, each for so many units.

    Without a number it is the batch size. `wanted` is None for the numbers on Next batches. Raises
    DefinitionError for bad definitions or cells, RefusedError for unknown projects, a `target` that
    cannot be written to, and where nothing is made.
    """
    gathered = gather(folder, as_of)
    definitions = gathered.definitions
    named = known_projects(list(wanted or ()), definitions) or list(definitions.projects)
    if not named:
        raise RefusedError("there is no project to print; write one into projects/")
    refuse_output(target, workbook_path(definitions), PRINTED)
    priced = price_gathered(gathered, watch)
    batches = batch_sizes(definitions)
    if wanted is None:
        found = propose(priced)
        sizes = count_begun(priced)
        if not sizes:
            why = found.nothing.value if found.nothing else "no number is made"
            raise RefusedError(f"nothing is printed: {why}")
    else:
        sizes = {project: wanted.get(project) or batches[project] for project in named}
    cut = priced
    if any(units != batches[project] for project, units in sizes.items()):
        cut = price_gathered(_with_batches(gathered, {**batches, **sizes}), watch)
    return Pages(cut, sizes, *_lay_out(priced, cut, sizes, whole=wanted == {}))


def _with_batches(gathered: Gathered, sizes: Mapping[str, int]) -> Gathered:
    """Give projects other batch sizes."""
    definitions = gathered.definitions
    rows = [
        row.model_copy(update={"batch": sizes[row.project]})
        for row in definitions.table("Projects", ProjectRow)
    ]
    shown = [{**row, "batch": sizes[str(row["project"])]} for row in definitions.cells("Projects")]
    changed = replace(
        definitions,
        rows={**definitions.rows, "Projects": tuple(rows)},
        shown={**definitions.shown, "Projects": shown},
    )
    return replace(gathered, definitions=changed)


def _lay_out(
    priced: Priced, cut: Priced, sizes: Mapping[str, int], whole: bool
) -> tuple[Book, Filled]:
    """Lay out what is cut at its sizes, beside the prices of the shop's own batch sizes.

    The pages of the whole shop hold its tools, too.
    """
    projects = list(sizes)
    copy = copy_of(cut, projects, Contents.FROZEN)
    prices = copy_of(priced, projects, Contents.PRICES)
    bought = _list_what_to_buy(cut, sizes, _plan_wood(priced, cut, sizes))
    pieces = frame(labels.TABLE, _list_labels(cut, sizes))
    sheets = (
        _value_sheet(to_buy.SHEET, _say_totals(cut, bought)),
        _shop_sheet(copy),
        _value_sheet(labels.SHEET, labels.SHEET.instruction),
        *prices.book.sheets,
        *([assets.SHEET] if whole else []),
    )
    tables = {**copy.filled.tables, **prices.filled.tables, "To buy": bought, "Labels": pieces}
    tools = priced.filled.tables["Tool depreciation"]
    tables["Assets"] = tools[list(assets.TABLE.by_name)].reset_index(drop=True)
    shown = {table.name for sheet in sheets for table in sheet.tables}
    kept = {name: rows for name, rows in tables.items() if name in shown}
    return Book(sheets), Filled(kept, {}, {})


def _shop_sheet(copy: HandOver) -> Sheet:
    return next(sheet for sheet in copy.book.sheets if sheet.name == SHOP_SHEET)


def _value_sheet(sheet: Sheet, says: str) -> Sheet:
    return replace(sheet, instruction=says, blocks=tuple(map(as_values, sheet.tables)))


def _plan_wood(priced: Priced, cut: Priced, sizes: Mapping[str, int]) -> WholeShop:
    """Plan all that is printed in one: all batches as the workbook has them, others as cuts do."""
    if cut is priced and len(sizes) == len(cut.plans.jobs):
        return cut.plans.together
    jobs = {name: cut.plans.jobs[name] for name in sizes}
    jobs |= with_offcuts(jobs, build_offcuts(cut.definitions))
    return plan_batches_from_stock(jobs, sizes, cut.kept, cut.there)[1]


def _list_what_to_buy(
    priced: Priced, sizes: Mapping[str, int], together: WholeShop
) -> pd.DataFrame:
    """List what is bought, vendor by vendor: as the sheets cut, and all cut in one plan."""
    tables: dict[str, pd.DataFrame] = {**priced.filled.tables}
    takeoff = tables["Material takeoff"]
    tables["Material takeoff"] = takeoff[takeoff["project"].isin(list(sizes))].reset_index(
        drop=True
    )
    tables["Stock"] = tables["Stock"].copy()
    needed = set(tables["Material takeoff"]["stock"])
    stocks = [stock for stock in tables["Stock"]["stock"] if stock in needed]
    joined = build_bought_together_rows(together, stocks)
    tables["Bought together"] = frame(priced.book.tables["Bought together"], list(joined))
    rows = (row for row in priced.definitions.table("Stock", StockRow) if row.stock in stocks)
    by_vendor = sorted(rows, key=_vendor)
    tables["To buy"] = frame(
        to_buy.TABLE,
        [
            {"box": BOX, "vendor": _vendor(row), "stock": row.stock, "pack": _pack(row)}
            for row in by_vendor
        ],
    )
    whole = Book((*priced.book.sheets, to_buy.SHEET))
    filled = Filled(tables, priced.filled.lines, {})
    calculate(whole, filled, priced.units, only=["Stock", "Bought together", "To buy"])
    found = filled.tables["To buy"]
    found = found[found["to_buy"] > 0].reset_index(drop=True)
    in_all = found.groupby("vendor")["outlay"].transform("sum")
    found["vendor_outlay"] = in_all.where(~found["vendor"].duplicated())
    return found


def _vendor(row: StockRow) -> str:
    return row.vendor or _NO_VENDOR


def _pack(row: StockRow) -> str:
    return f"{float(row.pack):,g} {row.unit or ''}".rstrip()


def _say_totals(priced: Priced, bought: pd.DataFrame) -> str:
    """Say what is paid in all, and what one plan for all of it would save."""
    if bought.empty:
        return "Nothing has to be bought: all that is needed is there."
    show = make_plan_words(priced.definitions).show_money
    apart = Fraction(str(bought["outlay"].sum()))
    together = Fraction(str((bought["together"] * bought["price"]).sum()))
    said = f"For these shop sheets, each cut by itself, at the prices on Stock: {show(apart)}."
    if together >= apart:
        return said
    return f"{said} All cut from one plan (notchbook cuts): {show(together)}."


def _list_labels(priced: Priced, sizes: Mapping[str, int]) -> list[dict[str, str]]:
    definitions = priced.definitions
    rows = definitions.table("Cut list", CutRow)
    marks = definitions.table("Marks", MarkRow)
    ruler = make_plan_words(definitions).ruler
    return [
        label
        for project, units in sizes.items()
        for label in list_labels(priced.plans.jobs[project], units, rows, marks, ruler)
    ]
