"""Totals that must tie, and balances that cannot be below nothing."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.checks.kept_sums import KEPT_SUMS
from notchbook.sheets.checks.lines import added, none_of, states, tie
from notchbook.sheets.kit.declare import LineRow
from notchbook.sheets.kit.settings import YEAR_END, in_year, setting, to_money
from notchbook.sheets.ledgers.accounts import BY_ACCOUNT, MISSING, NEVER_OPENED, TOO_MUCH
from notchbook.sheets.ledgers.money import money_line, paid_on
from notchbook.sheets.ledgers.sales_totals import goods_value, returned_value, sold_value
from notchbook.sheets.ledgers.slip_totals import slip_costs
from notchbook.sheets.tax.goods import (
    BOOKS_LEFT,
    CLOSING,
    CLOSING_TAKEN,
    GOODS,
    IS_WHOLE,
    OPENING,
    OWN_USE,
    UNCOUNTED_PIECES,
    UNCOUNTED_STOCKS,
)
from notchbook.sheets.tax.tax_tables import figure
from notchbook.sheets.tax.tool_depreciation import BOUGHT_THIS_YEAR, EXPENSED, GAINS
from notchbook.sheets.tax.year_end import DRIVES, FEES, MILES, POSTAGE
from notchbook.sheets.tax.year_lines import year_line


def _of_kind(kind: str) -> x.Expression:
    return x.total("Months and channels", "sales", kind=kind) - x.total(
        "Months and channels", "returns", kind=kind
    )


def _bought(category: str) -> x.Expression:
    return slip_costs(x.where("category", "=", category), *in_year())


def _proceeds_less_ledger(table: str) -> x.Expression:
    return x.total(table, "proceeds") - x.total("Sales ledger", "proceeds", *in_year())


_NOT_OK = x.where("ok", "<>", "yes")
_NET_SALES = sold_value(*in_year()) - returned_value(*in_year())

_VALUED_BETWEEN = x.count(
    "Counts", "value", x.where("count", "=", "between"), x.where("value", ">", 0)
)
_CLOSING_DUE = setting.stock_method.equals("inventory") & (
    (setting.as_of >= YEAR_END) | CLOSING_TAKEN | (_VALUED_BETWEEN > 0)
)


def _profit_again(tax: str) -> x.Expression:
    """The year's profit by the ledgers, past the lines of the form."""
    of_form = tax == "us"
    meals = _bought("meals")
    counted = slip_costs(*in_year()) - _bought("tools") - _bought("personal")
    if of_form:
        counted = counted - meals + to_money(meals * figure("share", "meals")) + MILES + EXPENSED
    else:
        counted = counted + DRIVES - GAINS
    before = (
        _NET_SALES
        + setting.other_income
        + paid_on("other income")
        - counted
        - (OPENING - OWN_USE - CLOSING)
        - FEES
        - POSTAGE
        - year_line("depreciation")
    )
    claimed = year_line("home_claimed")
    return before - (x.call("MIN", claimed, x.call("MAX", before, 0)) if of_form else claimed)


