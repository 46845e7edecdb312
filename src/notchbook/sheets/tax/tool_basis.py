"""What of a tool is written off: by its class, under section 179, as bonus, by its share."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit.settings import setting, to_money
from notchbook.sheets.tax.tax_tables import constant

CONVENTION_OF_YEAR = x.Line("Year-end", "convention_of_year")
LIMIT_179 = x.Line("Year-end", "limit_179")
WANTED_179 = x.Line("Year-end", "wanted_179")

METHOD = this.used_method
YEAR = setting.year
IN_CLASS = this.tax_class.differs("")
THIS_YEAR = this.first_year.equals(YEAR)
SOLD_AT_ONCE = this.last_year.equals(this.first_year)
LIFE_MONTHS = this.life_years * x.Unit("year")
BY_LIFE = METHOD.equals("straight line") | METHOD.equals("declining balance")

SHARE = this.business_share.or_else(1)
LAST_YEAR = when(x.blank(this.disposed), 0, x.call("YEAR", this.disposed))


def quarter(day: x.Expression) -> x.Expression:
    """The quarter that a day falls in, 1 to 4."""
    return x.whole_up(x.call("MONTH", day) / x.Unit("quarter"))


def _salvage() -> x.Expression:
    """What stays on the books: the tax classes write off the whole cost."""
    kept = BY_LIFE | METHOD.equals("units of use")
    return when(kept, this.salvage, 0)


ROAD_VEHICLE = this.road_vehicle.equals("yes")
"""Listed property: yearly limits, logs and Form 4562, Part V (Publication 946, chapter 5; 463,
chapter 4). Nothing of it is worked out."""
BUSINESS_COST = this.cost * SHARE
MOST = this.cost - _salvage()
WRITTEN = this.most * SHARE
WRITTEN_BY_FORM = when(ROAD_VEHICLE, 0, WRITTEN)
_BY_CLASS = x.call("OR", *(METHOD.equals(f"macrs {years}") for years in (3, 5, 7)))
OF_THE_FORM = _BY_CLASS | METHOD.equals("section 179") | METHOD.equals("bonus")
SOLD = (this.last_year > 0) & (this.last_year <= YEAR)
TAX_CLASS = when(
    _BY_CLASS,
    METHOD,
    when(
        METHOD.equals("section 179") | METHOD.equals("bonus"),
        when(x.blank(this.life_years), "macrs 7", x.join("macrs ", x.rounded(this.life_years, 0))),
        "",
    ),
)
QUALIFYING = when(IN_CLASS & THIS_YEAR & ~SOLD_AT_ONCE, this.written, 0)
WANTED = when(
    METHOD.differs("section 179") | (THIS_YEAR & SOLD_AT_ONCE),
    0,
    when(x.blank(this.elected_179), this.written, x.call("MIN", this.elected_179, this.written)),
)
SECTION_179 = when(
    THIS_YEAR,
    to_money(this.wanted_179 * x.call("MIN", 1, LIMIT_179 / WANTED_179)),
    this.wanted_179 + 0,
)
HALF_OR_LESS = constant("business use", "more than") >= SHARE


def _bonus_rows() -> tuple[x.Expression, x.Expression]:
    """The rate for when a tool was acquired and put to work, and how many rows tell one."""
    acquired = this.acquired.or_else(this.in_service)
    mine = (
        x.where("table", "=", "bonus"),
        x.where("first", "<=", acquired),
        x.where("last", ">=", acquired),
        x.where("year_number", "=", this.first_year),
    )
    return x.total("Tax tables", "value", *mine), x.count("Tax tables", "value", *mine)


_BONUS_RATE, BONUS_ROWS = _bonus_rows()
BONUS = when(METHOD.equals("bonus") & ~SOLD_AT_ONCE, to_money(this.written * _BONUS_RATE), 0)
EXPENSED = when(METHOD.equals("expensed"), this.written, 0)
AT_ONCE = this.section_179 + this.bonus + EXPENSED
BASIS = this.written - this.section_179 - this.bonus
TESTED = this.qualifying - when(THIS_YEAR, this.section_179, 0)
