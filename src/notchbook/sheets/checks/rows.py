"""Rows that need a hand: without a number, of another year, naming what is not there."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.checks.lines import added, key_of, none_of, numbers, states
from notchbook.sheets.kit.declare import LineRow
from notchbook.sheets.kit.settings import YEAR_END, setting

_DATED = x.where("date", ">=", 1)
_LEDGERS: tuple[tuple[str, str, str, tuple[str, ...]], ...] = (
    # the ledger, the number that every row holds, a worked-out number, states that need a hand
    (
        "Sales ledger",
        "quantity",
        "month",
        (
            *("no number", "other year", "no project", "no tier", "wrong sign", "twice"),
            *("before sale", "not so sold"),
        ),
    ),
    (
        "Purchases",
        "amount",
        "pack_price",
        ("no number", "other year", "no category", "no stock", "no tool"),
    ),
    ("Production log", "made", "month", ("no number", "other year", "no project", "too many")),
    ("Mileage", "miles", "rate", ("no number", "other year", "no rate")),
    (
        "Counts",
        "quantity",
        "worth",
        ("no number", "no stock", "no project", "stock or project", "other stage"),
    ),
)


def _ledger_checks(table: str, number: str, worked: str, wanting: tuple[str, ...]) -> list[LineRow]:
    key = key_of(table)
    return [
        none_of(
            f"{key}_rows",
            f"{table}: rows that need a correction",
            states(table, *wanting),
            f"{table}: filter state for {', '.join(wanting)}",
        ),
        none_of(
            f"{key}_numbers",
            f"{table}: rows without a number for {number}",
            x.count(table, "date", _DATED) - numbers(table, number, _DATED),
            f"{table}: {number}",
        ),
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
            f"{table}: totals count them already; compile again",
        ),
    ]


_NAMED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Seen prices", ("no project",)),
    ("Cut list", ("no project",)),
    ("Consumables", ("no project", "no stock", "no tool", "no part")),
    ("Work steps", ("no project",)),
    ("Pricing tiers", ("no project", "no tier", "no margin left")),
    ("Statements", ("no number", "no channel")),
    (
        "Tool depreciation",
        ("no life", "no class", "no rate", "no such method", "convention", "too much"),
    ),
    ("Marks", ("no part", "does not fit", "too deep", "compile again")),
)

_FIGURES = (
    ("share", "meals"),
    ("section 179", "limit"),
    ("section 179", "phase-out from"),
    ("self-employment", "wage base"),
    ("self-employment", "share of profit that counts"),
    ("mileage", "standard rate"),
    ("safe harbour", "an item"),
    ("additional medicare", "from"),
    ("home", "rate a square foot"),
)


def _unknown(table: str, key: str) -> x.Expression:
    """1 where Tax tables hold no figure of the year."""
    found = x.count(
        "Tax tables",
        "value",
        x.where("table", "=", table),
        x.where("key", "=", key),
        x.where("first", "<=", YEAR_END),
        x.where("last", ">=", YEAR_END),
    )
    return when(found.equals(0), 1, 0)


ROWS = (
    *(row for ledger in _LEDGERS for row in _ledger_checks(*ledger)),
    *(
        none_of(
            f"{key_of(table)}_rows",
            f"{table}: rows that need a correction",
            states(table, *wanting),
            f"{table}: state",
        )
        for table, wanting in _NAMED
    ),
    none_of(
        "main_tier",
        "main tier that is not among the tiers",
        when(x.missing("Tiers", tier=setting.main_tier), 1, 0),
        "Settings: main tier",
    ),
    none_of(
        "on_hand",
        "stocks with less than nothing on hand",
        x.count("Stock", "on_hand", x.where("on_hand", "<", 0)),
        "Stock: on hand",
    ),
    none_of(
        "year_figures",
        "published figures that are not known for the year",
        when(setting.tax.equals("us"), added([_unknown(*each) for each in _FIGURES]), 0),
        "Tax tables: meals, section 179, self-employment, mileage, safe harbour, home, medicare",
    ),
    none_of(
        "table_columns",
        "depreciation percentages that do not make 100",
        x.count("Tax tables", "column_gap", x.where("column_gap", ">", 0))
        + x.count("Tax tables", "column_gap", x.where("column_gap", "<", 0)),
        "Tax tables: column less the whole",
    ),
    none_of(
        "categories",
        "categories without a line of the form",
        when(
            setting.tax.equals("us"),
            x.count(
                "Months and channels",
                "line",
                x.where("kind", "=", "category"),
                x.where("line", "=", "no line"),
                x.where("category", "<>", "tools"),
                x.where("category", "<>", "personal"),
            ),
            0,
        ),
        "Months and channels: line",
    ),
)
