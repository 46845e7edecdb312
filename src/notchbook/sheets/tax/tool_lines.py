"""The lines of Year-end that sum up the tools: section 179, the convention, what was sold."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import LineRow, heading, line
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.tax.tax_tables import constant, figure
from notchbook.sheets.tax.tool_depreciation import GAINS, NEW_BY_LIFE, WRITTEN_DOWN
from notchbook.sheets.tax.year_lines import year_line

_TOOLS = "Tool depreciation"
_NEW = x.where("first_year", "=", setting.year)
_LAST_QUARTER = x.where("quarter", "=", x.Unit("year") / x.Unit("quarter"))
_BY_FORM = WRITTEN_DOWN - NEW_BY_LIFE
DEPRECIATION = _BY_FORM - year_line("elected_179") + year_line("taken_179")


def _over(value: x.Expression) -> x.Expression:
    """The value, or 0 where it is below."""
    return x.call("MAX", value, 0)


def form_rows(other_expenses: tuple[str, ...]) -> tuple[LineRow, ...]:
    """How line 13 comes about; `other_expenses` names the lines of Part II without it."""
    before_179 = (
        year_line("gross_income")
        - x.SumLines("Year-end", other_expenses)
        - (_BY_FORM - year_line("elected_179"))
    )
    return (
        heading("Tools: how line 13 is worked out (Form 4562)"),
        line(
            "qualifying_tools",
            "class property placed in service this year",
            show.MONEY,
            x.total(_TOOLS, "qualifying"),
            "by business share; tools sold in the same year left out",
        ),
        line(
            "limit_179",
            "section 179: limit of the year",
            show.MONEY,
            _over(
                figure("section 179", "limit")
                - _over(year_line("qualifying_tools") - figure("section 179", "phase-out from"))
            ),
            "the limit in law, less the amount by which the year's tools exceed the threshold",
        ),
        line(
            "wanted_179",
            "section 179: asked for",
            show.MONEY,
            x.total(_TOOLS, "wanted_179", _NEW),
            "the parts elected of this year's tools",
        ),
        line(
            "elected_179",
            "section 179: chosen",
            show.MONEY,
            x.total(_TOOLS, "section_179", _NEW),
            "at most the limit; the rest of the cost goes through its class",
        ),
        line(
            "last_quarter",
            "new basis of the last quarter",
            show.PERCENT,
            x.total(_TOOLS, "tested", _LAST_QUARTER) / x.total(_TOOLS, "tested"),
            "after section 179, before bonus",
        ),
        line(
            "convention_of_year",
            "convention of this year's tools",
            show.WORD,
            when(
                year_line("last_quarter")
                > constant("mid-quarter test", "share of the last quarter"),
                "mid-quarter",
                "half-year",
            ),
            "type it beside the tools once the year is closed; it stays theirs",
        ),
        line("bonus_taken", "bonus depreciation", show.MONEY, x.total(_TOOLS, "bonus", _NEW)),
        line(
            "class_depreciation",
            "other depreciation",
            show.MONEY,
            _BY_FORM - year_line("elected_179") - year_line("bonus_taken"),
            "tax classes, units of use, and by life what past years began so",
        ),
        line(
            "before_179",
            "profit before section 179",
            show.MONEY,
            before_179 - x.call("MIN", year_line("home_claimed"), _over(before_179)),
            "with the use of the home, as far as the profit carries it",
        ),
        line(
            "profit_limit_179",
            "section 179: limit by profit",
            show.MONEY,
            _over(year_line("before_179") + setting.other_earned),
            "profit before section 179 and other earned income (Settings)",
        ),
        line(
            "taken_179",
            "section 179: taken",
            show.MONEY,
            x.call(
                "MIN", year_line("elected_179") + setting.carried_179, year_line("profit_limit_179")
            ),
            "with what was carried in (Settings)",
        ),
        line(
            "carried_out_179",
            "section 179: carried to next year",
            show.MONEY,
            year_line("elected_179") + setting.carried_179 - year_line("taken_179"),
            "type it on next year's Settings",
        ),
        line(
            "tool_gains",
            "gain or loss on tools sold",
            show.MONEY,
            GAINS,
            "belongs on Form 4797, not on this form",
        ),
    )


def plain_rows() -> tuple[LineRow, ...]:
    """What a country without a form shows of the tools."""
    return (
        heading("Tools"),
        line("book_values", "book value at the end", show.MONEY, x.total(_TOOLS, "book_value")),
    )
