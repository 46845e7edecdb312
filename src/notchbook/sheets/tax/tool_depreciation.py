"""Tool depreciation: the wear of a use for costing, and apart from it what the tax form gets."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import ceil

from notchbook.language.expressions import (
    Above,
    Expression,
    call,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    AMOUNT,
    COUNT,
    MONEY,
    PERCENT,
    RATE,
    WORD,
    YEAR,
    Column,
    Sheet,
    Table,
    computed,
    table,
)
from notchbook.sheets.kit.settings import in_year, setting
from notchbook.sheets.tax import tool_basis as basis
from notchbook.sheets.tax import tool_schedule as schedule
from notchbook.sheets.tax.tool_rows import METHODS_WITHOUT_FORM, ToolRow
from notchbook.sheets.tax.tool_states import state

LEAST_YEARS, MOST_YEARS = 8, 40


def years_shown(year: int, tools: Iterable[ToolRow]) -> int:
    """How many years from `year` on it takes until every tool is written off."""
    last = [
        tool.in_service.year + ceil(tool.life_years or 0)
        for tool in tools
        if tool.tax_method in ("straight line", "declining balance")
    ]
    return min(max([LEAST_YEARS, *(end - year + 1 for end in last)]), MOST_YEARS)


def _wear(word: str, of: str) -> Expression:
    worn = (this("cost") - this("salvage")) / this(of)
    return when(this("wear").equals(word), worn, 0)


_WEAR = (
    computed(
        "wear_use",
        "wear a use",
        RATE,
        _wear("per use", "expected_uses"),
        "For prices; the tax form does not see it.",
    ),
    computed(
        "wear_hour",
        "wear an hour",
        RATE,
        _wear("hours", "life_hours"),
        "For prices; the tax form does not see it.",
    ),
    computed(
        "used",
        "used this year",
        AMOUNT,
        total("Consumables", "year_amount", tool=this("tool")),
        "Uses or hours, by the pieces on the production log.",
    ),
    computed("first_year", "first year", YEAR, call("YEAR", this("in_service"))),
    computed("last_year", "sold in", YEAR, basis.LAST_YEAR),
    computed("business_cost", "cost for the business", MONEY, basis.BUSINESS_COST),
    computed(
        "most",
        "cost less salvage",
        MONEY,
        basis.MOST,
        "Tax classes and expensed tools write off the whole cost.",
    ),
    computed("written", "to write off", MONEY, basis.WRITTEN, "By the business share."),
    computed(
        "half_or_less",
        "half or less",
        COUNT,
        when(call("AND", basis.OF_THE_FORM, basis.HALF_OR_LESS, call("NOT", basis.SOLD)), 1, 0),
        "1: used for the business half the time or less, under section 179, bonus or a class.",
    ),
)
_CLASSES = (
    computed(
        "tax_class",
        "tax class",
        WORD,
        basis.TAX_CLASS,
        "For section 179 and bonus by the life in years: 3, 5 or 7; blank: 7, the class of wood"
        " products machinery.",
    ),
    computed("quarter", "quarter", COUNT, basis.quarter(this("in_service"))),
    computed(
        "qualifying",
        "new this year",
        MONEY,
        basis.QUALIFYING,
        "Put to work this year, in a class, and not sold in the same year.",
    ),
    computed(
        "wanted_179",
        "section 179 asked for",
        MONEY,
        basis.WANTED,
        "The part elected, else all of it.",
    ),
    computed(
        "section_179",
        "section 179",
        MONEY,
        basis.SECTION_179,
        "Chosen up to the year's limit; Year-end takes of it what the profit allows.",
    ),
    computed(
        "tested",
        "basis tested",
        MONEY,
        basis.TESTED,
        "For the mid-quarter test: after section 179, before bonus.",
    ),
    computed(
        "bonus", "bonus", MONEY, basis.BONUS, "At the rate of the day it was acquired and used."
    ),
    computed("basis", "basis of the class", MONEY, basis.BASIS),
)


def _months(convention: Expression) -> tuple[Column, ...]:
    return (
        computed(
            "used_convention",
            "convention used",
            WORD,
            convention,
            "As typed; else months, and in a tax class what this year's test says.",
        ),
        computed("convention_key", "row of the table", WORD, schedule.CONVENTION_KEY),
        computed("first_months", "months in the first year", AMOUNT, schedule.FIRST_MONTHS),
        computed(
            "sale_share",
            "share of the year of sale",
            PERCENT,
            schedule.SALE_SHARE,
            "Nothing where it was put to work in the same year.",
        ),
        computed("use_months", "months in use", AMOUNT, schedule.USE_MONTHS),
        computed("by_use", "by units of use", MONEY, schedule.BY_USE),
    )


def _above(n: int) -> Expression:
    """The n-th year shown."""
    year: Expression = setting("year")
    for _ in range(n):
        year = year + 1
    return year


def _years(number: int) -> tuple[Column, ...]:
    note = "Taken in the year that stands above: as its rule on the right gives, rounded."
    return tuple(
        computed(
            f"year_{n}", f"year {n + 1}", MONEY, schedule.taken_in_year(n), note, above=_above(n)
        )
        for n in range(number)
    )


def _workings(number: int, with_classes: bool) -> tuple[Column, ...]:
    """How each year comes about: months of use that are gone, then what the method gives."""
    before = schedule.months_gone(setting("year") - 1)
    return (
        computed("gone_before", "months gone before", AMOUNT, before, "Before this year."),
        *(
            computed(
                f"gone_{n}",
                f"months gone year {n + 1}",
                AMOUNT,
                schedule.months_gone(Above()),
                "Months of its life in use up to the year above.",
                above=_above(n),
            )
            for n in range(number)
        ),
        *(
            computed(
                f"rule_{n}",
                f"rule of year {n + 1}",
                MONEY,
                schedule.by_rule(n, with_classes),
                "What the tax method gives for the year above.",
                above=_above(n),
            )
            for n in range(number)
        ),
    )


def _table(with_classes: bool, years: int) -> Table:
    shown = _years(years)
    convention = schedule.CONVENTION_BY_CLASS if with_classes else schedule.CONVENTION_BY_LIFE
    built = table(
        "Tool depreciation",
        ToolRow,
        *_WEAR,
        *(_CLASSES if with_classes else ()),
        computed(
            "at_once",
            "at once",
            MONEY,
            basis.AT_ONCE if with_classes else basis.EXPENSED,
            "Written off in the first year, whatever the method does with the rest.",
        ),
        *_months(convention),
        *shown,
        computed(
            "later",
            "later years",
            MONEY,
            schedule.later(tuple(column.name for column in shown)),
            "What the years shown leave open.",
        ),
        computed(
            "taken",
            "taken up to this year",
            MONEY,
            schedule.taken("year_0"),
            "A tool expensed in a past year is gone from the books.",
        ),
        computed(
            "book_value",
            "book value",
            MONEY,
            schedule.BOOK_VALUE,
            "At the end of this year, by the business share.",
        ),
        computed(
            "gain",
            "gain or loss",
            MONEY,
            schedule.GAIN,
            "What it brought less its book value, in the year it is sold.",
        ),
        computed("state", "state", WORD, state(with_classes), _STATES),
        *_workings(years, with_classes),
        silent="tool",
        spare=20,
        capacity=1_000,
    )
    if with_classes:
        return built
    return replace(
        built,
        columns=tuple(
            replace(column, choices=METHODS_WITHOUT_FORM) if column.name == "tax_method" else column
            for column in built.columns
        ),
    )


_STATES = (
    "no life: type life (years), or the uses or hours it lasts. no class: a tax class lasts 3, 5 or"
    " 7 years. no rate: Tax tables hold no bonus for its days. above harbour: too dear to be"
    " expensed. convention: the year's test says another one. too much: more taken than it cost."
    " no convention, nothing before: a past year's convention or depreciation is not typed."
)


def sheet(tax: str, years: int) -> Sheet:
    """The sheet with so many years; a country without a form knows no tax classes."""
    with_classes = tax == "us"
    elect = (
        " A class without bonus, also for what section 179 leaves of a tool, means that you elect"
        " out of the bonus. Not worked out: listed property and recapture; see Checks."
    )
    return Sheet(
        "Tool depreciation",
        "Wear serves the prices; the years on the right serve the tax form. The two are kept apart."
        + (elect if with_classes else ""),
        (_table(with_classes, years),),
        group="books",
        takes_rows=True,
    )


BOUGHT_THIS_YEAR = total("Tool depreciation", "cost", *in_year("in_service"))
EXPENSED = total("Tool depreciation", "year_0", where("tax_method", "=", "expensed"))
WRITTEN_DOWN = total("Tool depreciation", "year_0", where("tax_method", "<>", "expensed"))
GAINS = total("Tool depreciation", "gain")
