"""Tax tables: rates and shares by date or year, each with its source."""

from __future__ import annotations

from dataclasses import replace

from notchbook.language.expressions import rounded, this, total, when, where
from notchbook.sheets.declare import (
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
from notchbook.sheets.settings import in_year

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
    capacity=2_000,
)
SHEET = Sheet(
    "Tax tables",
    "Published figures that other sheets read. Check them against the source before you file.",
    (TABLE,),
    group="output",
)
