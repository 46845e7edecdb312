"""What names the rows of tables, and where these names are used: read off the row models."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import BaseModel

from notchbook.definitions.syntax.columns import ROWS
from notchbook.merging.renames import Refers
from notchbook.sheets.kit.columns import Row, given_of
from notchbook.sheets.kit.shop_settings import ShopSettings

Use = tuple[str, str]
"""A table and a column of it."""


def is_ledger(row: type[Row]) -> bool:
    """The workbook owns the rows, once there is one."""
    return any(each.is_ledger for each in row.written)


def _uses(table: str, model: type[BaseModel]) -> Iterator[tuple[Use, Use]]:
    """The columns that use names, and whose."""
    for name, info in model.model_fields.items():
        for target in filter(None, given_of(info).refers.split(" or ")):
            named, _, column = target.partition(".")
            yield (named, column), (table, name)


def _naming() -> Iterator[Refers]:
    in_tables: dict[Use, list[Use]] = {}
    in_ledgers: dict[Use, list[Use]] = {}
    for table, row in ROWS.items():
        for named, use in _uses(table, row):
            (in_ledgers if is_ledger(row) else in_tables).setdefault(named, []).append(use)
    for named, use in _uses("Settings", ShopSettings):
        in_tables.setdefault(named, []).append(use)
    for table, row in ROWS.items():
        named = (table, row.key[-1]) if row.key else (table, "")
        if named in in_tables:
            within = row.key[0] if len(row.key) > 1 else None
            uses, ledgers = tuple(in_tables[named]), tuple(in_ledgers.get(named, ()))
            yield Refers(*named, uses, within, ledgers)


NAMING = tuple(sorted(_naming(), key=lambda each: each.within is not None))
"""Names that stand for themselves come before those within a project."""
