"""Checks: every total that must tie, and what needs a look."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    Line,
    Operand,
    SumLines,
    Where,
    as_node,
    call,
    count,
    missing,
    products,
    total,
    when,
    where,
)
from notchbook.sheets.declare import (
    AMOUNT,
    COUNT,
    WORD,
    Cell,
    LineRow,
    Lines,
    Role,
    Sheet,
    heading,
    line,
)
from notchbook.sheets.settings import in_year, sales_value, setting
from notchbook.sheets.tool_depreciation import BOUGHT_THIS_YEAR, UNSCHEDULED
from notchbook.sheets.year_end import NO_CLOSING

ALL_OK = "all checks OK"
STATE_SAYS = "Checks: "  # before the verdict, on top of every sheet


def check_line(name: str) -> Line:
    """A line of the Checks sheet."""
    return Line("Checks", name)


def _check(
    name: str, label: str, difference: Operand, where_to_look: str, word: str = "look"
) -> LineRow:
    difference = as_node(difference)
    off = call("ABS", Line("Checks", name)) >= setting("tolerance")
    return LineRow(
        label,
        (
            Cell(name, AMOUNT, difference),
            Cell(f"{name}_state", WORD, when(off, word, "OK")),
            Cell(f"{name}_open", COUNT, when(off, 1, 0)),
        ),
        where_to_look,
    )


def _notice(name: str, label: str, number: Operand, where_to_look: str) -> LineRow:
    return _check(name, label, number, where_to_look, "notice")


_DATED = where("date", ">=", 1)
_DAYLESS: tuple[tuple[str, str], ...] = (
    ("Sales ledger", "quantity"),
    ("Purchases", "amount"),
    ("Production log", "made"),
    ("Mileage", "miles"),
    ("Counts", "quantity"),
)


def _state(table: str, *words: str) -> Expression:
    result: Expression | None = None
    for word in words:
        found = count(table, "state", where("state", "=", word))
        result = found if result is None else result + found
    return as_node(result or 0)


def _unworked(table: str, column: str) -> Expression:
    """Dated rows that have no worked-out cells yet, as rows typed below a table."""
    return count(table, "date", _DATED) - count(table, column, where(column, ">=", 1))


def _not_numbers(table: str, column: str) -> Expression:
    """Dated rows whose number is missing or is text."""
    numbers = count(table, column, _DATED, where(column, ">", 0)) + count(
        table, column, _DATED, where(column, "<=", 0)
    )
    return count(table, "date", _DATED) - numbers


def _months(column: str) -> Expression:
    return total("Months and channels", column, kind="month")


def _channels(column: str) -> Expression:
    return total("Months and channels", column, kind="channel")


_FINISHED = (where("finished", "<", 0),)
_LEDGER: tuple[Where, ...] = in_year()
_RETURNED = (*_LEDGER, where("kind", "=", "return"))
_NET_SALES = sales_value(*_LEDGER) + sales_value(*_RETURNED, kinds=())
_TOOLS_BOUGHT = total("Purchases", "amount", *in_year(), where("category", "=", "tools"))


def _typed_below(name: str, table: str, column: str) -> LineRow:
    """A table whose number of rows must be the one that was planned."""
    at_least = where(column, ">=", 0)
    difference = count(table, column, at_least) - Line("Checks", f"{name}_planned")
    row = _check(
        name,
        f"rows of {table} that the plan does not know",
        difference,
        f"{table}: compile again, so that new or deleted rows enter the plan",
    )
    planned = Cell(f"{name}_planned", COUNT, role=Role.PLANNED)
    return LineRow(row.label, (*row.cells, planned), row.note)


_TIES = (
    _check(
        "sales_by_month",
        "sales by month less sales of the ledger",
        _months("sales") - _months("returns") - _NET_SALES,
        "Months and channels, Sales ledger",
    ),
    _check(
        "sales_by_channel",
        "sales by channel less sales of the ledger",
        _channels("sales") - _channels("returns") - _NET_SALES,
        "Sales ledger: rows whose tier is not on Settings",
    ),
    _check(
        "sales_by_project",
        "sales by project less sales of the ledger",
        total("Projects", "income", where("batch", ">=", 1))
        - products("Sales ledger", ("quantity", "price"), *_LEDGER)
        + total("Sales ledger", "discount", *_LEDGER),
        "Sales ledger: rows whose project is not on Projects",
    ),
    _check(
        "purchases_by_category",
        "purchases by category less purchases of the ledger",
        total("Months and channels", "spent", kind="category")
        - total("Purchases", "amount", *in_year()),
        "Purchases: rows whose category is not on Months and channels",
    ),
    _check(
        "tools_bought",
        "tools bought less tools put in service this year",
        _TOOLS_BOUGHT - BOUGHT_THIS_YEAR,
        "Purchases of the category tools, Tool depreciation",
    ),
    _check(
        "finished_counted",
        "finished goods that differ from the closing count",
        count("Counts", "difference", where("difference", ">", 0))
        + count("Counts", "difference", where("difference", "<", 0)),
        "Counts",
    ),
    _check(
        "finished_below_zero",
        "projects with more sold than made",
        count("Projects", "finished", *_FINISHED),
        "Projects: finished on hand",
    ),
    _check(
        "statements",
        "statements less ledger",
        total("Statements", "difference", where("gross", ">=", 0)),
        "Statements",
    ),
)
_ROWS = (
    _check(
        "sales_rows",
        "sales of another year, or of an unknown project or tier",
        _state("Sales ledger", "other year", "no project", "no tier"),
        "Sales ledger: filter state",
    ),
    _check(
        "purchase_rows",
        "purchases of another year, or of an unknown category or stock",
        _state("Purchases", "other year", "no category", "no stock"),
        "Purchases: filter state",
    ),
    _check(
        "production_rows",
        "production of another year, or of an unknown project",
        _state("Production log", "other year", "no project"),
        "Production log: filter state",
    ),
    _check(
        "mileage_rows",
        "drives of another year, or without a rate",
        _state("Mileage", "other year", "no rate"),
        "Mileage: filter state",
    ),
    *(
        _check(
            f"{table.lower().replace(' ', '_')}_numbers",
            f"rows of {table} whose {column} is missing or is text",
            _not_numbers(table, column),
            f"{table}: {column}",
        )
        for table, column in _DAYLESS
    ),
    _check(
        "sales_below",
        "sales typed below the table",
        _unworked("Sales ledger", "month"),
        "Sales ledger: compile again; totals count them already",
    ),
    _check(
        "purchases_below",
        "purchases typed below the table",
        count("Purchases", "date", _DATED)
        - count("Purchases", "pack_price", _DATED, where("pack_price", ">=", 0))
        - count("Purchases", "pack_price", _DATED, where("pack_price", "<", 0)),
        "Purchases: compile again; totals count them already",
    ),
    _check(
        "production_below",
        "production typed below the table",
        _unworked("Production log", "month"),
        "Production log: compile again; totals count it already",
    ),
)
_PLANS = (
    _check(
        "stale_projects",
        "projects whose plan is stale",
        count("Projects", "stale", where("stale", "=", "stale")),
        "Projects: plan state; compile again",
    ),
    _check(
        "stale_stock",
        "stocks whose size changed since the plan",
        count("Stock", "stale", where("stale", "=", "stale")),
        "Stock: plan state; compile again",
    ),
    _typed_below("stock_rows", "Stock", "price"),
    _typed_below("project_rows", "Projects", "batch"),
    _typed_below("cut_rows", "Cut list", "make"),
    _typed_below("laid_rows", "Laid surfaces", "width"),
    _check(
        "orphan_parts",
        "parts whose project is unknown",
        count("Cut list", "state", where("state", "=", "no project")),
        "Cut list: state",
    ),
    _check(
        "not_enough",
        "projects without enough reclaimed stock",
        count("Material takeoff", "state", where("state", "=", "not enough")),
        "Material takeoff: state",
    ),
    _check(
        "reclaimed",
        "reclaimed stocks that all batches together want too much of",
        count("Stock", "missing", where("missing", ">", 0)),
        "Stock: missing",
    ),
    _check(
        "marks_fit",
        "marks that do not fit",
        count("Marks", "state", where("state", "=", "does not fit"))
        + count("Marks", "state", where("state", "=", "no part")),
        "Marks: state",
    ),
    _check(
        "main_tier",
        "main tier that is not among the tiers",
        when(missing("Tiers", tier=setting("main_tier")), 1, 0),
        "Settings: main tier",
    ),
)
_NOTICES = (
    _notice(
        "estimated_fees",
        "sales on an estimated fee (type what was charged)",
        _state("Sales ledger", "estimated"),
        "Sales ledger: filter state",
    ),
    _notice(
        "old_prices",
        "stocks with an old price or without a date",
        count("Stock", "price_flag", where("price_flag", "=", "check price"))
        + count("Stock", "price_flag", where("price_flag", "=", "no date")),
        "Stock: price check",
    ),
    _notice(
        "by_preparer",
        "tools whose schedule is not worked out here",
        UNSCHEDULED,
        "Tool depreciation: state; a preparer's figure belongs on line 13",
    ),
    _notice(
        "no_closing",
        "closing count not taken yet",
        when(NO_CLOSING.equals(0), 1, 0),
        "Counts: without it no stock is left at the end of the year",
    ),
)


def _open(rows: tuple[LineRow, ...]) -> tuple[str, ...]:
    return tuple(row.cells[2].name for row in rows)


LINES = Lines(
    "Checks",
    ("check", "difference", "state", "open", "planned", "where to look"),
    (
        heading("Totals that must tie"),
        *_TIES,
        heading("Rows of the ledgers"),
        *_ROWS,
        heading("Plans"),
        *_PLANS,
        heading("Notices: worth knowing, no fault"),
        *_NOTICES,
        heading("Verdict"),
        line(
            "open_checks",
            "checks that need a look",
            COUNT,
            SumLines("Checks", _open(_TIES) + _open(_ROWS) + _open(_PLANS)),
        ),
        line("open_notices", "notices", COUNT, SumLines("Checks", _open(_NOTICES))),
        line(
            "verdict",
            "all in all",
            WORD,
            when(check_line("open_checks").equals(0), ALL_OK, "needs a look"),
        ),
    ),
)
CHECKS = {row.cells[0].name: row for row in (*_TIES, *_ROWS, *_PLANS)}
NOTICES = {row.cells[0].name: row for row in _NOTICES}
SHEET = Sheet(
    "Checks",
    "OK means within the tolerance on Settings. Anything else says where to look.",
    (LINES,),
    group="books",
)
