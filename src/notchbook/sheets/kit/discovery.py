"""Sheets found in the rooms that hold them: a module declares its own, and where it stands.

A room is a folder below `notchbook.sheets`; each module of it that has a `SHEET`, or a function
`sheet_for` where the country or the year decides what stands there, adds a sheet to the workbook.
No list of them is kept anywhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType

from notchbook.base.problems import nearest
from notchbook.language.kinds import RuleError
from notchbook.sheets.kit.declare import Sheet, Table
from notchbook.sheets.kit.declared_names import see_names

_HOUSE = "notchbook.sheets"
_ROOMS = ("making", "ledgers", "tax", "results")


@dataclass(frozen=True)
class Terms:
    """What decides how some sheets look: the tax form, its year, the years that tools take.

    `filed` tells that the year's return was filed.
    """

    tax: str = "us"
    year: int = 2026
    tool_years: int = 8
    filed: bool = False


@cache
def _modules() -> tuple[ModuleType, ...]:
    rooms = [import_module(f"{_HOUSE}.{room}") for room in _ROOMS]
    return tuple(
        import_module(f"{room.__name__}.{found.name}")
        for room in rooms
        for found in iter_modules(room.__path__)
    )


def sheets_for(terms: Terms, *more: Sheet) -> list[Sheet]:
    """The sheets of all rooms and some more, each behind the one that it names.

    Raises RuleError where one names what is not there.
    """
    see_names({}, more)
    return in_order([*more, *_of_rooms(terms)])


@cache
def _of_rooms(terms: Terms) -> tuple[Sheet, ...]:
    found = {}
    for module in _modules():
        if hasattr(module, "sheet_for"):
            found[module.__name__] = module.sheet_for(terms)
        elif hasattr(module, "SHEET"):
            found[module.__name__] = module.SHEET
    see_names({sheet.name: module for module, sheet in found.items()}, [*found.values()])
    return tuple(found.values())


def in_order(sheets: Sequence[Sheet]) -> list[Sheet]:
    """Sheets behind the ones that they name; of two behind one, the shorter row comes first."""
    behind: dict[str, list[Sheet]] = {}
    for sheet in sheets:
        behind.setdefault(sheet.after, []).append(sheet)

    def rows(name: str) -> list[list[Sheet]]:
        found = [[each, *(one for row in rows(each.name) for one in row)] for each in behind[name]]
        return sorted(found, key=lambda row: (len(row), row[0].name))

    behind |= {sheet.name: behind.get(sheet.name, []) for sheet in sheets}
    result = [sheet for row in rows("") for sheet in row]
    lost = [sheet for sheet in sheets if sheet not in result]
    if lost:
        after = lost[0].after
        known = nearest(after, (sheet.name for sheet in sheets))
        raise RuleError(f"{lost[0].name} stands behind {after!r}, which is no sheet{known}")
    return result


@cache
def row_tables(tax: str = "us") -> tuple[Table, ...]:
    """The tables whose rows a maker states, in the order of their sheets.

    Of countries, the American form has the most to state.
    """
    tables = (table for sheet in sheets_for(Terms(tax)) for table in sheet.tables)
    return tuple(table for table in tables if table.row is not None)
