"""What a tool is written off by in one year, by the methods of the tax form and of plain books.

Every rule here is a column of Tool depreciation. Months count from the month a tool is ready for
work; the month it is sold in counts only when that is its last day (common practice).
"""

from __future__ import annotations

from notchbook.language.expressions import (
    Above,
    Expression,
    Line,
    Unit,
    blank,
    call,
    count,
    join,
    rounded,
    sum_of,
    this,
    total,
    when,
    where,
    whole_up,
)
from notchbook.sheets.settings import setting, to_money
from notchbook.sheets.tax_tables import constant

CONVENTION_OF_YEAR = Line("Year-end", "convention_of_year")
LIMIT_179 = Line("Year-end", "limit_179")
WANTED_179 = Line("Year-end", "wanted_179")

_METHOD = this("tax_method")
_YEAR = setting("year")
_IN_CLASS = this("tax_class").differs("")
_THIS_YEAR = this("first_year").equals(_YEAR)
_SOLD_AT_ONCE = this("last_year").equals(this("first_year"))
_LIFE_MONTHS = this("life_years") * Unit("year")
_BY_LIFE = call("OR", _METHOD.equals("straight line"), _METHOD.equals("declining balance"))

SHARE = when(blank(this("business_share")), 1, this("business_share"))
LAST_YEAR = when(blank(this("disposed")), 0, call("YEAR", this("disposed")))


def quarter(day: Expression) -> Expression:
    """The quarter that a day falls in, 1 to 4."""
    return whole_up(call("MONTH", day) / Unit("quarter"))


def _salvage() -> Expression:
    """What stays on the books: the tax classes write off the whole cost."""
    kept = call("OR", _BY_LIFE, _METHOD.equals("units of use"))
    return when(kept, this("salvage"), 0)


# --- what is written off at all ----------------------------------------------------------------

WRITTEN = (this("cost") - _salvage()) * SHARE
TAX_CLASS = when(
    call("OR", *(_METHOD.equals(f"macrs {years}") for years in (3, 5, 7))),
    _METHOD,
    when(
        call("OR", _METHOD.equals("section 179"), _METHOD.equals("bonus")),
        when(blank(this("life_years")), "macrs 7", join("macrs ", rounded(this("life_years"), 0))),
        "",
    ),
)
QUALIFYING = when(
    call("AND", _IN_CLASS, _THIS_YEAR, call("NOT", _SOLD_AT_ONCE)), this("written"), 0
)
SECTION_179 = when(
    _METHOD.differs("section 179"),
    0,
    when(
        _THIS_YEAR,
        to_money(this("qualifying") * call("MIN", 1, LIMIT_179 / WANTED_179)),
        this("written"),
    ),
)


def _bonus_rows() -> tuple[Expression, Expression]:
    """The rate for when a tool was acquired and put to work, and how many rows tell one."""
    acquired = when(blank(this("acquired")), this("in_service"), this("acquired"))
    mine = (
        where("table", "=", "bonus"),
        where("first", "<=", acquired),
        where("last", ">=", acquired),
        where("year_number", "=", this("first_year")),
    )
    return total("Tax tables", "value", *mine), count("Tax tables", "value", *mine)


_BONUS_RATE, _BONUS_ROWS = _bonus_rows()
BONUS = when(
    call("AND", _METHOD.equals("bonus"), call("NOT", _SOLD_AT_ONCE)),
    to_money(this("written") * _BONUS_RATE),
    0,
)
BASIS = this("written") - this("section_179") - this("bonus")
TESTED = this("qualifying") - when(_THIS_YEAR, this("section_179"), 0)

# --- conventions and months --------------------------------------------------------------------

