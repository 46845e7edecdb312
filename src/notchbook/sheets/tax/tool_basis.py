"""What of a tool is written off: by its class, under section 179, as bonus, by its share."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    Line,
    Unit,
    blank,
    call,
    count,
    join,
    rounded,
    this,
    total,
    when,
    where,
    whole_up,
)
from notchbook.sheets.kit.settings import setting, to_money
from notchbook.sheets.tax.tax_tables import constant

CONVENTION_OF_YEAR = Line("Year-end", "convention_of_year")
LIMIT_179 = Line("Year-end", "limit_179")
WANTED_179 = Line("Year-end", "wanted_179")

METHOD = this("tax_method")
YEAR = setting("year")
IN_CLASS = this("tax_class").differs("")
THIS_YEAR = this("first_year").equals(YEAR)
SOLD_AT_ONCE = this("last_year").equals(this("first_year"))
LIFE_MONTHS = this("life_years") * Unit("year")
BY_LIFE = call("OR", METHOD.equals("straight line"), METHOD.equals("declining balance"))

SHARE = when(blank(this("business_share")), 1, this("business_share"))
LAST_YEAR = when(blank(this("disposed")), 0, call("YEAR", this("disposed")))


def quarter(day: Expression) -> Expression:
    """The quarter that a day falls in, 1 to 4."""
    return whole_up(call("MONTH", day) / Unit("quarter"))


def _salvage() -> Expression:
    """What stays on the books: the tax classes write off the whole cost."""
    kept = call("OR", BY_LIFE, METHOD.equals("units of use"))
    return when(kept, this("salvage"), 0)


BUSINESS_COST = this("cost") * SHARE
MOST = this("cost") - _salvage()
WRITTEN = this("most") * SHARE
_BY_CLASS = call("OR", *(METHOD.equals(f"macrs {years}") for years in (3, 5, 7)))
OF_THE_FORM = call("OR", _BY_CLASS, METHOD.equals("section 179"), METHOD.equals("bonus"))
SOLD = call("AND", this("last_year") > 0, this("last_year") <= YEAR)
TAX_CLASS = when(
    _BY_CLASS,
    METHOD,
    when(
        call("OR", METHOD.equals("section 179"), METHOD.equals("bonus")),
        when(blank(this("life_years")), "macrs 7", join("macrs ", rounded(this("life_years"), 0))),
        "",
    ),
)
QUALIFYING = when(call("AND", IN_CLASS, THIS_YEAR, call("NOT", SOLD_AT_ONCE)), this("written"), 0)
WANTED = when(
    call("OR", METHOD.differs("section 179"), call("AND", THIS_YEAR, SOLD_AT_ONCE)),
    0,
    when(
        blank(this("elected_179")),
        this("written"),
        call("MIN", this("elected_179"), this("written")),
    ),
)
SECTION_179 = when(
    THIS_YEAR,
    to_money(this("wanted_179") * call("MIN", 1, LIMIT_179 / WANTED_179)),
    this("wanted_179") + 0,
)
HALF_OR_LESS = constant("business use", "more than") >= SHARE


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


_BONUS_RATE, BONUS_ROWS = _bonus_rows()
BONUS = when(
    call("AND", METHOD.equals("bonus"), call("NOT", SOLD_AT_ONCE)),
    to_money(this("written") * _BONUS_RATE),
    0,
)
EXPENSED = when(METHOD.equals("expensed"), this("written"), 0)
AT_ONCE = this("section_179") + this("bonus") + EXPENSED
BASIS = this("written") - this("section_179") - this("bonus")
TESTED = this("qualifying") - when(THIS_YEAR, this("section_179"), 0)
