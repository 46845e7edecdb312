"""The single values of the shop, as its file and the Settings sheet hold them."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, ValidationInfo, field_validator

from notchbook.base.spelling import Spelling, spelling_of
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, given_columns
from notchbook.sheets.kit.values import (
    Day,
    Factor,
    FileName,
    Length,
    LengthOrNone,
    Money,
    Name,
    Number,
    Positive,
    Share,
    Whole,
    Year,
    refuse_wide_kerf,
)


class ShopSettings(BaseModel):
    """The single values of shop.yaml, in the order of the Settings sheet."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    shop: Annotated[
        FileName,
        Given(
            "the name on every printed sheet, and of the workbook", example="Marlow Street Joinery"
        ),
    ]
    year: Annotated[
        Year, Given("the year whose books this workbook holds", example="2026", files_only=True)
    ]
    as_of: Annotated[Day, Given("the day from which the age of prices is counted")]
    filed: Annotated[
        Day | None,
        Given(
            "the day the return was filed; the next compile keeps its lines as filed",
            header="books filed on",
            blank="not yet",
            example="2027-03-02",
        ),
    ] = None
    currency: Annotated[
        str,
        Given("the ISO 4217 code of all amounts", look=show.WORD, example="USD", files_only=True),
    ]
    units: Annotated[
        Literal["inch", "mm"], Given("what a length without a unit is in", files_only=True)
    ]
    show_fractions_to: Annotated[
        Length,
        Given("lengths are shown to the nearest of these", example="1/32", blank="1/32 in or 1 mm"),
    ]
    shop_sheet_costs: Annotated[
        Literal["yes"] | None,
        Given("shop sheets show costs and prices, too", header="costs on shop sheets"),
    ] = None
    paper: Annotated[
        Literal["letter", "a4"], Given("the paper printed on", blank="letter, a4 in an mm shop")
    ]
    labor_rate: Annotated[
        Money, Given("what an hour of work costs", header="labor rate an hour", example="24.00")
    ]
    overhead_rate: Annotated[
        Money,
        Given(
            "rent, power and the like, per bench hour",
            header="overhead rate an hour",
            example="4.50",
        ),
    ]
    kerf: Annotated[
        LengthOrNone, Given("what the blade turns to dust", header="saw kerf", example="1/8")
    ]
    squaring: Annotated[
        LengthOrNone,
        Given("lost at each long edge before a board is ripped, kerf included", example="1/8"),
    ]
    end_trim: Annotated[LengthOrNone, Given("lost at each end, kerf included", example="1/4")]
    shortest_rip: Annotated[
        LengthOrNone, Given("no shorter blank is ripped; for safe hands", example="12")
    ]
    deepest_cut: Annotated[
        Length | None, Given("no rip is deeper", blank="unlimited", example="3")
    ] = None
    longest_rip: Annotated[
        Length | None, Given("no longer blank is ripped", blank="unlimited", example="72")
    ] = None
    sheet_trim: Annotated[
        LengthOrNone,
        Given("lost at each factory edge of a sheet, kerf included", example="1/4"),
    ] = Fraction(0)
    fence_reach: Annotated[
        Length | None,
        Given("wider cuts are for a guided saw", blank="any width", example="24"),
    ] = None
    minutes_a_setting: Annotated[
        Number,
        Given(
            "minutes to set a fence or a stop; decides between plans that cost the same",
            example="2",
        ),
    ] = 2.0
    minutes_a_pass: Annotated[
        Number,
        Given(
            "minutes for one pass of the blade; a pass over a short blank counts twice",
            example="0.5",
        ),
    ] = 0.5
    usable_offcut: Annotated[
        LengthOrNone,
        Given("shorter offcuts are scrap", key="length", example="12", blank="12 in or 300 mm"),
    ]
    usable_width: Annotated[
        Length | None,
        Given("narrower offcuts are scrap", key="width", example="2", blank="any width"),
    ] = None
    usable_thickness: Annotated[
        Length | None,
        Given(
            "thinner offcuts of lumber are scrap",
            key="thickness",
            example="1/2",
            blank="twice the kerf",
        ),
    ] = None
    local_factor: Annotated[
        Factor, Given("what share of the shop price people pay here", example="0.40")
    ]
    target_margin: Annotated[Share, Given("the profit wanted of a price", example="45%")]
    ending: Annotated[
        Money, Given("how suggested prices end, e.g. 0.95", header="price ending", example="0.95")
    ]
    offcuts: Annotated[
        Literal["share", "whole"],
        Given("whole charges whole boards; share leaves usable offcuts out of the cost"),
    ]
    main_tier: Annotated[Name, Given("the tier that profit is judged by", refers="Tiers.tier")]
    worth_per_hour: Annotated[
        Money,
        Given(
            "a piece that earns this much an hour, or more, is worth making",
            header="worth making from",
            example="30.00",
        ),
    ]
    skip_per_hour: Annotated[
        Money,
        Given(
            "a piece that earns less than this an hour is skipped",
            header="skip below",
            example="15.00",
        ),
    ]
    least_sold: Annotated[
        Whole,
        Given(
            "once so many are sold, their prices tell what people pay",
            header="least pieces sold",
            example="3",
        ),
    ] = 3
    off_by: Annotated[
        Share,
        Given(
            "an estimate that the log or the ledger shows to be off by more is pointed out",
            header="estimates off by",
            example="20%",
        ),
    ] = 0.2
    least_runs: Annotated[
        Whole, Given("after so many timed runs, the log says how long it takes", example="2")
    ] = 2
    least_spoiled: Annotated[
        Whole,
        Given(
            "so many spoiled pieces more or fewer than planned are pointed out",
            header="least pieces off",
            example="2",
        ),
    ] = 2
    raise_below: Annotated[
        Share, Given("a price below this share of what people pay may be raised", example="90%")
    ] = 0.9
    raise_days: Annotated[
        Whole,
        Given(
            "and only where pieces sell within so many days",
            header="raise the price within (days)",
            example="14",
        ),
    ] = 14
    overhead_share: Annotated[
        Share,
        Given(
            "an overhead rate below this share of the real one is pointed out",
            header="least overhead rate",
            example="50%",
        ),
    ] = 0.5
    weeks: Annotated[
        Positive,
        Given(
            "the weeks over which sales a week are averaged",
            header="weeks of sales looked at",
            example="12",
        ),
    ] = 12.0
    sell_weeks: Annotated[
        Positive,
        Given(
            "Next batches makes what sells in so many weeks, unless a day is typed there",
            header="weeks to make for",
            example="4",
        ),
    ] = 4.0
    price_off: Annotated[
        Positive,
        Given(
            "a price so many times the usual one, or that fraction of it, is pointed out",
            header="price off by (times)",
            example="3",
        ),
    ] = 3.0
    same_slip_days: Annotated[
        Whole,
        Given(
            "equal slips within so many days of each other are pointed out",
            header="same slip within (days)",
            example="7",
        ),
    ] = 7
    count_from: Annotated[
        Share,
        Given(
            "where more is left of a stock than this share of the year's use, it must be counted"
            " at the close",
            header="count from (of the use)",
            example="1%",
        ),
    ] = 0.01
    check_prices_after: Annotated[
        Whole,
        Given(
            "an older price is marked as old",
            header="check prices after (days)",
            example="90",
        ),
    ] = 90
    stock_method: Annotated[
        Literal["materials", "inventory"],
        Given(
            "how the stock at the end is found where the closing count is not complete;"
            " materials: by the books, which take goods out when a piece is sold; inventory: by"
            " what was counted",
        ),
    ] = "materials"
    tax: Annotated[
        Literal["us", "none"],
        Given("the form of the year's end", header="tax form", files_only=True),
    ]
    other_income: Annotated[
        Money,
        Given(
            "business income that is no sale and not on Money; both are added up on Year-end",
            example="40.00",
        ),
    ] = 0.0
    home_use: Annotated[
        Money,
        Given(
            "the deduction that you claim for the use of your home",
            header="business use of the home",
            example="600.00",
        ),
    ] = 0.0
    home_area: Annotated[
        Number,
        Given(
            "the area used for the business alone; for the simplified method, where no deduction"
            " is given",
            header="home area (sq ft)",
            example="120",
        ),
    ] = 0.0
    carried_179: Annotated[
        Money,
        Given(
            "section 179 that past years' profit was too small for",
            header="section 179 carried in",
            example="0.00",
        ),
    ] = 0.0
    other_earned: Annotated[
        Money,
        Given(
            "wages and other business; raises section 179's limit",
            header="other earned income",
            example="21000.00",
        ),
    ] = 0.0
    other_wages: Annotated[
        Money,
        Given("wages from which social security was withheld; see Year-end", example="21000.00"),
    ] = 0.0
    income_tax_rate: Annotated[
        Share,
        Given("your own guess; so much is set aside beside self-employment tax", example="12%"),
    ] = 0.0
    mile_rate: Annotated[
        Money,
        Given(
            "what each unit of distance on Mileage costs; 0: nothing",
            header="rate of drives",
            look=show.RATE,
            example="0.35",
        ),
    ] = 0.0
    last_year_tax: Annotated[
        Money | None,
        Given(
            "the total tax on last year's return; the four payments must come to at least that",
            header="last year's tax",
            blank="not known",
            example="5120.00",
        ),
    ] = None
    last_year_income: Annotated[
        Money,
        Given(
            "adjusted gross income on last year's return; where it was high, more than last"
            " year's tax must be paid",
            header="last year's income",
            example="64000.00",
        ),
    ] = 0.0
    written_off: Annotated[
        Money,
        Given(
            "stock wasted or lost, at cost; counts only where the books say what is left",
            header="stock written off",
            example="12.00",
        ),
    ] = 0.0
    carried_stock: Annotated[
        Money | None,
        Given(
            "last year's stock at the end, as filed; this year's beginning must be the same",
            header="last year's closing stock",
            blank="not compared",
            example="324.37",
        ),
    ] = None

    @property
    def spelling(self) -> Spelling:
        """How the shop spells."""
        return spelling_of(self.tax, self.units)

    @field_validator("kerf")
    @classmethod
    def _is_a_blade(cls, kerf: Fraction, info: ValidationInfo) -> Fraction:
        """A kerf that no saw has is a slip, such as a depth or a diameter."""
        refuse_wide_kerf(kerf, info.data.get("units", "inch"))
        return kerf

    smallest: Annotated[
        Positive,
        Given(
            "what amounts are rounded to; follows from the currency",
            header="smallest amount",
            look=show.RATE,
        ),
    ]
    tolerance: Annotated[
        Positive,
        Given(
            "sums that differ by less count as equal",
            header="tolerance of checks",
            look=show.RATE,
        ),
    ]


GIVEN = {column.name: column for column in given_columns(ShopSettings)}
"""The columns, as it were, of the single values."""
