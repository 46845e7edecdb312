"""Rows to look at: without a number, of another year, naming what is not there."""

from __future__ import annotations

from collections.abc import Iterator

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.language.value_kinds import Kind
from notchbook.sheets.checks.lines import key_of, none_of, numbers, states
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import LineRow
from notchbook.sheets.kit.discovery import Terms, row_tables, sheets_for
from notchbook.sheets.kit.faults import Strength
from notchbook.sheets.kit.setting_faults import SETTING_FAULTS

_DATED = x.where("date", ">=", 1)


def _dated_ledgers() -> Iterator[tuple[str, tuple[str, str]]]:
    """Yield the ledgers whose rows have a date, each with a typed number and a worked-out one."""
    for table in row_tables():
        written = table.row.written if table.row is not None else ()
        if "date" in table.by_name and any(each.is_ledger for each in written):
            numbers_of = {
                role: next(
                    each.name
                    for each in table.columns
                    if each.role is role and each.look.kind is Kind.NUMBER
                )
                for role in (Role.GIVEN, Role.COMPUTED)
            }
            yield table.name, (numbers_of[Role.GIVEN], numbers_of[Role.COMPUTED])


_LEDGERS = dict(_dated_ledgers())
_HEADERS = {
    (table.name, each.name): each.header.split(" (")[0]
    for table in row_tables()
    for each in table.columns
}
_REQUIRED = {
    (table.name, each.name) for table in row_tables() for each in table.columns if each.required
}


def _ledger_checks(table: str) -> list[LineRow]:
    if table not in _LEDGERS:
        return []
    key, (number, worked) = key_of(table), _LEDGERS[table]
    without = none_of(
        f"{key}_numbers",
        f"{table}: rows without a number for {_HEADERS[table, number]}",
        x.count(table, "date", _DATED) - numbers(table, number, _DATED),
        f"{table}: {_HEADERS[table, number]}",
    )
    return [
        *([without] if (table, number) in _REQUIRED else []),
        none_of(
            f"{key}_undated",
            f"{table}: rows without a date",
            numbers(table, number) - numbers(table, number, _DATED),
            f"{table}: date; a row without one is in no total",
        ),
        none_of(
            f"{key}_below",
            f"{table}: rows typed below the table",
            x.count(table, "date", _DATED) - numbers(table, worked, _DATED),
            f"{table}: totals count them already, Results does not; compile again",
        ),
    ]


def _words_of_faults(tax: str) -> dict[str, tuple[str, ...]]:
    """By table: the states of a row that needs a correction."""
    found: dict[str, tuple[str, ...]] = {}
    for sheet in sheets_for(Terms(tax)):
        for table in sheet.tables:
            counted = (each for each in table.faults if each.strength is not Strength.NOTICE)
            found[table.name] = tuple({each.words: None for each in counted if not each.listed})
    return {name: words for name, words in found.items() if words}


_OF_PLANS = {"Marks": ("does not fit", "too deep", "compile again")}


def _faulty(table: str, words: tuple[str, ...]) -> LineRow:
    """How many rows have a fault, or a state that only the plan tells."""
    return none_of(
        f"{key_of(table)}_rows",
        f"{table}: rows that need a correction",
        states(table, *words, *_OF_PLANS.get(table, ())),
        f"{table}: state",
    )


_OF_SETTINGS = (
    *(
        none_of(
            each.column, f"Settings: {each.words}", when(each.when, 1, 0), f"Settings: {each.write}"
        )
        for each in SETTING_FAULTS
    ),
    none_of(
        "on_hand",
        "stocks with less than nothing on hand",
        x.count("Stock", "on_hand", x.where("on_hand", "<", 0)),
        "Stock: on hand",
    ),
)


def rows(tax: str) -> tuple[LineRow, ...]:
    """All of them."""
    return (
        *(
            row
            for table, words in _words_of_faults(tax).items()
            for row in (_faulty(table, words), *_ledger_checks(table))
        ),
        *_OF_SETTINGS,
    )
