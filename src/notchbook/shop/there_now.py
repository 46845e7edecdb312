"""What lies on the shelf when a shop is planned, and what its runs took of it until then."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from notchbook.definitions import Definitions
from notchbook.sheets.kit.calculate import Filled, calculate
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.making.stock_used import LOG, number_runs
from notchbook.shop.kept_cuts import hold_cuts
from notchbook.shop.kept_use import KeptUse, put_kept_use, take_new_runs
from notchbook.shop.planned_rows import fill_given, fill_prices, units_of

if TYPE_CHECKING:
    from notchbook.shop.plans import Plans

There = Mapping[str, float]
"""How many boards, sheets, pieces or units of each stock are there."""


@dataclass(frozen=True)
class Shelf:
    """What each run took, and what is left; `waiting` runs are not counted in it yet."""

    use: KeptUse
    there: There
    waiting: bool


def find_shelf(definitions: Definitions, book: Book, kept: KeptUse) -> Shelf:
    """Work out what is there by the runs whose stock is known, and the cuts that were kept."""
    use = hold_cuts(definitions, book, kept)
    filled = fill_given(definitions, book)
    put_kept_use(book, filled, use)
    _calculate(definitions, book, filled, "Stock", "there_now")
    stock = filled.tables["Stock"]
    there = dict(zip(stock["stock"], stock["there_now"].tolist(), strict=True))
    runs = [run for run in number_runs(filled.tables[LOG].to_dict("records")) if run is not None]
    return Shelf(use, there, any(run not in use.takes for run in runs))


def settle_shelf(
    definitions: Definitions, book: Book, kept: KeptUse, plan: Callable[[There], Plans]
) -> Shelf:
    """Let runs that nothing is known of take what they need, by the plans of before them.

    `plan` makes the plans of the shop for what is there; it is asked only where a run is new.
    """
    shelf = find_shelf(definitions, book, kept)
    if not shelf.waiting:
        return shelf
    filled = fill_prices(definitions, book, plan(shelf.there))
    put_kept_use(book, filled, shelf.use)
    _calculate(definitions, book, filled, "Material takeoff", "unit_need")
    found = take_new_runs(book, filled, shelf.use)
    if len(found.takes) == len(shelf.use.takes):
        return shelf
    return find_shelf(definitions, book, found)


def _calculate(
    definitions: Definitions, book: Book, filled: Filled, table: str, column: str
) -> None:
    rule = book.tables[table].by_name[column].whole
    assert rule is not None
    needed = {(table, column), *book.reach(rule, table)}
    calculate(book, filled, units_of(definitions.settings), needed=needed)
