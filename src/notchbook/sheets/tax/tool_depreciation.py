"""Tool depreciation: the wear of a use for costing, and apart from it what the tax form gets."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Column, computed
from notchbook.sheets.kit.declare import Sheet, Table, table
from notchbook.sheets.kit.discovery import Terms
from notchbook.sheets.kit.faults import state
from notchbook.sheets.kit.settings import in_year, setting
from notchbook.sheets.ledgers.slip_totals import slip_costs
from notchbook.sheets.tax import tool_basis as basis
from notchbook.sheets.tax import tool_schedule as schedule
from notchbook.sheets.tax.tool_rows import FormToolRow, PlainToolRow, ToolRow
from notchbook.sheets.tax.tool_states import faults, otherwise

LEAST_YEARS, MOST_YEARS = 8, 40


def years_shown(year: int, tools: Iterable[ToolRow]) -> int:
    """How many years from `year` on it takes until every tool is written off."""
    last = [
        tool.in_service.year + ceil(tool.life_years or 0)
        for tool in tools
        if tool.tax_method in ("straight line", "declining balance")
    ]
    return min(max([LEAST_YEARS, *(end - year + 1 for end in last)]), MOST_YEARS)


def _wear(word: str, of: str) -> x.Expression:
    worn = (this.cost - this.salvage) / this(of)
    return when(this.wear.equals(word), worn, 0)


_WEAR = (
    computed(
        "wear_use",
        show.RATE,
        _wear("per use", "expected_uses"),
        "For prices; the tax form does not see it.",
        header="wear a use",
    ),
    computed(
        "wear_hour",
        show.RATE,
        _wear("hours", "life_hours"),
        "For prices; the tax form does not see it.",
        header="wear an hour",
    ),
    computed(
        "used",
        show.AMOUNT,
        x.total("Consumables", "year_amount", tool=this.tool),
        "Uses or hours, by the pieces on the production log.",
        header="used this year",
    ),
    computed(
        "slip_gap",
        show.MONEY,
        when(
            basis.THIS_YEAR,
            slip_costs(x.where("tool", "=", this.tool), *in_year()) - this.cost,
            0,
        ),
        "In its first year: what its slips come to above its cost.",
        header="slips minus cost",
    ),
    computed("first_year", show.YEAR, x.call("YEAR", this.in_service)),
    computed("last_year", show.YEAR, basis.LAST_YEAR, header="sold in"),
    computed("business_cost", show.MONEY, basis.BUSINESS_COST, header="cost for the business"),
    computed(
        "most",
        show.MONEY,
        basis.MOST,
        "Only by life and by units of use something stays; else the whole cost is written off.",
        header="depreciable amount",
    ),
)
_CLASSES = (
    computed(
        "half_or_less",
        show.COUNT,
        when(basis.OF_THE_FORM & basis.HALF_OR_LESS & ~basis.SOLD, 1, 0),
        "1: used for the business half the time or less, under section 179, bonus or a class.",
    ),
    computed(
        "tax_class",
        show.WORD,
        basis.TAX_CLASS,
        "For section 179 and bonus by the life in years: 3, 5 or 7; blank: 7, the class of wood"
        " products machinery.",
    ),
    computed("quarter", show.COUNT, basis.quarter(this.in_service)),
    computed(
        "qualifying",
        show.MONEY,
        basis.QUALIFYING,
        "Put to work this year, in a class, and not sold in the same year.",
        header="new this year",
    ),
    computed(
        "wanted_179",
        show.MONEY,
        basis.WANTED,
        "The part elected, else all of it.",
        header="section 179 asked for",
    ),
    computed(
        "section_179",
        show.MONEY,
        basis.SECTION_179,
        "Chosen up to the year's limit; Year-end takes of it what the profit allows.",
    ),
    computed(
        "tested",
        show.MONEY,
        basis.TESTED,
        "For the mid-quarter test: after section 179, before bonus.",
        header="basis tested",
    ),
    computed("bonus", show.MONEY, basis.BONUS, "At the rate of the day it was acquired and used."),
    computed("basis", show.MONEY, basis.BASIS, header="basis of the class"),
)


def _months(with_classes: bool) -> tuple[Column, ...]:
    convention = schedule.CONVENTION_BY_CLASS if with_classes else schedule.CONVENTION_BY_LIFE
    tested = ", and in a tax class what this year's test says" if with_classes else ""
    return (
        computed(
            "used_convention",
            show.WORD,
            convention,
            f"As typed; else months{tested}.",
            header="convention used",
        ),
        computed(
            "convention_key",
            show.WORD,
            schedule.convention_key(with_classes),
            header="row of the table",
        ),
        computed(
            "first_months", show.AMOUNT, schedule.FIRST_MONTHS, header="months in the first year"
        ),
        computed(
            "sale_share",
            show.PERCENT,
            schedule.sale_share(with_classes),
            "Nothing where it was put to work in the same year.",
            header="share of the year of sale",
        ),
        computed("use_months", show.AMOUNT, schedule.USE_MONTHS, header="months in use"),
        computed("by_use", show.MONEY, schedule.BY_USE, header="by units of use"),
    )


def _above(n: int) -> x.Expression:
    """The n-th year shown."""
    year: x.Expression = setting.year
    for _ in range(n):
        year = year + 1
    return year


def _years(number: int) -> tuple[Column, ...]:
    note = "Taken in the year that stands above: as its rule on the right gives, rounded."
    return tuple(
        computed(
            f"year_{n}",
            show.MONEY,
            schedule.taken_in_year(n),
            note,
            header=f"year {n + 1}",
            above=_above(n),
        )
        for n in range(number)
    )


def _workings(number: int, with_classes: bool) -> tuple[Column, ...]:
    """How each year comes about: months of use that are gone, then what the method gives."""
    before = schedule.months_gone(setting.year - 1)
    return (
        computed(
            "gone_before", show.AMOUNT, before, "Before this year.", header="months gone before"
        ),
        *(
            computed(
                f"gone_{n}",
                show.AMOUNT,
                schedule.months_gone(x.Above()),
                "Months of its life in use up to the year above.",
                header=f"months gone year {n + 1}",
                above=_above(n),
            )
            for n in range(number)
        ),
        *(
            computed(
                f"rule_{n}",
                show.MONEY,
                schedule.by_rule(n, with_classes),
                "What its method gives for the year above.",
                header=f"rule of year {n + 1}",
                above=_above(n),
            )
            for n in range(number)
        ),
    )


_FORM_METHOD = when(x.blank(this.class_for_form), this.tax_method, this.class_for_form)


def _table(with_classes: bool, years: int) -> Table:
    shown = _years(years)
    behind = _workings(years, with_classes)
    written = basis.WRITTEN_BY_FORM if with_classes else basis.WRITTEN
    return table(
        "Tool depreciation",
        FormToolRow if with_classes else PlainToolRow,
        *_WEAR,
        computed(
            "used_method",
            show.LABEL,
            _FORM_METHOD if with_classes else x.join(this.tax_method),
            "The class for the form, else the method.",
            header="method used",
        ),
        computed("written", show.MONEY, written, "By the business share.", header="to write off"),
        *(_CLASSES if with_classes else ()),
        computed(
            "at_once",
            show.MONEY,
            basis.AT_ONCE if with_classes else basis.EXPENSED,
            "Written off in the first year, whatever the method does with the rest.",
        ),
        *_months(with_classes),
        *shown,
        computed(
            "later",
            show.MONEY,
            schedule.later(tuple(column.name for column in shown)),
            "What the years shown leave open.",
            header="later years",
        ),
        computed(
            "taken",
            show.MONEY,
            schedule.taken("year_0"),
            "A tool expensed in a past year is gone from the books.",
            header="taken up to this year",
        ),
        computed(
            "book_value",
            show.MONEY,
            schedule.BOOK_VALUE,
            "At the end of this year, by the business share.",
        ),
        computed(
            "gain",
            show.MONEY,
            schedule.GAIN_BY_FORM if with_classes else schedule.GAIN,
            "What it brought less its book value, in the year it is sold.",
            header="gain or loss",
        ),
        state(
            *faults(with_classes),
            otherwise=otherwise(with_classes),
            note=_STATES if with_classes else _PLAIN_STATES,
        ),
        *behind,
        silent="tool",
        spare=20,
        capacity=1_000,
        details=(
            *("wear_use", "wear_hour", "used", "business_cost"),
            *(("section_179", "bonus") if with_classes else ()),
            *(column.name for column in shown[1:]),
            *("later", "taken", "gain"),
        ),
        workings=(
            *_STEPS,
            *(_CLASS_STEPS if with_classes else ()),
            *(column.name for column in behind),
        ),
    )


_STEPS = (
    *("slip_gap", "first_year", "last_year", "used_method", "most", "written", "at_once"),
    "used_convention",
    *("convention_key", "first_months", "sale_share", "use_months", "by_use"),
)
_CLASS_STEPS = (
    *("half_or_less", "tax_class", "quarter", "qualifying", "wanted_179", "tested", "basis"),
)
"""Steps on the way to a year's amount, which nobody asks for."""
_STATES = (
    "over the limit: it costs too much to be expensed. no convention, nothing before: a past year's"
    " convention or depreciation is not typed. listed property: a road vehicle, of which nothing is"
    " worked out."
)
_PLAIN_STATES = "nothing before: what was written off in past years is not typed."


