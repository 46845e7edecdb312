"""Year-end: the lines of the tax form, or income and expense by category."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    Line,
    SumLines,
    products,
    rounded,
    total,
    where,
)
from notchbook.sheets.counts import COUNTED
from notchbook.sheets.declare import MONEY, LineRow, Lines, Sheet, heading, line
from notchbook.sheets.settings import (
    YEAR_END,
    in_year,
    returned_value,
    setting,
    sold_value,
)
from notchbook.sheets.tool_depreciation import DEPRECIATED, EXPENSED
from notchbook.tax.forms import FormLine, categories, form_lines

CAUTION = (
    "Bookkeeping help, no tax advice. Check each line against the form's own instructions and ask"
    " a licensed preparer."
)


def year_line(name: str) -> Line:
    """A line of the Year-end sheet."""
    return Line("Year-end", name)


def _counted(when_counted: str) -> Expression:
    return total("Counts", "value", *COUNTED[when_counted])


def _of_category(category: str) -> Expression:
    return total("Months and channels", "spent", category=category)


def _share(key: str) -> Expression:
    mine = (where("table", "=", "share"), where("key", "=", key))
    return total(
        "Tax tables", "value", *mine, where("first", "<=", YEAR_END), where("last", ">=", YEAR_END)
    )


def _by_categories(name: str, country: str) -> Expression:
    """What was bought under the categories that belong to a line."""
    result: Expression | None = None
    for each in categories(country):
        if each.line == name:
            spent = _of_category(each.category)
            result = spent if result is None else result + spent
    if result is None:
        raise ValueError(f"no category belongs to the line {name!r}")
    return result


FEES = total("Sales ledger", "fee", *in_year())
POSTAGE = total("Sales ledger", "postage", *in_year())
MILES = total("Tax tables", "amount", where("table", "=", "mileage"))
OWN_USE = products(
    "Sales ledger", ("quantity", "unit_materials"), *in_year(), where("kind", "=", "own use")
)


def _form_rules(lines: tuple[FormLine, ...]) -> dict[str, Expression]:
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
        "other_income": setting("other_income") + 0,
        "gross_income": year_line("gross_profit") + year_line("other_income"),
        "car": by["car"] + MILES,
        "commissions": by["commissions"] + FEES,
        "depreciation": DEPRECIATED,
        "office": by["office"] + POSTAGE,
        "supplies": by["supplies"] + EXPENSED,
        "meals": rounded(by["meals"] * _share("meals"), 2),
        "total_expenses": SumLines("Year-end", expenses),
        "tentative_profit": year_line("gross_income") - year_line("total_expenses"),
        "home": setting("home_use") + 0,
        "net_profit": year_line("tentative_profit") - year_line("home"),
        "opening_stock": _counted("opening"),
        "purchases": by["purchases"] - OWN_USE,
        "goods_available": SumLines("Year-end", third),
        "closing_stock": _counted("closing"),
        "goods_sold": year_line("goods_available") - year_line("closing_stock"),
    }


_NOTES = {
    "gross_receipts": "paid this year; postage charged is in it, sales tax is not",
    "commissions": "fees as really charged in the ledger, and slips of the category fees",
    "office": "slips of office and postage, and postage as really paid in the ledger",
    "supplies": "slips of supplies and packaging, and tools written off at once",
    "depreciation": "from Tool depreciation; tools by preparer are not in it",
    "meals": "at the share that may be deducted",
    "car": "mileage at the standard rate; slips of the category car only in its place",
    "opening_stock": "what Counts values on the first day, or the day before",
    "closing_stock": "what Counts values on the last day, or the day after",
    "purchases": "slips of materials and hardware, less what was kept for own use",
    "home": "typed on Settings",
}
_PARTS = {"I": "Part I, income", "II": "Part II, expenses", "III": "Part III, cost of goods sold"}


def _form(year: int) -> tuple[LineRow, ...]:
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
            line(each.name, each.label, MONEY, rule, _NOTES.get(each.name, ""), each.number)
        )
    return tuple(rows)


def _by_category() -> tuple[LineRow, ...]:
    spent = [each for each in categories("none") if each.category not in ("tools", "personal")]
    names = {each.category: each.category.replace(" ", "_") for each in spent}
    income = year_line("gross_receipts") - year_line("returns") + year_line("other_income")
    return (
        heading("Income"),
        line("gross_receipts", "sales", MONEY, sold_value(*in_year()), _NOTES["gross_receipts"]),
        line("returns", "returns", MONEY, returned_value(*in_year())),
        line("other_income", "other income", MONEY, setting("other_income") + 0),
        line("gross_income", "income", MONEY, income),
        heading("Expenses"),
        line("opening_stock", "stock at the beginning", MONEY, _counted("opening")),
        *(
            line(names[each.category], each.category, MONEY, _of_category(each.category))
            for each in spent
        ),
        line("charged_fees", "fees charged on sales", MONEY, FEES),
        line("paid_postage", "postage paid on sales", MONEY, POSTAGE),
        line("depreciation", "tools written off", MONEY, DEPRECIATED + EXPENSED),
        line("own_use", "less own use", MONEY, -OWN_USE),
        line("closing_stock", "less stock at the end", MONEY, -_counted("closing")),
        line(
            "total_expenses",
            "expenses",
            MONEY,
            SumLines(
                "Year-end",
                (
                    "opening_stock",
                    *names.values(),
                    "charged_fees",
                    "paid_postage",
                    "depreciation",
                    "own_use",
                    "closing_stock",
                ),
            ),
        ),
        heading("Result"),
        line("home", "business use of the home", MONEY, setting("home_use") + 0),
        line(
            "net_profit",
            "profit",
            MONEY,
            year_line("gross_income") - year_line("total_expenses") - year_line("home"),
        ),
    )


def sheet(tax: str, year: int) -> Sheet:
    """The Year-end sheet of a country and year."""
    rows = _form(year) if tax == "us" else _by_category()
    heads: tuple[str, ...] = ("what", "amount", "how it is found")
    if tax == "us":
        heads = ("line", *heads)
    return Sheet(
        "Year-end",
        CAUTION,
        (Lines("Year-end", heads, rows),),
        group="books",
        landscape=False,
    )
