"""Settings: the single values of the shop, and how other rules name them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict

from notchbook.language.expressions import (
    Expression,
    Line,
    Operand,
    Unit,
    Where,
    call,
    rounded,
    this,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    AMOUNT,
    COUNT,
    DATE,
    FACTOR,
    LENGTH,
    MONEY,
    NAME,
    PERCENT,
    RATE,
    WORD,
    YEAR,
    Given,
)
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

    shop: Annotated[Text, Given("shop", NAME, "the name on every printed sheet")]
    year: Annotated[Year, Given("year", YEAR, "the year whose books this workbook holds")]
    as_of: Annotated[Day, Given("as of", DATE, "the day from which the age of prices is counted")]
    currency: Annotated[str, Given("currency", WORD, "the ISO 4217 code; change it in shop.yaml")]
    units: Annotated[
        Literal["inch", "mm"],
        Given("units", WORD, "lengths are in this unit; change it in shop.yaml"),
    ]
    show_fractions_to: Annotated[
        Length, Given("show fractions to", LENGTH, "readings are rounded to this")
    ]
    paper: Annotated[
        Literal["letter", "a4"],
        Given("paper", WORD, "the paper printed on", ("letter", "a4"), strict=True),
    ]
    labor_rate: Annotated[Money, Given("labor rate an hour", MONEY, "what an hour of work costs")]
    overhead_rate: Annotated[
        Money, Given("overhead rate an hour", MONEY, "rent, power and the like, a bench hour")
    ]
    kerf: Annotated[LengthOrNone, Given("saw kerf", LENGTH, "what the blade turns to dust")]
    squaring: Annotated[
        LengthOrNone,
        Given("squaring", LENGTH, "lost at each long edge before a board is ripped, kerf included"),
    ]
    end_trim: Annotated[LengthOrNone, Given("end trim", LENGTH, "lost at each end, kerf included")]
    shortest_rip: Annotated[
        LengthOrNone, Given("shortest rip", LENGTH, "no shorter blank is ripped; for safe hands")
    ]
    deepest_cut: Annotated[
        LengthOrNone | None, Given("deepest cut", LENGTH, "no rip is deeper; blank where unlimited")
    ] = None
    usable_offcut: Annotated[
        LengthOrNone, Given("usable offcut", LENGTH, "shorter offcuts are scrap")
    ]
    local_factor: Annotated[
        Factor, Given("local factor", FACTOR, "what share of the shop price people pay here")
    ]
    target_margin: Annotated[Share, Given("target margin", PERCENT, "the profit wanted of a price")]
    ending: Annotated[Money, Given("price ending", MONEY, "suggested prices end so, e.g. 0.95")]
    offcuts: Annotated[
        Literal["share", "whole"],
        Given(
            "offcuts",
            WORD,
            "whole charges whole boards; share leaves usable offcuts out of the cost",
            ("share", "whole"),
            strict=True,
        ),
    ]
    main_tier: Annotated[
        Name, Given("main tier", NAME, "the tier that profit is judged by", "Tiers.tier")
    ]
    worth_per_hour: Annotated[
        Money, Given("worth making from", MONEY, "earned an hour: from here it is worth making")
    ]
    skip_per_hour: Annotated[Money, Given("skip below", MONEY, "earned an hour: below it, skip it")]
    check_prices_after: Annotated[
        Whole, Given("check prices after (days)", COUNT, "older prices are marked")
    ]
    stock_method: Annotated[
        Literal["materials", "inventory"],
        Given(
            "stock method",
            WORD,
            "materials: stock is a cost when the piece is sold, by the materials kept with each"
            " sale. inventory: by Counts, opening + purchases - closing",
            ("materials", "inventory"),
        ),
    ]
    tax: Annotated[
        Literal["us", "none"], Given("tax form", WORD, "us or none; change it in shop.yaml")
    ]
    other_income: Annotated[
        Money, Given("other income", MONEY, "business income that is no sale; see Year-end")
    ] = 0.0
    home_use: Annotated[
        Money,
        Given("business use of the home", MONEY, "the amount you may claim; 0: by the area below"),
    ] = 0.0
    home_area: Annotated[
        Number,
        Given("home area (sq ft)", AMOUNT, "used for the business alone; for the simplified rate"),
    ] = 0.0
    carried_179: Annotated[
        Money,
        Given("section 179 carried in", MONEY, "what past years' profit was too small for"),
    ] = 0.0
    other_earned: Annotated[
        Money,
        Given("other earned income", MONEY, "wages and other business; raises section 179's limit"),
    ] = 0.0
    other_wages: Annotated[
        Money,
        Given("other wages", MONEY, "social security was held back from them; see Year-end"),
    ] = 0.0
    income_tax_rate: Annotated[
        Share,
        Given("income tax rate", PERCENT, "your own guess, set aside with self-employment tax"),
    ] = 0.0
    written_off: Annotated[
        Money,
        Given("stock written off", MONEY, "wasted or lost; only with the stock method materials"),
    ] = 0.0
    smallest: Annotated[
        Positive, Given("smallest amount", RATE, "what amounts are rounded to; the currency's")
    ]
    tolerance: Annotated[
        Positive, Given("tolerance of checks", RATE, "sums that differ by less are taken as equal")
    ]


GIVEN = {
    name: next(each for each in info.metadata if isinstance(each, Given))
    for name, info in ShopSettings.model_fields.items()
}


def setting(name: str) -> Line:
    """A single value of the Settings sheet."""
    return Line("Settings", name)


YEAR_START, YEAR_END = setting("year_start"), setting("year_end")


def in_year(column: str = "date") -> tuple[Where, Where]:
    """The conditions that a date falls in the shop's year."""
    return where(column, ">=", YEAR_START), where(column, "<=", YEAR_END)


def state_in_year(state: Operand) -> Expression:
    """The state of a dated row: `other year` where the date falls outside, else as given."""
    outside = call("OR", this("date") < YEAR_START, this("date") > YEAR_END)
    return when(outside, "other year", state)


def to_money(value: Expression) -> Expression:
    """Rounded to the smallest amount of the currency, half away from zero."""
    return rounded(value / setting("smallest"), 0) * setting("smallest")


def labor_for(minutes: Expression) -> Expression:
    """What so many minutes of work cost."""
    return minutes / Unit("hour") * setting("labor_rate")


def overhead_for(minutes: Expression) -> Expression:
    """What so many minutes at the bench cost besides labor."""
    return minutes / Unit("hour") * setting("overhead_rate")
