"""From the profit of the rows of the Sales ledger to the profit of the year, step by step."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import LineRow, heading, line
from notchbook.sheets.kit.settings import in_year
from notchbook.sheets.tax.year_lines import year_line


def _of_sales(column: str) -> x.Expression:
    return x.total("Sales ledger", column, *in_year())


def preparer_rows(tax: str) -> tuple[LineRow, ...]:
    """What whoever prepares the return asks: why both profits differ, and slips without a receipt.

    A row's profit takes the full cost of its pieces, with labor and overhead at the shop's rates;
    the year's takes what was paid.
    """
    of_form = tax == "us"
    charged = _of_sales("fee") + _of_sales("postage")
    other = year_line("other_income")
    expenses = year_line("total_expenses") - charged
    return (
        heading("From the profit of the sales to the profit of the year"),
        line("bridge_sales", "profit of the rows of Sales ledger", show.MONEY, _of_sales("profit")),
        line(
            "bridge_cost",
            "plus full cost of the pieces sold",
            show.MONEY,
            _of_sales("cost"),
            "materials, labor and overhead at your rates, wear, packaging: what was really paid"
            " comes below in its place",
        ),
        line(
            "bridge_estimated",
            "plus fees and postage that are estimated only",
            show.MONEY,
            _of_sales("fee_taken") + _of_sales("postage_taken") - charged,
            "no cost of the year until they are typed as charged",
        ),
        line(
            "bridge_other",
            "plus other income",
            show.MONEY,
            other + 0 if of_form else other + year_line("tool_gains"),
        ),
        line("bridge_goods", "less cost of goods sold", show.MONEY, year_line("goods_sold") + 0),
        line(
            "bridge_expenses",
            "less other expenses",
            show.MONEY,
            expenses if of_form else expenses - year_line("goods_sold"),
            "all but the fees and postage typed in the rows",
        ),
        line("bridge_home", "less use of the home", show.MONEY, year_line("home") + 0),
        line(
            "bridge_profit",
            "profit of the year",
            show.MONEY,
            x.SumLines(
                "Year-end", ("bridge_sales", "bridge_cost", "bridge_estimated", "bridge_other")
            )
            - x.SumLines("Year-end", ("bridge_goods", "bridge_expenses", "bridge_home")),
            "the same as above; Checks compares them",
        ),
        heading("Slips"),
        line(
            "slips_without_receipt",
            "slips without a receipt's number",
            show.COUNT,
            x.count("Purchases", "amount", *in_year())
            - x.count("Purchases", "amount", *in_year(), x.where("receipt", "<>", "")),
            "filter receipt on Purchases; the command ledgers lists them",
        ),
    )
