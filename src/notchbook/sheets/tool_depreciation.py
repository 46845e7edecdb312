"""Tool depreciation: the wear of a use for costing, and apart from it what the tax form gets."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from notchbook.language.expressions import (
    Above,
    Expression,
    Unit,
    blank,
    call,
    count,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.declare import (
    AMOUNT,
    COUNT,
    DATE,
    MONEY,
    NAME,
    PERCENT,
    RATE,
    WORD,
    Column,
    Given,
    Row,
    Sheet,
    computed,
    table,
)
from notchbook.sheets.settings import in_year, setting
from notchbook.sheets.values import Day, Money, Name, Portion, Positive

METHODS = (
    "expensed",
    "section 179",
    "bonus",
    "macrs 3",
    "macrs 5",
    "macrs 7",
    "straight line",
    "declining balance",
    "units of use",
)
CONVENTIONS = ("months", "half-year", "mid-quarter")
YEARS_SHOWN = 10


class ToolRow(Row):
    """A tool, what it cost and how it wears."""

    key: ClassVar[tuple[str, ...]] = ("tool",)
    tool: Annotated[Name, Given("tool", NAME, "the tool")]
    cost: Annotated[Money, Given("cost", MONEY, "with tax, delivery and setting up")]
    acquired: Annotated[
        Day | None, Given("acquired", DATE, "the day it was ordered, where it matters")
    ] = None
    in_service: Annotated[Day, Given("in service", DATE, "the day it was ready for work")]
    business_share: Annotated[
        Portion,
        Given("business share", PERCENT, "the share of its use for the business"),
    ] = 1.0
    salvage: Annotated[Money, Given("salvage", MONEY, "what it brings in the end")] = 0.0
    life_years: Annotated[Positive | None, Given("life (years)", AMOUNT, "for straight line")] = (
        None
    )
    wear: Annotated[
        Literal["per use", "hours"] | None,
        Given("wear", WORD, "how its wear is counted in prices", ("per use", "hours"), strict=True),
    ] = None
    expected_uses: Annotated[
        Positive | None, Given("expected uses", COUNT, "how often it serves in its life")
    ] = None
    life_hours: Annotated[
        Positive | None, Given("life (hours)", COUNT, "how long it runs in its life")
    ] = None
    tax_method: Annotated[
        Literal[
            "expensed",
            "section 179",
            "bonus",
            "macrs 3",
            "macrs 5",
            "macrs 7",
            "straight line",
            "declining balance",
            "units of use",
        ],
        Given("tax method", WORD, "how the tax form gets its cost", METHODS, strict=True),
    ]
    taken_before: Annotated[
        Money, Given("taken before", MONEY, "depreciation of past years, as filed")
    ] = 0.0
    convention: Annotated[
        Literal["months", "half-year", "mid-quarter"] | None,
        Given(
            "convention", WORD, "how its first year counts; blank: months", CONVENTIONS, strict=True
        ),
    ] = None
    disposed: Annotated[Day | None, Given("disposed", DATE, "the day it was sold or lost")] = None
    disposed_for: Annotated[Money | None, Given("disposed for", MONEY, "what it brought")] = None


_SHARE = when(blank(this("business_share")), 1, this("business_share"))
_FIRST_YEAR = call("YEAR", this("in_service"))
_LIFE_MONTHS = this("life_years") * Unit("year")
_FIRST_MONTHS = when(
    this("convention").equals("half-year"),
    total(
        "Tax tables",
        "value",
        where("table", "=", "convention"),
        where("key", "=", "half-year"),
    )
    * Unit("year"),
    Unit("year") + 1 - call("MONTH", this("in_service")),
)


def _months_gone(year: Expression) -> Expression:
    """Months of its life that have passed at the end of a year."""
    gone = this("first_months") + (year - _FIRST_YEAR) * Unit("year")
    return when(year < _FIRST_YEAR, 0, call("MIN", call("MAX", gone, 0), _LIFE_MONTHS))


_BY_PREPARER = call(
    "OR",
    call(
        "AND",
        this("tax_method").differs("straight line"),
        this("tax_method").differs("expensed"),
    ),
    call("NOT", blank(this("disposed"))),
    this("convention").equals("mid-quarter"),
)


def _taken_in_year(still_open: Expression) -> Expression:
    """What is taken in the year above, never more than is still open."""
    straight = this("basis") * (_months_gone(Above()) - _months_gone(Above() - 1)) / _LIFE_MONTHS
    at_once = when(Above().equals(_FIRST_YEAR), this("basis"), 0)
    planned_share = when(this("tax_method").equals("expensed"), at_once, straight)
    return when(_BY_PREPARER, 0, call("MIN", planned_share, call("MAX", still_open, 0)))


def _schedule() -> tuple[Column, ...]:
    columns = []
    above: Expression = setting("year")
    still_open: Expression = this("basis") - this("taken_before")
    for n in range(YEARS_SHOWN):
        note = "Taken in the year that stands above."
        rule = _taken_in_year(still_open)
        columns.append(computed(f"year_{n}", f"year {n + 1}", MONEY, rule, note, above=above))
        above = above + 1
        still_open = still_open - this(f"year_{n}")
    return tuple(columns)


TABLE = table(
    "Tool depreciation",
    ToolRow,
    computed(
        "wear_use",
        "wear a use",
        RATE,
        when(
            this("wear").equals("per use"),
            (this("cost") - this("salvage")) / this("expected_uses"),
            0,
        ),
        "For prices; the tax form does not see it.",
    ),
    computed(
        "wear_hour",
        "wear an hour",
        RATE,
        when(
            this("wear").equals("hours"),
            (this("cost") - this("salvage")) / this("life_hours"),
            0,
        ),
        "For prices; the tax form does not see it.",
    ),
    computed(
        "used",
        "used this year",
        AMOUNT,
        total("Consumables", "year_amount", tool=this("tool")),
        "Uses or hours, by the pieces on the production log.",
    ),
    computed(
        "basis",
        "basis",
        MONEY,
        (this("cost") - when(this("tax_method").equals("straight line"), this("salvage"), 0))
        * _SHARE,
        "What can be written off.",
    ),
    computed("first_months", "months in the first year", COUNT, _FIRST_MONTHS),
    *_schedule(),
    computed(
        "taken",
        "taken up to this year",
        MONEY,
        when(
            call("AND", this("tax_method").equals("expensed"), setting("year") > _FIRST_YEAR),
            this("basis"),
            this("taken_before") + this("year_0"),
        ),
        "A tool expensed in a past year is gone from the books.",
    ),
    computed(
        "book_value",
        "book value",
        MONEY,
        this("cost") * _SHARE - this("taken"),
        "At the end of this year.",
    ),
    computed(
        "state",
        "state",
        WORD,
        when(
            _BY_PREPARER,
            "by preparer",
            when(
                call(
                    "AND",
                    this("tax_method").equals("straight line"),
                    blank(this("life_years")),
                ),
                "no life",
                "",
            ),
        ),
        "by preparer: this workbook does not work its schedule out and takes nothing for it.",
    ),
    silent="tool",
    spare=20,
    capacity=1_000,
)
SHEET = Sheet(
    "Tool depreciation",
    "Wear serves the prices; the years on the right serve the tax form. The two are kept apart.",
    (TABLE,),
    group="books",
    takes_rows=True,
)

BOUGHT_THIS_YEAR = total("Tool depreciation", "cost", *in_year("in_service"))
EXPENSED = total("Tool depreciation", "year_0", where("tax_method", "=", "expensed"))
DEPRECIATED = total("Tool depreciation", "year_0", where("tax_method", "<>", "expensed"))
UNSCHEDULED = count("Tool depreciation", "state", where("state", "=", "by preparer"))