_BY_HAND = when(blank(this("convention")), "months", this("convention"))
_IN_CLASS_CONVENTION = when(
    call("OR", blank(this("convention")), this("convention").equals("months")),
    when(_THIS_YEAR, CONVENTION_OF_YEAR, "half-year"),
    this("convention"),
)
CONVENTION_BY_CLASS = when(_IN_CLASS, _IN_CLASS_CONVENTION, when(_BY_LIFE, _BY_HAND, ""))
CONVENTION_BY_LIFE = when(_BY_LIFE, _BY_HAND, "")
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
    call("OR", blank(this("disposed")), _SOLD_AT_ONCE),
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
    _SOLD_AT_ONCE,
    0,
    this("first_months")
    + (this("last_year") - this("first_year") - 1 + this("sale_share")) * Unit("year"),
)
USE_MONTHS = when(
    blank(this("disposed")),
    _LIFE_MONTHS,
    call(
        "MIN",
        _LIFE_MONTHS,
        when(this("used_convention").equals("months"), _HELD_BY_MONTHS, _HELD_BY_SHARES),
    ),
)
BY_USE = when(
    call(
        "AND",
        _METHOD.equals("units of use"),
        call("OR", this("last_year").equals(0), this("last_year") >= _YEAR),
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
    by_rate = on_the_books * rate * _MONTHS / _LIFE_MONTHS
    straight = still_open * _MONTHS / (_LIFE_MONTHS - _months_gone(Above() - 1))
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
        _METHOD.equals("straight line"),
        this("written") * _MONTHS / _LIFE_MONTHS,
        when(_METHOD.equals("declining balance"), _declining(before, still_open), 0),
    )
    by_year = when(_IN_CLASS, _in_class(), by_life) if with_classes else by_life
    expensed = when(_METHOD.equals("expensed"), this("written"), 0)
    at_once = this("section_179") + this("bonus") + expensed if with_classes else expensed
    planned = (
        when(Above().equals(this("first_year")), at_once, 0)
        + when(Above().equals(_YEAR), this("by_use"), 0)
        + by_year
    )
    most = this("cost") - _salvage() - before
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
    past = call("AND", _METHOD.equals("expensed"), this("first_year") < _YEAR)
    return when(past, WRITTEN, sum_of("taken_before", year_0))


_SOLD = call("AND", this("last_year") > 0, this("last_year") <= _YEAR)
BOOK_VALUE = when(_SOLD, 0, call("MAX", this("cost") * SHARE - this("taken"), 0))
GAIN = when(
    call("AND", this("last_year") > 0, this("last_year").equals(_YEAR)),
    this("disposed_for") * SHARE - call("MAX", this("cost") * SHARE - this("taken"), 0),
    0,
)


def later(years: tuple[str, ...]) -> Expression:
    """What is left for the years after those shown."""
    ended = call("OR", _METHOD.equals("expensed"), this("last_year") > 0)
    return when(
        ended, 0, to_money(call("MAX", this("written") - sum_of("taken_before", *years), 0))
    )


def state(with_classes: bool) -> Expression:
    """What is missing or wrong in a tool's row, the gravest first."""
    no_life = call("AND", _BY_LIFE, blank(this("life_years")))
    no_uses = call(
        "AND",
        _METHOD.equals("units of use"),
        when(
            this("wear").equals("hours"), this("life_hours") + 0, this("expected_uses") + 0
        ).equals(0),
    )
    rest = when(
        call("OR", no_life, no_uses),
        "no life",
        when(
            this("taken_before") > this("cost"),
            "too much",
            when(
                call("AND", this("first_year") < _YEAR, this("taken_before").equals(0)),
                when(call("OR", _METHOD.equals("expensed"), _SOLD), "", "nothing before"),
                "",
            ),
        ),
    )
    if not with_classes:
        foreign = call(
            "OR",
            *(_METHOD.equals(f"macrs {years}") for years in (3, 5, 7)),
            _METHOD.equals("section 179"),
            _METHOD.equals("bonus"),
        )
        return when(foreign, "no such method", rest)
    no_class = count("Tax tables", "value", where("table", "=", this("tax_class"))).equals(0)
    no_rate = call("AND", _METHOD.equals("bonus"), _BONUS_ROWS.equals(0))
    above = call(
        "AND",
        _METHOD.equals("expensed"),
        _THIS_YEAR,
        this("cost")
        > total(
            "Tax tables",
            "value",
            where("table", "=", "safe harbour"),
            where("first", "<=", this("in_service")),
            where("last", ">=", this("in_service")),
        ),
    )
    against = call(
        "AND",
        this("qualifying") > 0,
        this("used_convention").differs(CONVENTION_OF_YEAR),
    )
    unsaid = call("AND", _IN_CLASS, this("first_year") < _YEAR, blank(this("convention")))
    return when(
        call("AND", _IN_CLASS, no_class),
        "no class",
        when(
            no_rate,
            "no rate",
            when(
                above,
                "above harbour",
                when(against, "convention", when(unsaid, "no convention", rest)),
            ),
        ),
    )
