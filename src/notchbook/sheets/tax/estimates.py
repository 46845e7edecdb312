"""What the year's profit asks for: use of the home, self-employment tax, payments, sales tax."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import LineRow, heading, line
from notchbook.sheets.kit.settings import in_year, setting, to_money
from notchbook.sheets.ledgers.channels import QUARTERS
from notchbook.sheets.ledgers.money import how_many, paid_on
from notchbook.sheets.tax.tax_tables import figure
from notchbook.sheets.tax.year_lines import year_line


def home_rows(tax: str) -> tuple[LineRow, ...]:
    """The claim for the use of the home: typed, or area at the simplified rate up to its cap."""
    typed: x.Expression = setting.home_use + 0
    if tax == "none":
        return _claimed(typed, "typed on Settings")
    by_area = to_money(
        x.call("MIN", setting.home_area, figure("home", "greatest area"))
        * figure("home", "rate a square foot")
    )
    return _claimed(
        when(setting.home_use > 0, typed, by_area),
        "typed on Settings, else the area at the simplified rate, up to its greatest area",
    )


def _claimed(claimed: x.Expression, note: str) -> tuple[LineRow, ...]:
    return (
        heading("Use of the home"),
        line("home_claimed", "business use of the home, claimed", show.MONEY, claimed, note),
    )


TOLD_FIRST = frozenset({"set_aside", "payment", "payment_least", "tax_owed", "use_tax_owed"})
"""What a maker asks first of all that is no line of the form."""


def estimate_rows(tax: str) -> tuple[LineRow, ...]:
    """Everything below the result that is no line of the form."""
    return (*(_self_employment() if tax == "us" else ()), *_sales_tax(), *_statements())


def _self_employment() -> tuple[LineRow, ...]:
    def rate(key: str) -> x.Expression:
        return figure("self-employment", key)

    counted = year_line("net_profit") * rate("share of profit that counts")
    least = figure("estimated tax", "least owed")
    room = x.call("MAX", rate("wage base") - setting.other_wages, 0)
    return (
        heading("Estimates: self-employment tax, and what to set aside"),
        line(
            "se_earnings",
            "self-employment: earnings that count",
            show.MONEY,
            when(counted < rate("least earnings"), 0, to_money(counted)),
            "the share of line 31 that counts; nothing below the least earnings",
        ),
        line(
            "se_social",
            "self-employment: social security",
            show.MONEY,
            to_money(x.call("MIN", year_line("se_earnings"), room) * rate("social security")),
            "up to the year's wage base, less other wages (Settings)",
        ),
        line(
            "se_medicare",
            "self-employment: medicare",
            show.MONEY,
            to_money(year_line("se_earnings") * rate("medicare")),
            "without additional medicare tax on high incomes; Checks says where it may be due",
        ),
        line(
            "se_tax",
            "self-employment tax",
            show.MONEY,
            year_line("se_social") + year_line("se_medicare"),
        ),
        line(
            "se_half",
            "self-employment tax: deductible half",
            show.MONEY,
            to_money(year_line("se_tax") * rate("deductible share")),
            "from your income, not on this form",
        ),
        line(
            "income_tax",
            "income tax at your own guess",
            show.MONEY,
            to_money(
                x.call("MAX", year_line("net_profit") - year_line("se_half"), 0)
                * setting.income_tax_rate
            ),
            "line 31 less the deductible half, at the rate on Settings; other deductions, such as"
            " the one for business income, are not worked out",
        ),
        line(
            "set_aside", "to set aside", show.MONEY, year_line("se_tax") + year_line("income_tax")
        ),
        line(
            "payment",
            "to set aside: each of four payments",
            show.MONEY,
            when(year_line("set_aside") < least, 0, to_money(year_line("set_aside") * _PART)),
            "by the profit to date, so early ones come out low; 0 where the year's tax is below"
            " the least for which payments are asked (26 U.S.C. 6654(e)(1))",
        ),
        line(
            "payment_least",
            "each of four payments, at least",
            show.MONEY,
            when(
                x.blank(setting.last_year_tax),
                0,
                to_money(setting.last_year_tax * _SHARE_OF_LAST_YEAR * _PART),
            ),
            "what avoids a penalty whatever this year brings, less what is held back from wages:"
            " last year's tax, and a tenth more after a high income; 0 where none is typed on"
            " Settings (26 U.S.C. 6654(d)(1))",
        ),
        *(
            line(
                f"payment_{n}",
                f"payment {n} due",
                show.DATE,
                x.least("Tax tables", "first", *_payment(f"payment {n}")),
            )
            for n in range(1, 5)
        ),
    )


def _payment(key: str) -> tuple[x.Where, ...]:
    return (
        x.where("table", "=", "quarterly payment"),
        x.where("key", "=", key),
        x.where("year_number", "=", setting.year),
    )


_PART = x.total("Tax tables", "value", *_payment("payment 1"))
_SHARE_OF_LAST_YEAR = when(
    (figure("estimated tax", "high income from") > 0)
    & (setting.last_year_income > figure("estimated tax", "high income from")),
    figure("estimated tax", "share of last year, high income"),
    figure("estimated tax", "share of last year"),
)


def _sales_tax() -> tuple[LineRow, ...]:
    collected = x.total("Sales ledger", "sales_tax", *in_year())
    own = year_line("tax_1") + year_line("tax_2") + year_line("tax_3") + year_line("tax_4")
    return (
        heading("Sales tax"),
        *(
            line(
                f"tax_{n}",
                f"sales tax of {name}: due from you",
                show.MONEY,
                x.total("Tiers", f"tax_{n}"),
                "collected through channels that leave it to you" if n == 1 else "",
            )
            for n, name in enumerate(QUARTERS, 1)
        ),
        *(
            each
            for n, name in enumerate(QUARTERS, 1)
            for each in (
                line(
                    f"taxed_{n}",
                    f"sales of {name} with sales tax",
                    show.MONEY,
                    _of_quarter("taxed", name),
                    "pieces × price less discounts and returns" if n == 1 else "",
                ),
                line(
                    f"untaxed_{n}",
                    f"sales of {name} without sales tax",
                    show.MONEY,
                    _of_quarter("untaxed", name),
                ),
            )
        ),
        line("tax_collected", "sales tax collected in all", show.MONEY, collected),
        line(
            "tax_by_others",
            "sales tax paid on by marketplaces",
            show.MONEY,
            to_money(collected - own),
            "also what stands on a tier that is not on Settings",
        ),
        line(
            "tax_paid",
            "sales tax paid to the tax office",
            show.MONEY,
            paid_on("sales tax paid"),
            "Money: sales tax paid; never an expense",
        ),
        line(
            "tax_owed",
            "sales tax still owed",
            show.MONEY,
            own - year_line("tax_paid"),
            "what is due from you, less what was paid this year",
        ),
        line(
            "tax_overdue",
            "sales tax of past quarters still owed",
            show.MONEY,
            _overdue(),
            "of quarters that another has followed, where Money is kept",
        ),
        line(
            "use_tax_due",
            "use tax on slips",
            show.MONEY,
            x.total("Purchases", "use_tax", *in_year()),
            "part of the cost of what was bought; owed until it is paid",
        ),
        line(
            "use_tax_paid",
            "use tax paid to the tax office",
            show.MONEY,
            paid_on("use tax paid"),
            "Money: use tax paid; not an expense a second time",
        ),
        line(
            "use_tax_owed",
            "use tax still owed",
            show.MONEY,
            year_line("use_tax_due") - year_line("use_tax_paid"),
        ),
    )


def _overdue() -> x.Expression:
    """What is due from you of quarters that another one has followed, less what was paid.

    0 where no account is opened on Money, as nothing says then what was paid.
    """
    due: x.Expression = x.as_node(0)
    for n, following in enumerate(QUARTERS[1:], 1):
        over = setting.as_of >= x.look_up("Months and channels", "end", label=following)
        due = due + when(over, year_line(f"tax_{n}"), 0)
    owed = to_money(due - year_line("tax_paid"))
    return when((how_many("opening") > 0) & (owed > setting.tolerance), owed, 0)


def _of_quarter(column: str, name: str) -> x.Expression:
    return x.look_up("Months and channels", column, label=name)


def _statements() -> tuple[LineRow, ...]:
    reported = x.total("Statements", "gross")
    return (
        heading("Statements of payment platforms"),
        line(
            "reported",
            "platforms: reported",
            show.MONEY,
            reported,
            "the gross of all rows on Statements",
        ),
        line(
            "reported_ledger",
            "platforms: in the ledger",
            show.MONEY,
            x.total("Statements", "ledger"),
        ),
        line(
            "reported_tax",
            "platforms: sales tax in what they report",
            show.MONEY,
            x.total("Statements", "tax_in_it"),
            "no part of sales",
        ),
        line(
            "reported_gap",
            "platforms: reported - ledger",
            show.MONEY,
            year_line("reported") - year_line("reported_ledger") - year_line("reported_tax"),
            "0, or a sale is missing here or there",
        ),
    )
