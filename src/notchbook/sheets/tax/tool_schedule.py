"""What a tool is written off by in one year, by the methods of the tax form and of plain books.

Every rule here is a column of Tool depreciation. Months count from the month a tool is ready for
work; the month it is sold in counts only when that is its last day (common practice).
"""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit.settings import setting, to_money
from notchbook.sheets.tax.tax_tables import constant
from notchbook.sheets.tax.tool_basis import (
    BY_LIFE,
    CONVENTION_OF_YEAR,
    IN_CLASS,
    LIFE_MONTHS,
    METHOD,
    ROAD_VEHICLE,
    SHARE,
    SOLD,
    SOLD_AT_ONCE,
    THIS_YEAR,
    YEAR,
    quarter,
)

# --- conventions and months --------------------------------------------------------------------

_BY_HAND = this.convention.or_else("months")
_IN_CLASS_CONVENTION = when(
    x.blank(this.convention) | this.convention.equals("months"),
    when(THIS_YEAR, CONVENTION_OF_YEAR, "half-year"),
    this.convention,
)
CONVENTION_BY_CLASS = when(IN_CLASS, _IN_CLASS_CONVENTION, when(BY_LIFE, _BY_HAND, ""))
CONVENTION_BY_LIFE = when(BY_LIFE, _BY_HAND, "")
_AFTER_SALE = this.disposed + 1
FIRST_MONTHS = when(
    this.used_convention.equals("months"),
    x.Unit("year") + 1 - x.call("MONTH", this.in_service),
    constant("convention", this.convention_key) * x.Unit("year"),
)


def _quarterly(day: x.Expression) -> x.Expression:
    """The row of the table for a convention, where the form counts by quarters, too."""
    return when(
        this.used_convention.equals("mid-quarter"),
        x.join("mid-quarter ", x.rounded(quarter(day), 0)),
        this.used_convention,
    )


def convention_key(with_classes: bool) -> x.Expression:
    """The row of Tax tables that says how much of its first year counts."""
    return _quarterly(this.in_service) if with_classes else x.join(this.used_convention)


def sale_share(with_classes: bool) -> x.Expression:
    """How much of the year counts in which it is sold; half of it where months do not."""
    key = when(
        this.used_convention.equals("mid-quarter"),
        x.join("mid-quarter ", x.rounded(quarter(this.disposed), 0)),
        "half-year",
    )
    share = constant("convention", key if with_classes else "half-year")
    return when(x.blank(this.disposed) | SOLD_AT_ONCE, 0, 1 - share)


_HELD_BY_MONTHS = (
    (x.call("YEAR", _AFTER_SALE) - this.first_year) * x.Unit("year")
    + x.call("MONTH", _AFTER_SALE)
    - x.call("MONTH", this.in_service)
)
_HELD_BY_SHARES = when(
    SOLD_AT_ONCE,
    0,
    this.first_months + (this.last_year - this.first_year - 1 + this.sale_share) * x.Unit("year"),
)
USE_MONTHS = when(
    x.blank(this.disposed),
    LIFE_MONTHS,
    x.call(
        "MIN",
        LIFE_MONTHS,
        when(this.used_convention.equals("months"), _HELD_BY_MONTHS, _HELD_BY_SHARES),
    ),
)
BY_USE = when(
    METHOD.equals("units of use") & (this.last_year.equals(0) | (this.last_year >= YEAR)),
    this.written * this.used / when(this.wear.equals("hours"), this.life_hours, this.expected_uses),
    0,
)

# --- one year ----------------------------------------------------------------------------------


def months_gone(year: x.Expression) -> x.Expression:
    """Months of use that have passed at the end of a year."""
    gone = this.first_months + (year - this.first_year) * x.Unit("year")
    return x.call("MAX", x.call("MIN", gone, this.use_months), 0)


def _declining(before: x.Expression, months: x.Expression, gone: x.Expression) -> x.Expression:
    """Twice the straight line on what is on the books, or straight line once that is more."""
    still_open = this.written - before
    rate = constant("declining balance", "rate")
    by_rate = (this.business_cost - before) * rate * months / LIFE_MONTHS
    straight = still_open * months / (LIFE_MONTHS - gone)
    return x.call("MIN", x.call("MAX", by_rate, straight), still_open)


def _in_class() -> x.Expression:
    """The percentage of the year's table, for a part of the year where the tool is sold in it."""
    percent = x.total(
        "Tax tables",
        "value",
        x.where("table", "=", this.tax_class),
        x.where("key", "=", this.convention_key),
        x.where("year_number", "=", x.Above() - this.first_year + 1),
    )
    part = when(
        this.last_year.equals(0) | (x.Above() < this.last_year),
        1,
        when(x.Above().equals(this.last_year), this.sale_share, 0),
    )
    return this.basis * percent * part


def by_rule(n: int, with_classes: bool) -> x.Expression:
    """What the method gives for the year above the header, the n-th shown, before rounding."""
    gone = this(f"gone_{n - 1}" if n else "gone_before")
    months = this(f"gone_{n}") - gone
    by_life = when(
        METHOD.equals("straight line"),
        this.written * months / LIFE_MONTHS,
        when(METHOD.equals("declining balance"), _declining(taken_until(n), months, gone), 0),
    )
    by_year = when(IN_CLASS, _in_class(), by_life) if with_classes else by_life
    at_once = when(x.Above().equals(this.first_year), this.at_once, 0) + by_year
    return at_once + this.by_use if n == 0 else at_once


def taken_until(n: int) -> x.Expression:
    """What was taken before the n-th year shown."""
    return x.sum_of("taken_before", *(f"year_{earlier}" for earlier in range(n)))


def taken_in_year(n: int) -> x.Expression:
    """What is taken in the n-th year shown, rounded, never more than is still open.

    The last year takes what rounding has left. A lowered business share does not stop the schedule:
    only the cost itself does.
    """
    still_open = this.written - taken_until(n)
    left_by_rounding = (x.Above() - this.first_year + 1) * setting.smallest
    most = this.most - taken_until(n)
    return to_money(
        when(
            x.call("ABS", still_open - this(f"rule_{n}")) <= left_by_rounding,
            x.call("MAX", still_open, 0),
            x.call("MAX", x.call("MIN", this(f"rule_{n}"), most), 0),
        )
    )


# --- the end -----------------------------------------------------------------------------------


def taken(year_0: str) -> x.Expression:
    """Taken up to the end of this year; a tool expensed in a past year is gone from the books."""
    past = METHOD.equals("expensed") & (this.first_year < YEAR)
    return when(past, this.written + 0, x.sum_of("taken_before", year_0))


BOOK_VALUE = when(SOLD, 0, x.call("MAX", this.business_cost - this.taken, 0))
GAIN = when(
    (this.last_year > 0) & this.last_year.equals(YEAR),
    this.disposed_for * SHARE - x.call("MAX", this.business_cost - this.taken, 0),
    0,
)
GAIN_BY_FORM = when(ROAD_VEHICLE, 0, GAIN)


def later(years: tuple[str, ...]) -> x.Expression:
    """What is left for the years after those shown."""
    ended = METHOD.equals("expensed") | (this.last_year > 0)
    return when(
        ended, 0, to_money(x.call("MAX", this.written - x.sum_of("taken_before", *years), 0))
    )
