"""Settings: the single values of the shop, and how other rules name them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict

from notchbook.language import expressions as x
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import Given, given_columns
from notchbook.sheets.kit.values import (
    Day,
    Factor,
    Length,
    LengthOrNone,
    Money,
    Name,
    Number,
    Positive,
    Share,
    Text,
    Whole,
    Year,
)


class ShopSettings(BaseModel):
    """The single values of shop.yaml, in the order of the Settings sheet."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    shop: Annotated[Text, Given("the name on every printed sheet", look=show.NAME)]
    year: Annotated[Year, Given("the year whose books this workbook holds")]
    as_of: Annotated[Day, Given("the day from which the age of prices is counted")]
    currency: Annotated[str, Given("the ISO 4217 code; change it in shop.yaml", look=show.WORD)]
    units: Annotated[
        Literal["inch", "mm"], Given("lengths are in this unit; change it in shop.yaml", choices=())
    ]
    show_fractions_to: Annotated[Length, Given("readings are rounded to this")]
    paper: Annotated[Literal["letter", "a4"], Given("the paper printed on")]
    labor_rate: Annotated[Money, Given("what an hour of work costs", header="labor rate an hour")]
    overhead_rate: Annotated[
        Money, Given("rent, power and the like, a bench hour", header="overhead rate an hour")
    ]
    kerf: Annotated[LengthOrNone, Given("what the blade turns to dust", header="saw kerf")]
    squaring: Annotated[
        LengthOrNone, Given("lost at each long edge before a board is ripped, kerf included")
    ]
    end_trim: Annotated[LengthOrNone, Given("lost at each end, kerf included")]
    shortest_rip: Annotated[LengthOrNone, Given("no shorter blank is ripped; for safe hands")]
    deepest_cut: Annotated[
        LengthOrNone | None, Given("no rip is deeper; blank where unlimited")
    ] = None
    usable_offcut: Annotated[LengthOrNone, Given("shorter offcuts are scrap")]
    local_factor: Annotated[Factor, Given("what share of the shop price people pay here")]
    target_margin: Annotated[Share, Given("the profit wanted of a price")]
    ending: Annotated[Money, Given("suggested prices end so, e.g. 0.95", header="price ending")]
    offcuts: Annotated[
        Literal["share", "whole"],
        Given("whole charges whole boards; share leaves usable offcuts out of the cost"),
    ]
    main_tier: Annotated[Name, Given("the tier that profit is judged by", refers="Tiers.tier")]
    worth_per_hour: Annotated[
        Money, Given("earned an hour: from here it is worth making", header="worth making from")
    ]
    skip_per_hour: Annotated[Money, Given("earned an hour: below it, skip it", header="skip below")]
    check_prices_after: Annotated[
        Whole, Given("older prices are marked", header="check prices after (days)")
    ]
    stock_method: Annotated[
        Literal["materials", "inventory"],
        Given(
            "materials: stock is a cost when the piece is sold, by the materials kept with each"
            " sale. inventory: by Counts, opening + purchases - closing"
        ),
    ]
    tax: Annotated[
        Literal["us", "none"],
        Given("us or none; change it in shop.yaml", header="tax form", choices=()),
    ]
    other_income: Annotated[Money, Given("business income that is no sale; see Year-end")] = 0.0
    home_use: Annotated[
        Money,
        Given("the amount you may claim; 0: by the area below", header="business use of the home"),
    ] = 0.0
    home_area: Annotated[
        Number,
        Given("used for the business alone; for the simplified rate", header="home area (sq ft)"),
    ] = 0.0
    carried_179: Annotated[
        Money, Given("what past years' profit was too small for", header="section 179 carried in")
    ] = 0.0
    other_earned: Annotated[
        Money,
        Given("wages and other business; raises section 179's limit", header="other earned income"),
    ] = 0.0
    other_wages: Annotated[
        Money, Given("social security was held back from them; see Year-end")
    ] = 0.0
    income_tax_rate: Annotated[
        Share, Given("your own guess, set aside with self-employment tax")
    ] = 0.0
    written_off: Annotated[
        Money,
        Given("wasted or lost; only with the stock method materials", header="stock written off"),
    ] = 0.0
    smallest: Annotated[
        Positive,
        Given(
            "what amounts are rounded to; the currency's", header="smallest amount", look=show.RATE
        ),
    ]
    tolerance: Annotated[
        Positive,
        Given(
            "sums that differ by less are taken as equal",
            header="tolerance of checks",
            look=show.RATE,
        ),
    ]


GIVEN = {column.name: column for column in given_columns(ShopSettings)}
"""The columns, as it were, of the single values."""


class _Setting:
    """The Settings sheet: `setting.kerf` is its line, `setting(name)` the one a variable names."""

    def __getattr__(self, name: str) -> x.Line:
        if name.startswith("__"):  # what Python asks of every object
            raise AttributeError(name)
        return x.Line("Settings", name)

    def __call__(self, name: str) -> x.Line:
        return x.Line("Settings", name)


setting = _Setting()
"""The single values of the Settings sheet."""


YEAR_START, YEAR_END = setting.year_start, setting.year_end


def in_year(column: str = "date") -> tuple[x.Where, x.Where]:
    """The conditions that a date falls in the shop's year."""
    return x.where(column, ">=", YEAR_START), x.where(column, "<=", YEAR_END)


def to_money(value: x.Expression) -> x.Expression:
    """Rounded to the smallest amount of the currency, half away from zero."""
    return x.rounded(value / setting.smallest, 0) * setting.smallest


def labor_for(minutes: x.Expression) -> x.Expression:
    """What so many minutes of work cost."""
    return minutes / x.Unit("hour") * setting.labor_rate


def overhead_for(minutes: x.Expression) -> x.Expression:
    """What so many minutes at the bench cost besides labor."""
    return minutes / x.Unit("hour") * setting.overhead_rate
