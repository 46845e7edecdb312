"""Tax tables: rates and shares by date or year, each with its source."""

from __future__ import annotations

from dataclasses import replace

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.settings import YEAR_END, in_year


def constant(name: str, key: x.Operand) -> x.Expression:
    """A figure that is the same in every year."""
    return x.total("Tax tables", "value", x.where("table", "=", name), x.where("key", "=", key))


def figure(name: str, key: str) -> x.Expression:
    """A figure of the shop's year; 0 where the tables do not reach."""
    return x.total("Tax tables", "value", *_of_this_year(name, key))


def known(name: str, key: str) -> x.Expression:
    """How many figures of the shop's year the tables hold: 0 where it is not published yet."""
    return x.count("Tax tables", "value", *_of_this_year(name, key))


def _of_this_year(name: str, key: str) -> tuple[x.Where, ...]:
    return (
        x.where("table", "=", name),
        x.where("key", "=", key),
        x.where("first", "<=", YEAR_END),
        x.where("last", ">=", YEAR_END),
    )


FIGURES_OF_A_YEAR = (
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
"""What every year has a figure of."""

_IN_SCHEDULE = (x.where("table", "=", this.table), x.where("key", "=", this.key))

TABLE = table(
    "Tax tables",
    None,
    planned("table", show.WORD, "which table"),
    planned("key", show.NAME, "which row of it"),
    planned("first", show.DATE, "valid from this day", header="from"),
    planned("last", show.DATE, "valid to this day", header="to"),
    planned("year_number", show.YEAR, "the year of a schedule"),
    planned("value", replace(show.FACTOR, format="fine"), "the figure"),
    planned("source", replace(show.TEXT, width=70), "where the figure is published"),
    computed(
        "amount",
        show.MONEY,
        when(
            this.table.equals("mileage"),
            x.rounded(
                this.value
                * x.total(
                    "Mileage",
                    "miles",
                    *in_year(),
                    x.where("date", ">=", this.first),
                    x.where("date", "<=", this.last),
                ),
                2,
            ),
            0,
        ),
        "For mileage: the rate times the miles of its days.",
        header="this year",
    ),
    computed(
        "column_gap",
        replace(show.FACTOR, format="fine"),
        when(
            this.year_number.equals(1)
            & (x.call("OR", *(this.table.equals(f"macrs {years}") for years in (3, 5, 7)))),
            x.rounded(x.total("Tax tables", "value", *_IN_SCHEDULE) - 1, 6),
            0,
        ),
        "The percentages of a class and convention make 100 together.",
        header="column less the whole",
    ),
    capacity=2_000,
    workings=("column_gap",),
)
SHEET = Sheet(
    "Tax tables",
    "Published figures that other sheets read. Check them against the source before you file.",
    (TABLE,),
    after="Marks",
    group="output",
)
