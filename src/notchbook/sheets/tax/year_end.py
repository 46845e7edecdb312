"""Year-end: the lines of the tax form, or income and expense by category."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.sheets.kit import show
from notchbook.sheets.kit.declare import LineRow, Lines, Sheet, heading, line
from notchbook.sheets.kit.discovery import Terms
from notchbook.sheets.kit.settings import in_year, setting, to_money
from notchbook.sheets.ledgers.money import paid_on
from notchbook.sheets.ledgers.sales_totals import returned_value, sold_value
from notchbook.sheets.tax.as_filed import HEADS, with_as_filed
from notchbook.sheets.tax.bridge import preparer_rows
from notchbook.sheets.tax.estimates import estimate_rows, home_rows
from notchbook.sheets.tax.goods import CLOSING, OPENING, OWN_USE, goods_rows
from notchbook.sheets.tax.tax_tables import figure
from notchbook.sheets.tax.tool_depreciation import EXPENSED, GAINS, WRITTEN_DOWN
from notchbook.sheets.tax.tool_lines import DEPRECIATION, form_rows, plain_rows
from notchbook.sheets.tax.typed_over import HEAD, watched
from notchbook.sheets.tax.year_lines import year_line
from notchbook.tax.forms import FormLine, categories, form_lines, lines_not_here, year_of_form

CAUTION = {
    "us": "Bookkeeping help, no tax advice. Check each line against the form's own instructions and"
    " ask a licensed preparer.",
    "none": "Bookkeeping help, no tax advice. Check with the rules of your tax office, or ask a"
    " licensed adviser.",
}


def basis(tax: str, year: int) -> str:
    """Say what the amounts rest on, and where the line numbers are those of another year."""
    numbered = year_of_form(tax, year)
    if numbered in (0, year):
        return BASIS
    return f"{BASIS} The form of {year} is not known here: line numbers are those of {numbered}."


BASIS = "Cash basis: a sale counts on the day it is paid, a deposit when it is received."


def _of_category(category: str) -> x.Expression:
    return x.total("Months and channels", "spent", category=category)


def _by_categories(name: str, country: str) -> x.Expression:
    """What was bought under the categories that belong to a line."""
    result: x.Expression | None = None
    for each in categories(country):
        if each.line == name:
            spent = _of_category(each.category)
            result = spent if result is None else result + spent
    if result is None:
        raise ValueError(f"no category belongs to the line {name!r}")
    return result


FEES = x.total("Sales ledger", "fee", *in_year())
POSTAGE = x.total("Sales ledger", "postage", *in_year())
MILES = x.total("Tax tables", "amount", x.where("table", "=", "mileage"))
DRIVES = to_money(x.total("Mileage", "miles", *in_year()) * setting.mile_rate)


def _form_rules(lines: tuple[FormLine, ...]) -> dict[str, x.Expression]:
    """The rules of lines that are no plain sum of categories."""
    second = [each.name for each in lines if each.part == "II"]
    expenses = tuple(second[: second.index("total_expenses")])
    third = ("opening_stock", "purchases", "materials", "other_costs")
    by = {
        name: _by_categories(name, "us")
        for name in ("car", "commissions", "office", "supplies", "meals", "purchases")
    }
    return {
        "gross_receipts": sold_value(*in_year()),
        "returns": returned_value(*in_year()),
        "net_receipts": year_line("gross_receipts") - year_line("returns"),
        "cost_of_goods": year_line("goods_sold") + 0,
        "gross_profit": year_line("net_receipts") - year_line("cost_of_goods"),
        "other_income": setting.other_income + paid_on("other income"),
        "gross_income": year_line("gross_profit") + year_line("other_income"),
        "car": by["car"] + MILES,
        "commissions": by["commissions"] + FEES,
        "depreciation": DEPRECIATION,
        "office": by["office"] + POSTAGE,
        "supplies": by["supplies"] + EXPENSED,
        "meals": to_money(by["meals"] * figure("share", "meals")),
        "total_expenses": x.SumLines("Year-end", expenses),
        "tentative_profit": year_line("gross_income") - year_line("total_expenses"),
        "home": x.call(
            "MIN", year_line("home_claimed"), x.call("MAX", year_line("tentative_profit"), 0)
        ),
        "net_profit": year_line("tentative_profit") - year_line("home"),
        "opening_stock": OPENING,
        "purchases": by["purchases"] - OWN_USE,
        "goods_available": x.SumLines("Year-end", third),
        "closing_stock": CLOSING,
        "goods_sold": year_line("goods_available") - year_line("closing_stock"),
    }


_NOTES = {
    "gross_receipts": "paid this year; postage charged is in it, sales tax is not",
    "commissions": "fees as really charged in the ledger, and slips of the category fees",
    "office": "slips of office and postage, and postage as really paid in the ledger",
    "supplies": "slips of supplies and packaging, and tools written off at once",
    "depreciation": "from Tool depreciation; see how it comes about below",
    "meals": "at the share that may be deducted",
    "car": "mileage at the standard rate, parking and tolls; slips of the category car only in"
    " place of mileage",
    "opening_stock": "what Counts values on the first day, or the day before",
    "closing_stock": "what Counts values on the last day, or a day beside it, where that is whole;"
    " else, by the stock method: materials the books, inventory what was counted",
    "purchases": "slips of materials and hardware, less what was kept for own use",
    "home": "as claimed below, at most the profit before it",
}
_BY_YOU = "on the form itself, where you have any; nothing here feeds these lines"
_PARTS = {"I": "Part I, income", "II": "Part II, expenses", "III": "Part III, cost of goods sold"}


_Rows = tuple[LineRow, ...]


def _form(year: int) -> tuple[_Rows, _Rows]:
    """The rows of the return with how they come about, and those below them."""
    lines = form_lines("us", year)
    rules = _form_rules(lines)
    rows: list[LineRow] = []
    part = ""
    for each in lines:
        if each.part != part:
            part = each.part
            rows.append(heading(_PARTS[part]))
        rule = rules[each.name] if each.name in rules else _by_categories(each.name, "us")
        rows.append(
            line(each.name, each.label, show.MONEY, rule, _NOTES.get(each.name, ""), each.number)
        )
    second = [each.name for each in lines if each.part == "II"]
    expenses = second[: second.index("total_expenses")]
    others = tuple(name for name in expenses if name != "depreciation")
    of_return = (
        LineRow(basis("us", year)),
        *rows,
        heading("Lines you fill in yourself"),
        *(
            LineRow(label, note="" if n else _BY_YOU, mark=number)
            for n, (label, number) in enumerate(lines_not_here("us", year))
        ),
        *form_rows(others),
        *home_rows("us"),
        *goods_rows(),
    )
    return of_return, (*estimate_rows("us"), *preparer_rows("us"))


def _by_category() -> tuple[_Rows, _Rows]:
    """Income, goods and expenses by category, for a country without a form; what stands below."""
    used = [each for each in categories("none") if each.category not in ("tools", "personal")]
    names = {each.category: each.category.replace(" ", "_") for each in used}
    goods = tuple(names[each.category] for each in used if each.line == "goods")
    others = tuple(names[each.category] for each in used if each.line != "goods")
    spent = {
        names[each.category]: line(
            names[each.category], each.category, show.MONEY, _of_category(each.category)
        )
        for each in used
    }
    expenses = ("goods_sold", *others, "charged_fees", "paid_postage", "drives", "depreciation")
    rules = _income_rules()
    of_return = (
        LineRow(BASIS),
        heading("Income"),
        *(
            line(name, label, show.MONEY, rules[name], _NOTES.get(name, ""))
            for name, label in _INCOME
        ),
        heading("Cost of goods"),
        line(
            "opening_stock", "stock at the beginning", show.MONEY, OPENING, _NOTES["opening_stock"]
        ),
        *(spent[name] for name in goods),
        line("own_use", "less own use", show.MONEY, OWN_USE),
        line(
            "goods_available",
            "goods available",
            show.MONEY,
            x.SumLines("Year-end", ("opening_stock", *goods)) - year_line("own_use"),
        ),
        line(
            "closing_stock", "less stock at the end", show.MONEY, CLOSING, _NOTES["closing_stock"]
        ),
        line(
            "goods_sold",
            "cost of goods sold",
            show.MONEY,
            year_line("goods_available") - year_line("closing_stock"),
        ),
        heading("Expenses"),
        *(spent[name] for name in others),
        line("charged_fees", "fees charged on sales", show.MONEY, FEES),
        line("paid_postage", "postage paid on sales", show.MONEY, POSTAGE),
        line("drives", "drives", show.MONEY, DRIVES, "Mileage at the rate on Settings"),
        line("depreciation", "tools written off", show.MONEY, WRITTEN_DOWN + EXPENSED),
        line(
            "total_expenses",
            "expenses with cost of goods",
            show.MONEY,
            x.SumLines("Year-end", expenses),
        ),
        heading("Result"),
        line("home", "business use of the home", show.MONEY, year_line("home_claimed") + 0),
        line(
            "net_profit",
            "profit",
            show.MONEY,
            year_line("gross_income") - year_line("total_expenses") - year_line("home"),
        ),
        *home_rows("none"),
        *plain_rows(),
        *goods_rows(),
    )
    return of_return, (*estimate_rows("none"), *preparer_rows("none"))


_INCOME = (
    ("gross_receipts", "sales"),
    ("returns", "less returns"),
    ("other_income", "other income"),
    ("tool_gains", "gain or loss on tools sold"),
    ("gross_income", "income"),
)


def _income_rules() -> dict[str, x.Expression]:
    return {
        "gross_receipts": sold_value(*in_year()),
        "returns": returned_value(*in_year()),
        "other_income": setting.other_income + paid_on("other income"),
        "tool_gains": GAINS,
        "gross_income": year_line("gross_receipts")
        - year_line("returns")
        + year_line("other_income")
        + year_line("tool_gains"),
    }


def sheet_for(terms: Terms) -> Sheet:
    """The Year-end sheet of a country and year."""
    of_return, others = _form(terms.year) if terms.tax == "us" else _by_category()
    rows = with_as_filed(watched((*of_return, *others)), of_return, terms.filed)
    heads = ("what", "amount", HEAD, *(HEADS if terms.filed else ()), "how it is found")
    if terms.tax == "us":
        heads = ("line", *heads)
    return Sheet(
        "Year-end",
        CAUTION[terms.tax],
        (Lines("Year-end", heads, rows),),
        after="Tool depreciation",
        group="books",
        landscape=False,
    )
