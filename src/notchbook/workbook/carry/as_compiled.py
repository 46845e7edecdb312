"""What a new workbook takes over from the old one beside the given cells."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field
from datetime import datetime
from math import isnan
from typing import Any

from notchbook.language.functions import to_serial
from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.kit.declare import Role
from notchbook.workbook.carry.copying import frozen_at
from notchbook.workbook.carry.own_names import names_of_lists
from notchbook.workbook.carry.paint import Shapes
from notchbook.workbook.file.heights import heights_of
from notchbook.workbook.layout.layout import BookLayout
from notchbook.workbook.read.old_book import OldBook

_PLACE = re.compile(r"[A-Z]{1,3}(?:[0-9]+|\0)")

Formulas = Mapping[str, Mapping[tuple[int, str], str]]
"""By table, row and column: what the maker typed as a formula into a given cell."""


Areas = list[list[int]]


@dataclass
class Keep:
    """The memory for the next compile, the old workbook, and where each row stood in it."""

    stored: dict[str, Any]
    old: OldBook | None = None
    origins: Mapping[str, Sequence[int | None]] = field(default_factory=dict)
    formulas: Formulas = field(default_factory=dict)
    new_names: Mapping[str, str] = field(default_factory=dict)  # of shop sheets, by the old ones
    plans: str = ""  # packed
    notices: list[str] = field(default_factory=list)
    look: list[str] = field(default_factory=list)


def remember(
    keep: Keep, layout: BookLayout, filled: Filled, workbook: Any, words: Set[str]
) -> None:
    """Notes for the next compile what our sheets hold before anything is carried to them."""
    keep.stored["planned"], keep.stored["by_row"] = planned_rows(layout, filled), True
    keep.stored["sheets"] = [name for name, _ in layout.sheets]
    keep.stored["areas"] = split_areas(layout)
    keep.stored["rules"] = fingerprints(layout)
    keep.stored["printed"] = sorted(
        {
            fingerprint(structure(text))
            for spot in layout.split
            for column in spot.columns
            if (text := layout.column_formula(spot, column)) is not None
        }
    )
    keep.stored["words"] = sorted(words)
    keep.stored["lists"] = names_of_lists(workbook)
    keep.stored["formats"] = formats_of(layout, workbook)
    keep.stored["heights"] = heights_of(workbook)
    keep.stored["frozen"] = {
        sheet.title: place for sheet in workbook.worksheets if (place := frozen_at(sheet))
    }


def planned_rows(layout: BookLayout, filled: Filled) -> dict[str, dict[str, list[str]]]:
    """By table and planned column, the value of each row."""
    return {
        spot.table.name: {
            column.name: [
                planned_word(each) for each in filled.tables[spot.table.name][column.name]
            ]
            for column in spot.columns
            if column.role is Role.PLANNED
        }
        for spot in layout.tables.values()
    }


def formats_of(layout: BookLayout, workbook: Any) -> dict[str, dict[str, list[str]]]:
    """By table and given column: number format, alignment and edges of a cell as we write it."""
    shapes = Shapes()
    return {
        spot.table.name: {
            column.name: shapes.of(workbook[spot.sheet].cell(row=spot.last_row, column=place))
            for place, column in zip(spot.places, spot.columns, strict=True)
            if column.role is Role.GIVEN
        }
        for spot in layout.tables.values()
    }


def split_areas(layout: BookLayout) -> dict[str, Areas]:
    """By sheet, the corners (top, left, bottom, right) of tables that have no anchors."""
    areas: dict[str, Areas] = {}
    for spot in layout.split:
        corners = [spot.head_row, 1, spot.last_row, max(spot.places)]
        areas.setdefault(spot.sheet, []).append(corners)
    return areas


def planned_word(value: object) -> str:
    """A planned value as it is known again, whichever program saved it."""
    if isinstance(value, datetime):
        value = to_serial(value.date())
    if value is None or value == "" or (isinstance(value, float) and isnan(value)):
        return ""
    return f"{value:.9g}" if isinstance(value, int | float) else str(value).strip()


def structure(formula: str) -> str:
    """A formula without its places and the blanks that programs put in."""
    return _PLACE.sub("@", formula.lstrip("=").replace(" ", "").replace("$", ""))


def fingerprints(layout: BookLayout) -> dict[str, dict[str, str]]:
    """By table or sheet of lines, and by column or line: a short word for its rule.

    It is the same wherever the rule is printed.
    """
    rules = {
        spot.table.name: {
            column.name: fingerprint(structure(text))
            for column in spot.columns
            if (text := layout.column_formula(spot, column)) is not None
        }
        for spot in layout.tables.values()
    }
    for spot in layout.lines.values():
        rules[spot.lines.name] = {
            cell.name: fingerprint(structure(text))
            for cell in spot.lines.cells.values()
            if (text := layout.line_formula(cell)) is not None
        }
    return rules


def fingerprint(printed: str) -> str:
    """A short word for a formula's structure."""
    return hashlib.sha256(printed.encode()).hexdigest()[:8]
