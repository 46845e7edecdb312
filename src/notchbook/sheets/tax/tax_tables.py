"""Tax tables: rates and shares by date or year, each with its source."""

from __future__ import annotations

from dataclasses import replace

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Sheet, Table, table
from notchbook.sheets.kit.discovery import Terms
from notchbook.sheets.kit.settings import YEAR_END, in_year, setting
from notchbook.tax.forms import figures


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


_FINE = replace(show.FACTOR, format="fine")
FIGURES_OF_A_YEAR = (
    ("share", "meals"),
    ("section 179", "limit"),
    ("section 179", "phase-out from"),
    ("self-employment", "wage base"),
    ("self-employment", "share of profit that counts"),
    ("mileage", "standard rate"),
    ("safe harbor", "an item"),
    ("additional medicare", "from"),
    ("home", "rate a square foot"),
)
"""What every year has a figure of."""

_IN_SCHEDULE = (x.where("table", "=", this.table), x.where("key", "=", this.key))

_AS_PUBLISHED = (
    this.value.equals(this.published_value)
    & this.first.equals(this.published_first)
    & this.last.equals(this.published_last)
    & this.year_number.equals(this.published_year)
)
NOT_CHECKED = "not checked"
_OF_THIS_YEAR = x.call(
    "OR",
    x.blank(this.first),
    this.year_number.equals(setting.year),
    x.call(
        "AND", x.blank(this.year_number), this.first <= YEAR_END, this.last >= setting.year_start
    ),
)
_COMMON = (
    planned("table", show.WORD, "which table"),
    planned("key", show.NAME, "which row of it"),
    planned("first", show.DATE, "valid from this day", header="from"),
    planned("last", show.DATE, "valid to this day", header="to"),
    planned("year_number", show.YEAR, "the year of a schedule"),
    planned("value", _FINE, "the figure"),
    planned("source", replace(show.TEXT, width=60), "where the figure is published"),
    planned(
        "checked",
        show.LABEL,
        "yes: it was read in the document that its source names, or follows from its words",
    ),
    computed(
        "state",
        show.LABEL,
        x.cases(
            (x.call("NOT", _AS_PUBLISHED), "typed over"),
            (this.checked.equals(NOT_CHECKED) & _OF_THIS_YEAR, NOT_CHECKED),
            otherwise="",
        ),
        "Typed over: another figure, day or year than at compile, which puts it back. Not checked:"
        " it serves this year, and was not read in the document that its source names.",
    ),
)
_OF_THE_FORM = (
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
        _FINE,
        when(
            this.year_number.equals(1)
            & (x.call("OR", *(this.table.equals(f"macrs {years}") for years in (3, 5, 7)))),
            x.rounded(x.total("Tax tables", "value", *_IN_SCHEDULE) - 1, 6),
            0,
        ),
        "The percentages of a class and convention make 100 together.",
        header="missing to 100 percent",
    ),
)
_PUBLISHED = tuple(
    planned(f"published_{name}", looks, "as it was at compile", header=f"{name} at compile")
    for name, looks in (
        ("value", _FINE),
        ("first", show.DATE),
        ("last", show.DATE),
        ("year", show.YEAR),
    )
)


def figure_rows(tax: str) -> list[dict[str, object]]:
    """The rows of the sheet: every figure of a country, and beside it what it was at compile."""
    return [
        vars(each)
        | {"checked": "yes" if each.checked else NOT_CHECKED}
        | {
            "published_value": each.value,
            "published_first": each.first,
            "published_last": each.last,
            "published_year": each.year_number,
        }
        for each in figures(tax)
    ]


def _table(tax: str) -> Table:
    of_form = _OF_THE_FORM if tax == "us" else ()
    return table(
        "Tax tables",
        None,
        *_COMMON,
        *of_form,
        *_PUBLISHED,
        capacity=2_000,
        workings=(
            *(("column_gap",) if of_form else ()),
            *(each.name for each in _PUBLISHED),
        ),
    )


def sheet_for(terms: Terms) -> Sheet:
    """The sheet of a country."""
    told = (
        "Published figures that other sheets read. Compare those that you use with their source"
        " before you file, first those not checked."
        if terms.tax == "us"
        else "Figures that other sheets read, each with its source."
    )
    return Sheet("Tax tables", told, (_table(terms.tax),), after="Marks", group="output")
