"""What only a tax form asks: elections, shares and figures of its own, and lines for all slips."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.checks.lines import added, none_of, notice, states
from notchbook.sheets.kit.declare import LineRow
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.ledgers.months_and_channels import PERSON
from notchbook.sheets.tax.tax_tables import FIGURES_OF_A_YEAR, NOT_CHECKED, figure, known
from notchbook.sheets.tax.year_lines import year_line

_TOOLS = "Tool depreciation"


def _half_or_less(*methods: str) -> x.Expression:
    return added(
        [x.total(_TOOLS, "half_or_less", x.where("used_method", "=", each)) for each in methods]
    )


_TIES = (
    none_of(
        "business_use",
        "tools under section 179 or bonus used half or less for the business",
        _half_or_less("section 179", "bonus"),
        "Tool depreciation: business share. Section 179 and most bonus want more than half; what"
        " fell to half or less may have to be given back (recapture): ask a preparer",
    ),
    none_of(
        "safe_harbour",
        "tools expensed above the safe harbor (yearly election)",
        states(_TOOLS, "over the limit"),
        "Tool depreciation: expensing small tools is a yearly election (de minimis safe harbor);"
        " what costs more goes through section 179 or a class",
    ),
)
_ROWS = (
    none_of(
        "table_columns",
        "depreciation percentages that do not add up to 100",
        x.count("Tax tables", "column_gap", x.where("column_gap", ">", 0))
        + x.count("Tax tables", "column_gap", x.where("column_gap", "<", 0)),
        "Tax tables: each column = 100%",
    ),
    none_of(
        "categories",
        "categories without a line of the form",
        x.count(
            "Months and channels",
            "line",
            x.where("kind", "=", "category"),
            x.where("line", "=", "no line"),
            x.where("category", "<>", "tools"),
            x.where("category", "<>", "personal"),
        ),
        "Months and channels: line",
    ),
)

_MISSING_FIGURES = added([when(known(*each).equals(0), 1, 0) for each in FIGURES_OF_A_YEAR])
_ADDITIONAL_MEDICARE = figure("additional medicare", "from")
_NOTICES = (
    notice(
        "conventions_unsaid",
        "tools of past years without their convention",
        states(_TOOLS, "no convention"),
        "Tool depreciation: convention (half-year is taken); from last year's return",
    ),
    notice(
        "business_half",
        "tools of a tax class used half or less for the business",
        _half_or_less("macrs 3", "macrs 5", "macrs 7"),
        "Tool depreciation: business share. Listed property, such as a car, then goes by straight"
        " line over a longer life, which is not worked out here: ask a preparer",
    ),
    notice(
        "year_figures",
        "published figures that are not known for the year",
        _MISSING_FIGURES,
        "what needs them stands at 0 until they are: mileage, meals, section 179,"
        " the home by area, self-employment tax, payments",
    ),
    notice(
        "figures_unchecked",
        "tax figures of the year not yet compared with their document",
        states("Tax tables", NOT_CHECKED) + 0,  # too many to name
        "Tax tables: state; compare those that you use with their source before you file",
    ),
    notice(
        "people_to_report",
        "people paid for work whose payments may have to be reported",
        x.count(
            "Months and channels",
            "spent",
            x.where("kind", "=", PERSON),
            x.where("spent", ">=", figure("contract labor", "report from")),
            x.where("spent", ">", 0),
        ),
        "Months and channels: purchases of each person, from the amount on Tax tables on; who is"
        " paid by card or is a corporation may not count (Instructions for Forms 1099-MISC and"
        " 1099-NEC)",
    ),
    notice(
        "high_income",
        "profit and wages from which additional medicare tax may be due",
        when(
            (_ADDITIONAL_MEDICARE > 0)
            & (year_line("net_profit") + setting.other_wages > _ADDITIONAL_MEDICARE),
            1,
            0,
        ),
        "Year-end: self-employment tax is without it, and it depends on how you file: ask a"
        " preparer",
    ),
)


def form_ties(tax: str) -> tuple[LineRow, ...]:
    """What must not be, by the form's own limits."""
    return _TIES if tax == "us" else ()


def form_rows(tax: str) -> tuple[LineRow, ...]:
    """Rows that the form has no place for."""
    return _ROWS if tax == "us" else ()


def form_notices(tax: str) -> tuple[LineRow, ...]:
    """What is worth knowing before the form is filed."""
    return _NOTICES if tax == "us" else _PLAIN_NOTICES


_PLAIN_NOTICES = (
    notice(
        "drives_without_rate",
        "drives that cost nothing, as Settings hold no rate for them",
        when(setting.mile_rate.equals(0), x.count("Mileage", "miles", x.where("miles", ">", 0)), 0),
        "Settings: rate of drives",
    ),
)
