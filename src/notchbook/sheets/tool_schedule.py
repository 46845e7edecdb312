"""What a tool is written off by in one year, by the methods of the tax form and of plain books.

Every rule here is a column of Tool depreciation. Months count from the month a tool is ready for
work; the month it is sold in counts only when that is its last day (common practice).
"""

from __future__ import annotations

from notchbook.language.expressions import (
    Above,
    Expression,
    Unit,
    blank,
    call,
    join,
    rounded,
    sum_of,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.settings import setting, to_money
from notchbook.sheets.tax_tables import constant
from notchbook.sheets.tool_basis import (
    BY_LIFE,
    CONVENTION_OF_YEAR,
    IN_CLASS,
    LIFE_MONTHS,
    METHOD,
    SHARE,
    SOLD_AT_ONCE,
    THIS_YEAR,
    WRITTEN,
    YEAR,
    quarter,
    salvage,
)

# --- conventions and months --------------------------------------------------------------------

_BY_HAND = when(blank(this("convention")), "months", this("convention"))
_IN_CLASS_CONVENTION = when(
    call("OR", blank(this("convention")), this("convention").equals("months")),
    when(THIS_YEAR, CONVENTION_OF_YEAR, "half-year"),
    this("convention"),
)
CONVENTION_BY_CLASS = when(IN_CLASS, _IN_CLASS_CONVENTION, when(BY_LIFE, _BY_HAND, ""))
CONVENTION_BY_LIFE = when(BY_LIFE, _BY_HAND, "")
CONVENTION_KEY = when(
    this("used_convention").equals("mid-quarter"),
    join("mid-quarter ", rounded(quarter(this("in_service")), 0)),
    this("used_convention"),
)
_AFTER_SALE = this("disposed") + 1
FIRST_MONTHS = when(
    this("used_convention").equals("months"),
    Unit("year") + 1 - call("MONTH", this("in_service")),
    constant("convention", this("convention_key")) * Unit("year"),
)
SALE_SHARE = when(
    call("OR", blank(this("disposed")), SOLD_AT_ONCE),
    0,
    1
    - constant(
        "convention",
        when(
            this("used_convention").equals("mid-quarter"),
            join("mid-quarter ", rounded(quarter(this("disposed")), 0)),
            "half-year",
        ),
    ),
)
_HELD_BY_MONTHS = (
    (call("YEAR", _AFTER_SALE) - this("first_year")) * Unit("year")
    + call("MONTH", _AFTER_SALE)
    - call("MONTH", this("in_service"))
)
_HELD_BY_SHARES = when(
    SOLD_AT_ONCE,
    0,
    this("first_months")
    + (this("last_year") - this("first_year") - 1 + this("sale_share")) * Unit("year"),
)
USE_MONTHS = when(
    blank(this("disposed")),
    LIFE_MONTHS,
    call(
        "MIN",
        LIFE_MONTHS,
        when(this("used_convention").equals("months"), _HELD_BY_MONTHS, _HELD_BY_SHARES),
    ),
)
BY_USE = when(
    call(
        "AND",
        METHOD.equals("units of use"),
        call("OR", this("last_year").equals(0), this("last_year") >= YEAR),
    ),
    this("written")
    * this("used")
    / when(this("wear").equals("hours"), this("life_hours"), this("expected_uses")),
    0,
)

# --- one year ----------------------------------------------------------------------------------


def _months_gone(year: Expression) -> Expression:
    """Months of use that have passed at the end of a year."""
    gone = this("first_months") + (year - this("first_year")) * Unit("year")
    return call("MAX", call("MIN", gone, this("use_months")), 0)


_MONTHS = _months_gone(Above()) - _months_gone(Above() - 1)


def _declining(before: Expression, still_open: Expression) -> Expression:
    """Twice the straight line on what is on the books, or straight line once that is more."""
    on_the_books = this("cost") * SHARE - before
    rate = constant("declining balance", "rate")
    by_rate = on_the_books * rate * _MONTHS / LIFE_MONTHS
    straight = still_open * _MONTHS / (LIFE_MONTHS - _months_gone(Above() - 1))
    return call("MIN", call("MAX", by_rate, straight), still_open)


def _in_class() -> Expression:
    """The percentage of the year's table, for a part of the year where the tool is sold in it."""
    percent = total(
        "Tax tables",
        "value",
        where("table", "=", this("tax_class")),
        where("key", "=", this("convention_key")),
        where("year_number", "=", Above() - this("first_year") + 1),
    )
    part = when(
        call("OR", this("last_year").equals(0), Above() < this("last_year")),
        1,
        when(Above().equals(this("last_year")), this("sale_share"), 0),
    )
    return this("basis") * percent * part


def taken_in_year(years_before: tuple[str, ...], with_classes: bool) -> Expression:
    """What is taken in the year above the header, rounded, never more than is still open.

    The last year takes what rounding has left. A lowered business share does not stop the schedule:
    only the cost itself does.
    """
    before = sum_of("taken_before", *years_before)
    still_open = this("written") - before
    by_life = when(
        METHOD.equals("straight line"),
        this("written") * _MONTHS / LIFE_MONTHS,
        when(METHOD.equals("declining balance"), _declining(before, still_open), 0),
    )
    by_year = when(IN_CLASS, _in_class(), by_life) if with_classes else by_life
    expensed = when(METHOD.equals("expensed"), this("written"), 0)
    at_once = this("section_179") + this("bonus") + expensed if with_classes else expensed
    planned = (
        when(Above().equals(this("first_year")), at_once, 0)
        + when(Above().equals(YEAR), this("by_use"), 0)
        + by_year
    )
    most = this("cost") - salvage() - before
    left_by_rounding = (Above() - this("first_year") + 1) * setting("smallest")
    return to_money(
        when(
            call("ABS", still_open - planned) <= left_by_rounding,
            call("MAX", still_open, 0),
            call("MAX", call("MIN", planned, most), 0),
        )
    )


# --- the end -----------------------------------------------------------------------------------


def taken(year_0: str) -> Expression:
    """Taken up to the end of this year; a tool expensed in a past year is gone from the books."""
    past = call("AND", METHOD.equals("expensed"), this("first_year") < YEAR)
    return when(past, WRITTEN, sum_of("taken_before", year_0))


SOLD = call("AND", this("last_year") > 0, this("last_year") <= YEAR)
BOOK_VALUE = when(SOLD, 0, call("MAX", this("cost") * SHARE - this("taken"), 0))
GAIN = when(
    call("AND", this("last_year") > 0, this("last_year").equals(YEAR)),
    this("disposed_for") * SHARE - call("MAX", this("cost") * SHARE - this("taken"), 0),
    0,
)


def later(years: tuple[str, ...]) -> Expression:
    """What is left for the years after those shown."""
    ended = call("OR", METHOD.equals("expensed"), this("last_year") > 0)
    return when(
        ended, 0, to_money(call("MAX", this("written") - sum_of("taken_before", *years), 0))
    )