def sheet_for(terms: Terms) -> Sheet:
    """The sheet with so many years; a country without a form knows no tax classes."""
    with_classes = terms.tax == "us"
    serve = "the tax form" if with_classes else "the books"
    elect = (
        " A class without bonus elects out of it, also for what section 179 leaves. Not worked out:"
        " listed property and recapture; see Checks."
    )
    return Sheet(
        "Tool depreciation",
        f"Wear serves the prices, the years {serve}." + (elect if with_classes else ""),
        (_table(with_classes, terms.tool_years),),
        after="Statements",
        group="books",
    )


BOUGHT_THIS_YEAR = x.total("Tool depreciation", "cost", *in_year("in_service"))
EXPENSED = x.total("Tool depreciation", "year_0", x.where("used_method", "=", "expensed"))
WRITTEN_DOWN = x.total("Tool depreciation", "year_0", x.where("used_method", "<>", "expensed"))
NEW_BY_LIFE = x.total(
    "Tool depreciation", "year_0", first_year=setting.year, used_method="straight line"
) + x.total("Tool depreciation", "year_0", first_year=setting.year, used_method="declining balance")
"""By months over a life of the maker's own, of tools put to work this year: it is a method of
books; the form writes off a class (Publication 946, chapter 4)."""
GAINS = x.total("Tool depreciation", "gain")
