"""A year's closing counts made the opening counts of the next, and what is then on hand."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from math import isnan
from typing import Any

from notchbook.base.problems import nearest, quoted
from notchbook.base.sentences import listed
from notchbook.definitions import Definitions
from notchbook.definitions.editing.writing import number
from notchbook.definitions.reading.rows import checked
from notchbook.gathering import Gathered
from notchbook.sheets.ledgers.counts import STAGES, CountRow
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.making.stock import StockRow
from notchbook.shop.pipeline import Priced
from notchbook.trade.money import currency_decimals

_COLUMNS = ("date", "stock", "project", "stage", "quantity", "value")
_AMOUNTS = ("quantity", "value")
_NOTHING = 1e-6
_LEFT = "this count is not carried, so type it into the new Counts"
Place = Callable[[int, str], str]
"""Where a maker finds a cell of Counts, by its row and column."""


@dataclass
class OpeningStock:
    """Opening counts, and what to look at.

    `found` tells whether there was a closing count at all.
    """

    rows: list[CountRow] = field(default_factory=list)
    look: list[str] = field(default_factory=list)
    found: bool = False

    def as_csv(self) -> str:
        """Write the counts as the file of a ledger."""
        target = io.StringIO()
        writer = csv.writer(target, lineterminator="\n")
        writer.writerow(_COLUMNS)
        for row in self.rows:
            words = [row.stock or "", row.project or "", row.stage or ""]
            writer.writerow(
                [row.date.isoformat(), *words, *(number(getattr(row, each)) for each in _AMOUNTS)]
            )
        return target.getvalue()


def carry_counts(gathered: Gathered, priced: Priced, known: Definitions, day: date) -> OpeningStock:
    """Make the closing counts opening ones of `day`, with the names of the new files.

    A count that the new files cannot hold is told and left out. One whose number nobody
    understands opens with 0, as Counts reckons it, so that the other number is not lost.
    """
    result, place = OpeningStock(), _places(gathered)
    stray = priced.definitions.stray.get("Counts", {})
    names = _Names(known)
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
            if isnan(row[each])
        ]
    _open_by_books(result, priced, names, day)
    return result


def _open_by_books(result: OpeningStock, priced: Priced, names: _Names, day: date) -> None:
    """Open what nobody counted with what the books expect of it, and name it."""
    counted = {each.stock or each.project for each in result.rows}
    tables = priced.filled.tables
    decimals = currency_decimals(priced.definitions.settings.currency)
    expected = [
        *(
            ("stock", row["stock"], row["expected"], row["average_cost"])
            for row in tables["Stock"].to_dict("records")
            if row["opening"] + row["bought"] > 0
        ),
        *(
            ("project", row["project"], row["finished"], row["unit_materials"])
            for row in tables["Projects"].to_dict("records")
        ),
    ]
    told = []
    for column, name, quantity, each in expected:
        known = name.casefold() in names.spelled[column]
        if not known or name in counted or quantity <= _NOTHING:
            continue
        amounts = {"quantity": round(quantity, 6), "value": round(quantity * each, decimals)}
        result.rows.append(CountRow.model_validate({"date": day, column: name, **amounts}))
        told.append(f"{number(round(quantity, 2))} of {name}")
    if told:
        result.look.append(
            "not counted, so opened with what the books expect; count and mend"
            f" ledgers/counts.csv: {listed(told)}"
        )


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
    amounts = {each: 0.0 if isnan(row[each]) else float(row[each]) for each in _AMOUNTS}
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
