"""Names that a sheet's declaration writes as text: of its columns, of other tables, of its group.

Rules are checked by their kinds (`notchbook.sheets.check`); what stands here would otherwise be a
KeyError far from the module that holds the slip.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from notchbook.base.problems import nearest
from notchbook.language.kinds import RuleError
from notchbook.sheets.kit.columns import Given, given_of
from notchbook.sheets.kit.declare import GROUPS, Sheet, Table


def see_names(modules: Mapping[str, str], sheets: Sequence[Sheet]) -> None:
    """See that every name in the declarations is there; `modules` tells where a sheet stands.

    Raises RuleError that lists all slips: the module, the column, the word, the nearest known one.
    """
    tables = {table.name: table for sheet in sheets for table in sheet.tables}
    told = [
        f"{modules.get(sheet.name, sheet.name)}: {slip}"
        for sheet in sheets
        for slip in _slips(sheet, tables)
    ]
    if told:
        raise RuleError("\n".join(told))


def _slips(sheet: Sheet, tables: Mapping[str, Table]) -> Iterator[str]:
    if sheet.group not in GROUPS:
        yield _says(f"group of {sheet.name}", sheet.group, "group", GROUPS)
    if sheet.prints and sheet.prints not in (own := [table.name for table in sheet.tables]):
        yield _says(f"prints of {sheet.name}", sheet.prints, "table of the sheet", own)
    for table in sheet.tables:
        yield from _of_shape(table)
        if table.row is not None:
            yield from _of_row(table, tables)


def _of_shape(table: Table) -> Iterator[str]:
    """Columns that the table names in what it says of itself, and those that its faults name."""
    single = {"silent": table.silent, "split": table.split, "prints_to": table.prints_to}
    said = [(key, name) for key, name in single.items() if name is not None]
    for key in ("leads", "details", "workings"):
        said += [(key, name) for name in getattr(table, key)]
    said += [(f"fault {fault.words!r}", fault.column) for fault in table.faults]
    for key, name in said:
        if name not in table.by_name:
            yield _says(f"{key} of {table.name}", name, "column of it", table.by_name)


def _of_row(table: Table, tables: Mapping[str, Table]) -> Iterator[str]:
    """Columns of its key, and names of other tables that given columns refer to or list."""
    assert table.row is not None
    fields = table.row.model_fields
    for name in table.row.key:
        if name not in fields:
            yield _says(f"key of {table.name}", name, "column that is typed", fields)
    for name, info in fields.items():
        given, place = given_of(info), f"{table.name}.{name}"
        if given.within and given.within not in fields:
            yield _says(f"within of {place}", given.within, "column that is typed", fields)
        for key, target in _targets(given):
            yield from _of_target(f"{key} of {place}", target, tables)


def _targets(given: Given) -> Iterator[tuple[str, str]]:
    yield from (("refers", each) for each in given.refers.split(" or ") if each)
    if isinstance(given.choices, str) and given.choices:
        yield "choices", given.choices


def _of_target(place: str, target: str, tables: Mapping[str, Table]) -> Iterator[str]:
    table, _, column = target.partition(".")
    if table not in tables:
        yield _says(place, table, "table", tables)
    elif column not in tables[table].by_name:
        yield _says(place, column, f"column of {table}", tables[table].by_name)


def _says(place: str, word: str, what: str, known: Collection[str]) -> str:
    return f"{place}: {word!r} is no {what}{nearest(word, known)}"
