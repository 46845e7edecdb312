"""The lines of the return kept from the compile that first saw the day on which it was filed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from notchbook.base.sentences import counted
from notchbook.language.functions import from_serial
from notchbook.sheets.kit.calculate import Filled, calculate
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.tax.as_filed import filed_cell, list_filed
from notchbook.shop.sale_costs import round_kept

if TYPE_CHECKING:
    from notchbook.gathering import Gathered

_SHEET = "Year-end"


def read_filed(gathered: Gathered) -> dict[str, float]:
    """Read, by line, what the last compile kept as filed."""
    written = {} if gathered.old is None else gathered.old.lines_written(_SHEET, filed_cell(""))
    return {
        name: float(amount)
        for name in list_filed(written)
        if isinstance(amount := written[filed_cell(name)], int | float)
    }


def keep_filed(
    book: Book, filled: Filled, units: Mapping[str, int], kept: Mapping[str, float]
) -> None:
    """Fill in the lines as filed: those that are kept already, else as they are now."""
    cells = {name: filed_cell(name) for name in list_filed(book.lines[_SHEET].cells)}
    for name, cell in cells.items():
        now = float(filled.lines[_SHEET, name])
        filled.lines[_SHEET, cell] = kept.get(name, round_kept(now))
    if cells:
        calculate(book, filled, units, changed={(_SHEET, each) for each in cells.values()})


def tell_filed(filled: Filled, kept: Mapping[str, float]) -> list[str]:
    """Say that the lines are kept from now on, or no longer."""
    day, number = filled.lines["Settings", "filed"], len(as_filed(filled))
    if number and not kept:
        return [
            f"{counted(number, 'line')} of Year-end kept as filed on {from_serial(float(day))};"
            " what changes from now on is named"
        ]
    if kept and not number:
        return [
            f"the {counted(len(kept), 'line')} of Year-end kept as filed are dropped, as Settings"
            " holds no day filed"
        ]
    return []


def as_filed(filled: Filled) -> dict[str, float]:
    """Return the amounts of Year-end that were filed, by line; none before a year is filed."""
    names = list_filed(name for sheet, name in filled.lines if sheet == _SHEET)
    return {name: float(filled.lines[_SHEET, filed_cell(name)]) for name in names}
