"""What files and workbook say of a shop, side by side, as the merge takes and leaves it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from pydantic import BaseModel

from notchbook.base.spelling import Spelling, spell
from notchbook.definitions import LEDGER_TABLES, TABLES, Definitions, Stated
from notchbook.merging.cells import Cells, MergedTable, Value, cell
from notchbook.merging.changes import Changes, Renamed
from notchbook.merging.state import MergeMemory
from notchbook.sheets.kit.columns import Role, Row
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.kit.discovery import row_tables
from notchbook.sheets.kit.setting_keys import OF_THE_FILES
from notchbook.sheets.kit.shop_settings import GIVEN, ShopSettings
from notchbook.sheets.making.stock_used import KeptCut

if TYPE_CHECKING:
    from notchbook.workbook.read.old_book import OldBook

__all__ = [
    "OF_THE_FILES",
    "PLANNED_TABLES",
    "SETTINGS",
    "Gathered",
    "Sided",
    "cells_of",
    "grids",
]
SETTINGS = "Settings"
PLANNED_TABLES = tuple(name for name in TABLES if name not in LEDGER_TABLES)


@dataclass
class Sided:
    """A table on both sides: what the files say of a row, and what it is after the merge.

    `at` is the row's number in the files.
    """

    key: tuple[str, ...]
    columns: tuple[str, ...]
    pairs: list[tuple[Cells | None, Cells | None]] = field(default_factory=list)
    at: list[int | None] = field(default_factory=list)


@dataclass
class Gathered:
    """A shop's given rows, whence each came, and what merging them did.

    `origins` tells, for each row of a table as it is shown, the row of the old workbook; `renamed`
    all new names, told or not. `before` holds the workbook's rows of the last compile, by today's
    names; `cuts` those that a command or a mark keeps now, or the year before left waiting, and
    `withdrawn` names those that a command takes back.
    """

    definitions: Definitions
    state: MergeMemory
    files: Stated
    old: OldBook | None = None
    changes: Changes = field(default_factory=Changes)
    renamed: list[Renamed] = field(default_factory=list)
    origins: dict[str, list[int | None]] = field(default_factory=dict)
    formulas: dict[str, dict[tuple[int, str], str]] = field(default_factory=dict)
    notices: list[str] = field(default_factory=list)
    look: list[str] = field(default_factory=list)
    sides_by_side: dict[str, Sided] = field(default_factory=dict)
    before: dict[str, list[dict[str, Value]]] = field(default_factory=dict)
    cuts: list[KeptCut] = field(default_factory=list)
    withdrawn: set[str] = field(default_factory=set)

    @property
    def plans(self) -> str:
        """The plans that the workbook kept, packed."""
        return "" if self.old is None else self.old.plans


def grids(book: Book, spelling: Spelling) -> dict[str, MergedTable]:
    """The tables that are merged row by row, and Settings as a table of one row.

    Their headers are spelled as the shop's workbook spells them.
    """
    found = {}
    for name in PLANNED_TABLES:
        table = book.tables[name]
        given = tuple(each.name for each in table.columns if each.role is Role.GIVEN)
        assert table.row is not None
        headers = {each.name: spell(each.header.split(" (")[0], spelling) for each in table.columns}
        found[name] = MergedTable(name, given, table.row.key, _defaults(table.row), headers)
    cells = book.lines[SETTINGS].cells.values()
    given = tuple(each.name for each in cells if each.role is Role.GIVEN)
    headers = {name: spell(each.header.split(" (")[0], spelling) for name, each in GIVEN.items()}
    return found | {SETTINGS: MergedTable(SETTINGS, given, (), _defaults(ShopSettings), headers)}


def _defaults(model: type[BaseModel]) -> dict[str, Value]:
    """By column: what a blank cell stands for."""
    return {
        column: cell(info.default)
        for column, info in model.model_fields.items()
        if not info.is_required() and info.default is not None
    }


MODELS: Mapping[str, type[Row]] = {
    table.name: table.row for table in row_tables() if table.row is not None
}


def cells_of(stated: Stated) -> dict[str, list[dict[str, Value]]]:
    """Return what the files say, as cells."""
    tables = {name: [row.cells(MODELS[name]) for row in stated.rows[name]] for name in TABLES}
    return tables | {SETTINGS: [{name: cell(value) for name, value in stated.shop}]}
