"""The workbook's ledgers as CSV files: what a new shop would read, and how its lines come about."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, field
from math import isnan
from pathlib import Path
from typing import Any

from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import new_folder
from notchbook.base.sentences import counted
from notchbook.commands.account_file import ACCOUNTS, ACCOUNTS_HEAD, list_movements
from notchbook.commands.cost_files import COSTS, COSTS_HEAD, USED, USED_HEAD, CostFiles
from notchbook.commands.waiting_cuts_file import list_waiting, write_waiting_cuts
from notchbook.definitions.editing.writing import number, write_csv
from notchbook.definitions.syntax.columns import FOR_OTHERS, LEDGERS, ledger_header
from notchbook.language.functions import from_serial
from notchbook.language.value_kinds import Kind
from notchbook.sheets.paper import assets
from notchbook.shop.pipeline import Priced, price
from notchbook.tax.forms import form_lines
from notchbook.trade.money import currency_decimals

SLIPS, WITHOUT_RECEIPT, ASSETS = FOR_OTHERS[:3]
_SLIP = ("category", "date", "vendor", "payee", "what", "amount", "use_tax", "receipt", "note")
Cells = Mapping[Hashable, Any]


@dataclass
class LedgerFiles:
    """The files by their names, what could not be written, and what is worth knowing."""

    files: dict[str, str] = field(default_factory=dict)
    look: list[str] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)

    def write(self, folder: Path) -> list[str]:
        """Make the folder, whole; return the files made.

        Raises RefusedError where something stands there.
        """
        with new_folder(folder) as made:
            for name, text in self.files.items():
                (made / name).write_bytes(text.encode("utf-8"))
        return [str(folder / name) for name in self.files]


def export_ledgers(shop: Path) -> LedgerFiles:
    """Write all ledgers of a shop, as its workbook was last saved, what was kept with them too.

    Beside them stand slips-by-line.csv, costs.csv and used.csv, from which the lines of Year-end
    can be worked out again, and accounts.csv, which tells what moved in which account.

    Raises DefinitionError with all problems of files and cells, RefusedError where the workbook is
    open, as what is not saved yet would be missing.
    """
    priced = price(shop, None)
    if priced.definitions.workbook is not None:
        from notchbook.workbook.read.safety import refuse_if_open

        refuse_if_open(priced.definitions.workbook)
    result = LedgerFiles()
    for file, (table, row) in LEDGERS.items():
        header = ledger_header(file, priced.definitions.settings.units)
        names = dict(zip(header, row.model_fields, strict=True))
        rows = [
            [_written(priced, table, name, cells) for name in names.values()]
            for cells in _rows(priced, table)
        ]
        if rows:
            result.files[file] = write_csv(names, rows)
        result.look += [
            f"{table}, row {n + 1}: {str(text)[:40]!r} under {name} is not understood, so it is"
            f" blank in {file}"
            for (n, name), text in priced.definitions.stray.get(table, {}).items()
        ]
    if not result.files:
        raise RefusedError(f"{shop} has no ledger with a row, so there is nothing to write")
    of_form = ("line", "of") if priced.definitions.settings.tax == "us" else ()
    slips = _slips(priced)
    result.files[SLIPS] = write_csv((*of_form, *_SLIP), slips)
    without = [each for each in slips if not each[len(of_form) + _SLIP.index("receipt")]]
    result.files[ASSETS] = write_csv(
        (each.header for each in assets.TABLE.columns),
        (
            [_written(priced, "Tool depreciation", name, cells) for name in assets.TABLE.by_name]
            for cells in priced.filled.tables["Tool depreciation"].to_dict("records")
        ),
    )
    if without:
        result.files[WITHOUT_RECEIPT] = write_csv((*of_form, *_SLIP), without)
        result.notices.append(f"{counted(len(without), 'slip')} without a receipt's number")
    if waiting := write_waiting_cuts(list_waiting(priced)):
        result.files["waiting_cuts.csv"] = waiting
    costs = CostFiles(priced)
    result.files[COSTS] = write_csv(COSTS_HEAD, costs.costs())
    if used := costs.used():
        result.files[USED] = write_csv(USED_HEAD, used)
    decimals = currency_decimals(priced.definitions.settings.currency)
    result.files[ACCOUNTS] = write_csv(ACCOUNTS_HEAD, list_movements(priced.filled, decimals))
    return result


def _rows(priced: Priced, table: str) -> Iterator[Cells]:
    """Yield the rows of a ledger that hold anything, beside a name that is there by itself."""
    given = priced.book.tables[table].row
    assert given is not None
    names = [name for name in given.model_fields if not (given.a_row_for and name in given.key)]
    for cells in priced.filled.tables[table].to_dict("records"):
        if any(_is_there(cells[name]) for name in names):
            yield cells


def _is_there(value: Any) -> bool:
    return bool(value) if isinstance(value, str) else not isnan(value)


def _written(priced: Priced, table: str, name: str, cells: Cells) -> str:
    """Write a cell as the files do."""
    value, kind = cells[name], priced.book.tables[table].by_name[name].look.kind
    if isinstance(value, str) or not _is_there(value):
        return value if isinstance(value, str) else ""
    return from_serial(value).isoformat() if kind is Kind.DATE else number(value)


def _slips(priced: Priced) -> list[list[str]]:
    """Write the year's slips in the order of the form's lines, then by category and day."""
    settings, lines = priced.definitions.settings, priced.filled.lines
    form = {f"line {each.number}": each.label for each in form_lines(settings.tax, settings.year)}
    order = {line: n for n, line in enumerate(form)}
    first, last = (float(lines["Settings", name]) for name in ("year_start", "year_end"))
    slips = [each for each in _rows(priced, "Purchases") if first <= each["date"] <= last]
    slips.sort(
        key=lambda each: (
            order.get(str(each.get("line")), len(order)),
            each["category"],
            each["date"],
        )
    )
    return [
        [
            *((each["line"] or "no line", form.get(each["line"], "")) if form else ()),
            *(_written(priced, "Purchases", name, each) for name in _SLIP),
        ]
        for each in slips
    ]
