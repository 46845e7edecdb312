"""Tax tables: rates and shares by date or year, each with its source."""

from __future__ import annotations

from dataclasses import replace

from notchbook.language.expressions import (
    Expression,
    Operand,
    call,
    rounded,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    DATE,
    FACTOR,
    MONEY,
    NAME,
    TEXT,
    WORD,
    YEAR,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.settings import YEAR_END, in_year


def constant(name: str, key: Operand) -> Expression:
    """A figure that is the same in every year."""
    return total("Tax tables", "value", where("table", "=", name), where("key", "=", key))


def figure(name: str, key: str) -> Expression:
    """A figure of the shop's year; 0 where the tables do not reach."""
    return total(
        "Tax tables",
        "value",
        where("table", "=", name),
        where("key", "=", key),
        where("first", "<=", YEAR_END),
        where("last", ">=", YEAR_END),
    )


_IN_SCHEDULE = (where("table", "=", this("table")), where("key", "=", this("key")))

TABLE = table(
    "Tax tables",
    None,
    planned("table", "table", WORD, "which table"),
    planned("key", "key", NAME, "which row of it"),
    planned("first", "from", DATE, "valid from this day"),
    planned("last", "to", DATE, "valid to this day"),
    planned("year_number", "year number", YEAR, "the year of a schedule"),
    planned("value", "value", replace(FACTOR, format="fine"), "the figure"),
    planned("source", "source", replace(TEXT, width=70), "where the figure is published"),
    computed(
        "amount",
        "this year",
        MONEY,
        when(
            this("table").equals("mileage"),
            rounded(
                this("value")
                * total(
                    "Mileage",
                    "miles",
                    *in_year(),
                    where("date", ">=", this("first")),
                    where("date", "<=", this("last")),
                ),
                2,
            ),
            0,
        ),
        "For mileage: the rate times the miles of its days.",
    ),
    computed(
        "column_gap",
        "column less the whole",
        replace(FACTOR, format="fine"),
        when(
            call(
                "AND",
                this("year_number").equals(1),
                call("OR", *(this("table").equals(f"macrs {years}") for years in (3, 5, 7))),
            ),
            rounded(total("Tax tables", "value", *_IN_SCHEDULE) - 1, 6),
            0,
        ),
        "The percentages of a class and convention make 100 together.",
    ),
    capacity=2_000,
)
SHEET = Sheet(
    "Tax tables",
    "Published figures that other sheets read. Check them against the source before you file.",
    (TABLE,),
    group="output",
)