_TIES = (
    tie(
        "sales_by_month",
        "sales by month = Sales ledger",
        _of_kind("month") - _NET_SALES,
        "Months and channels, Sales ledger",
    ),
    tie(
        "sales_by_channel",
        "sales by channel = Sales ledger",
        _of_kind("channel") - _NET_SALES,
        "Sales ledger: tiers that are not on Settings; a new channel needs a compile",
    ),
    tie(
        "sales_by_project",
        "sales by project = Sales ledger",
        _of_kind("project") - _NET_SALES,
        "Sales ledger: rows whose project is not on Projects; a new project needs a compile",
    ),
    tie(
        "sales_by_tier",
        "sales by tier = Sales ledger",
        _of_kind("tier") - _NET_SALES,
        "Sales ledger: tiers that are not on Settings; a new tier needs a compile",
    ),
    tie(
        "sales_by_quarter",
        "sales by quarter = sales by month",
        _of_kind("quarter") - _of_kind("month"),
        "Months and channels",
    ),
    tie(
        "results_by_project",
        "proceeds by project = Sales ledger",
        _proceeds_less_ledger("Results by project"),
        "Results; Sales ledger: rows whose project is not on Projects; compile again",
    ),
    tie(
        "results_by_channel",
        "proceeds by channel = Sales ledger",
        _proceeds_less_ledger("Results by channel"),
        "Results; Sales ledger: tiers that are not on Settings; compile again",
    ),
    tie(
        "goods_of_projects",
        "goods sold by project = Sales ledger",
        x.total("Projects", "income", x.where("batch", ">=", 1)) - goods_value(*in_year()),
        "Projects, behind the +: sales this year",
    ),
    tie(
        "purchases_by_category",
        "purchases by category = Purchases",
        x.total("Months and channels", "spent", kind="category") - slip_costs(*in_year()),
        "Purchases: rows whose category is not on Months and channels",
    ),
    tie(
        "tools_bought",
        "tools bought = tools put in service this year",
        slip_costs(*in_year(), x.where("category", "=", "tools")) - BOUGHT_THIS_YEAR,
        "Purchases of the category tools, Tool depreciation: cost and in service",
        names=x.count("Tool depreciation", "slip_gap", x.where("slip_gap", ">", 0))
        + x.count("Tool depreciation", "slip_gap", x.where("slip_gap", "<", 0)),
    ),
    tie(
        "goods",
        "opening stock + purchases = own use + used + closing stock",
        OPENING
        + added([_bought(category) for category in GOODS])
        - OWN_USE
        - year_line("goods_sold")
        - year_line("closing_stock"),
        "Year-end: cost of goods; Counts, Purchases",
    ),
    tie(
        "money",
        "money in the accounts = what the ledgers say",
        money_line("gap") + 0,
        "Money: a row is missing there, in Sales ledger or in Purchases; payouts that a platform"
        " still holds are part of the difference",
    ),
    none_of(
        "accounts",
        "accounts whose money does not tie, one by one",
        states(BY_ACCOUNT, NEVER_OPENED, MISSING, TOO_MUCH),
        "Statements, By account: state; a transfer, a row or an opening is missing, or an account"
        " is misspelled",
    ),
    none_of(
        "filed_changed",
        "lines of Year-end that differ from what was filed",
        year_line("filed_changed") + 0,
        "Year-end: as filed, differs; amend the return, or put right what was changed",
        names=year_line("filed_changed"),
    ),
    tie(
        "carried_stock",
        "stock at the beginning = last year's at the end",
        when(x.blank(setting.carried_stock), 0, OPENING - setting.carried_stock),
        "Settings: last year's closing stock, as filed; Counts: opening count",
    ),
    tie(
        "goods_beyond",
        "materials sold beyond what there was",
        when(
            setting.stock_method.equals("materials") & ~IS_WHOLE,
            x.call("MAX", setting.written_off - year_line("book_stock"), 0),
            0,
        ),
        "Counts: opening count; Purchases: slips that are missing; Settings: stock written off",
    ),
    tie(
        "books_left",
        "stock by the books = what is left of each stock and project",
        year_line("book_stock") - BOOKS_LEFT,
        "Stock and Projects, behind the +: left by the books; compile again",
    ),
    *KEPT_SUMS,
    none_of(
        "sold_before_made",
        "projects sold before they were made, by run",
        x.count("Production log", "before", x.where("before", "<", 0)),
        "Production log, behind the +: on hand before; Sales ledger: dates; Counts: opening count",
    ),
    none_of(
        "finished_counted",
        "projects whose closing count is not what is expected",
        x.count("Projects", "uncounted", x.where("uncounted", ">", 0))
        + x.count("Projects", "uncounted", x.where("uncounted", "<", 0)),
        "Projects, behind the +: counted minus expected; Counts",
    ),
    none_of(
        "closing_stock_uncounted",
        "stocks without a closing count, under the stock method inventory",
        when(_CLOSING_DUE, UNCOUNTED_STOCKS, 0),
        "Stock, behind the +: not counted; Counts: date them on the last day of the year, or a day"
        " beside it",
    ),
    none_of(
        "closing_pieces_uncounted",
        "projects without a closing count, under the stock method inventory",
        when(_CLOSING_DUE, UNCOUNTED_PIECES, 0),
        "Projects, behind the +: finished on hand; Counts: date them on the last day of the year",
    ),
    none_of(
        "finished_below_zero",
        "projects with more sold than made",
        x.count("Projects", "finished", x.where("finished", "<", 0)),
        "Projects, behind the +: finished on hand",
    ),
    none_of(
        "statements",
        "statements that differ from the ledger",
        x.count("Statements", "difference", x.where("difference", ">=", setting.tolerance), _NOT_OK)
        + x.count(
            "Statements", "difference", x.where("difference", "<=", -setting.tolerance), _NOT_OK
        ),
        "Statements: difference; a sale is missing, or write ok where it is right",
    ),
)


def ties(tax: str) -> tuple[LineRow, ...]:
    """All of them, as the form or the categories of a country want them."""
    return (
        tie(
            "profit_again",
            "profit by the ledgers = profit on Year-end",
            _profit_again(tax) - year_line("net_profit"),
            "Year-end: a line that a number was typed over; Purchases: a category that is none",
        ),
        *_TIES,
        tie(
            "bridge",
            "profit of the sales, step by step = profit of Year-end",
            year_line("bridge_profit") - year_line("net_profit"),
            "Year-end: from the profit of the sales; rows typed below Sales ledger need a compile",
        ),
        _car_twice(tax),
    )


def _car_twice(tax: str) -> LineRow:
    """Drives at a rate and real costs are two ways to the same deduction, of which one counts.

    Instructions for Schedule C, line 9: the standard mileage rate or actual expenses.
    """
    drives = x.total("Mileage", "miles", *in_year())
    counted = drives if tax == "us" else drives * setting.mile_rate
    return none_of(
        "car_twice",
        "drives at a rate and real costs of the car in one year",
        when((counted > 0) & (_bought("car") > 0), 1, 0),
        "Mileage, Purchases of the category car: only one of them counts; parking and tolls have a"
        " category of their own",
    )
