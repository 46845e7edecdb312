"""A year's stock at the end made the opening counts of the next, and what is then on hand."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from datetime import date
from math import isnan
from typing import Any

from notchbook.base.problems import nearest, quoted
from notchbook.commands.opening_by_books import OpeningStock, open_at_nothing, open_by_books
from notchbook.definitions import Definitions
from notchbook.definitions.reading.rows import checked
from notchbook.gathering import Gathered
from notchbook.sheets.ledgers.counts import STAGES, CountRow
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.making.stock import StockRow
from notchbook.shop.pipeline import Priced

_AMOUNTS = ("quantity", "value")
_LEFT = "this count is not carried, so type it into the new Counts"
Place = Callable[[int, str], str]
"""Where a maker finds a cell of Counts, by its row and column."""


def carry_counts(gathered: Gathered, priced: Priced, known: Definitions, day: date) -> OpeningStock:
    """Make opening counts of `day` that come to the old year's stock at the end.

    Those are its closing counts where they are whole, or where the stock method goes by what was
    counted; else what the books have left. A count that the new files cannot hold is told and left
    out. One whose quantity nobody understands opens with 0, as Counts reckons it, so that its
    value is not lost.
    """
    result, place = OpeningStock(), _places(gathered)
    stray = priced.definitions.stray.get("Counts", {})
    names = _Names(known)
    is_whole = priced.filled.lines["Year-end", "whole_count"] == 1
    by_books = not is_whole and priced.definitions.settings.stock_method == "materials"
    result.by_books = by_books
    for n, row in enumerate(priced.filled.tables["Counts"].to_dict("records")):
        if (n, "date") in stray:
            result.look.append(f"{place(n, 'date')}: {_typed(stray[n, 'date'])} is no day; {_LEFT}")
        if row["count"] != "closing" or isnan(row["date"]):
            continue
        result.found = True
        faults = list(names.faults(row))
        made = _open_count(row, names, day, faults)
        if made is None:
            column, what = faults[0]
            result.look.append(f"{place(n, column)}: {what}; {_LEFT}")
            continue
        result.rows.append(made)
        result.look += [
            f"{place(n, each)}: {_unsaid(each, stray.get((n, each)))}; it opens with 0, so write it"
            " into ledgers/counts.csv"
            for each in _AMOUNTS
            if isnan(row[each]) and (each == "quantity" or (n, each) in stray)
        ]
    if by_books:
        open_by_books(result, priced, names.spelled, day)
    elif not is_whole:
        open_at_nothing(result, priced, names.spelled, day)
    return result


class _Names:
    """Names as the definitions spell them; the workbook takes capitals for small letters."""

    def __init__(self, known: Definitions) -> None:
        self.spelled = {
            "stock": _folded(row.stock for row in known.table("Stock", StockRow)),
            "project": _folded(row.project for row in known.table("Projects", ProjectRow)),
            "stage": _folded(STAGES),
        }

    def faults(self, row: Mapping[Hashable, Any]) -> Iterator[tuple[str, str]]:
        """List the words of a count that nothing bears, each with its column."""
        if bool(row["stock"]) is bool(row["project"]):
            which = "both" if row["stock"] else "neither"
            yield "stock", f"a count is of a stock or a project, and here is {which}"
        for column, spelled in self.spelled.items():
            word = row[column]
            if word and word.casefold() not in spelled:
                near = nearest(word, spelled.values())
                yield column, f"there is no {column} {quoted(word)}{near}"

    def words(self, row: Mapping[Hashable, Any]) -> dict[str, object]:
        """Return the words of a count without faults."""
        return {
            column: spelled[row[column].casefold()]
            for column, spelled in self.spelled.items()
            if row[column]
        }


def _folded(names: Iterable[str]) -> dict[str, str]:
    return {name.casefold(): name for name in names}


def _open_count(
    row: Mapping[Hashable, Any], names: _Names, day: date, faults: list[tuple[str, str]]
) -> CountRow | None:
    """Build the row of the new file; None, with the reasons added, where it could not be read."""
    if faults:
        return None
    value = row["proposed"] if isnan(row["value"]) else row["value"]
    amounts = {"quantity": 0.0 if isnan(row["quantity"]) else row["quantity"], "value": value}
    return checked(
        CountRow,
        {"date": day, **names.words(row), **amounts},
        lambda column, what: faults.append((column, what)),
    )


def _unsaid(column: str, raw: object | None) -> str:
    return f"no {column} is typed" if raw is None else f"the {column} {_typed(raw)} is no number"


def _typed(raw: object) -> str:
    return quoted(str(raw).strip('"')[:40])  # text as it was typed


def _places(gathered: Gathered) -> Place:
    old = gathered.old
    table = None if old is None else old.typed.tables.get("Counts")
    if table is None:
        at = gathered.definitions.places
        return lambda row, _: "{}:{}".format(*at["Counts", str(row + 1)])
    from notchbook.workbook.read.anchors import address

    return lambda row, column: address(table.place(row, column))
