"""Checks: every total that must tie, every row that needs a hand, every plan that is stale."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    Line,
    SumLines,
    Where,
    call,
    count,
    missing,
    total,
    when,
    where,
)
from notchbook.sheets.counts import COUNTED
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
from notchbook.sheets.settings import (
    YEAR_END,
    goods_value,
    in_year,
    returned_value,
    setting,
    sold_value,
)
from notchbook.sheets.tool_depreciation import BOUGHT_THIS_YEAR, UNSCHEDULED

ALL_OK = "all checks OK"
STATE_SAYS = "Checks: "  # before the verdict, on top of every sheet


def check_line(name: str) -> Line:
    """A line of the Checks sheet."""
    return Line("Checks", name)


def _row(name: str, label: str, found: Expression, off: Expression, where_to_look: str) -> LineRow:
    return LineRow(
        label,
        (
            Cell(name, AMOUNT, found),
            Cell(f"{name}_state", WORD, when(off, "look", "OK")),
            Cell(f"{name}_open", COUNT, when(off, 1, 0)),
        ),
        where_to_look,
    )


def _tie(name: str, label: str, difference: Expression, where_to_look: str) -> LineRow:
    """Two amounts that are equal within the tolerance."""
    off = call("ABS", check_line(name)) >= setting("tolerance")
    return _row(name, label, difference, off, where_to_look)


def _none(name: str, label: str, number: Expression, where_to_look: str) -> LineRow:
    """A number of things of which there must be none."""
    return _row(name, label, number, check_line(name).differs(0), where_to_look)


def _notice(name: str, label: str, number: Expression, where_to_look: str) -> LineRow:
    """A number of things worth knowing, which are no fault."""
    off = check_line(name).differs(0)
    cells = (
        Cell(name, AMOUNT, number),
        Cell(f"{name}_state", WORD, when(off, "notice", "OK")),
        Cell(f"{name}_open", COUNT, when(off, 1, 0)),
    )
    return LineRow(label, cells, where_to_look)


def _added(terms: list[Expression]) -> Expression:
    result, *rest = terms
    for term in rest:
        result = result + term
    return result


def _states(table: str, *words: str) -> Expression:
    """How many rows of a table are in one of these states."""
    return _added([count(table, "state", where("state", "=", word)) for word in words])


def _numbers(table: str, column: str, *conditions: Where) -> Expression:
    """How many rows hold a number in a column, whatever its sign."""
    return count(table, column, where(column, ">", 0), *conditions) + count(
        table, column, where(column, "<=", 0), *conditions
    )


def _key(table: str) -> str:
    return table.lower().replace(" ", "_")


# --- totals ----------------------------------------------------------------------------------


def _of_kind(kind: str) -> Expression:
    return total("Months and channels", "sales", kind=kind) - total(
        "Months and channels", "returns", kind=kind
    )


_NET_SALES = sold_value(*in_year()) - returned_value(*in_year())

_TIES = (
    _tie(
        "sales_by_month",
        "sales by month less sales of the ledger",
        _of_kind("month") - _NET_SALES,
        "Months and channels, Sales ledger",
    ),
    _tie(
        "sales_by_channel",
        "sales by channel less sales of the ledger",
        _of_kind("channel") - _NET_SALES,
        "Sales ledger: tiers that are not on Settings; a new channel needs a compile",
    ),
    _tie(
        "sales_by_project",
        "sales by project less sales of the ledger",
        total("Projects", "income", where("batch", ">=", 1)) - goods_value(*in_year()),
        "Sales ledger: rows whose project is not on Projects",
    ),
    _tie(
        "purchases_by_category",
        "purchases by category less purchases of the ledger",
        total("Months and channels", "spent", kind="category")
        - total("Purchases", "amount", *in_year()),
        "Purchases: rows whose category is not on Months and channels",
    ),
    _tie(
        "tools_bought",
        "tools bought less tools put in service this year",
        total("Purchases", "amount", *in_year(), where("category", "=", "tools"))
        - BOUGHT_THIS_YEAR,
        "Purchases of the category tools, Tool depreciation: cost and in service",
    ),
    _none(
        "finished_counted",
        "projects whose closing count is not what is expected",
        count("Projects", "uncounted", where("uncounted", ">", 0))
        + count("Projects", "uncounted", where("uncounted", "<", 0)),
        "Projects: counted less expected; Counts",
    ),
    _none(
        "finished_below_zero",
        "projects with more sold than made",
        count("Projects", "finished", where("finished", "<", 0)),
        "Projects: finished on hand",
    ),
    _none(
        "statements",
        "statements that differ from the ledger",
        count("Statements", "difference", where("difference", ">=", setting("tolerance")))
        + count("Statements", "difference", where("difference", "<=", -setting("tolerance"))),
        "Statements: difference",
    ),
    _none(
        "car_twice",
        "mileage and real costs of the car in one year",
        when(
            call(
                "AND",
                total("Mileage", "miles", *in_year()) > 0,
                total("Purchases", "amount", *in_year(), where("category", "=", "car")) > 0,
            ),
            1,
            0,
        ),
        "Mileage, Purchases of the category car: only one of them counts",
    ),
    _none(
        "book_value",
        "tools with less than nothing on the books",
        count("Tool depreciation", "book_value", where("book_value", "<", 0)),
        "Tool depreciation: taken before",
    ),
)

# --- rows ------------------------------------------------------------------------------------

_DATED = where("date", ">=", 1)
_LEDGERS: tuple[tuple[str, str, str, tuple[str, ...]], ...] = (
    # the ledger, the number that every row holds, a worked-out number, states that need a hand
    (
        "Sales ledger",
        "quantity",
        "month",
        ("no number", "other year", "no project", "no tier", "wrong sign"),
    ),
    (
        "Purchases",
        "amount",
        "pack_price",
        ("no number", "other year", "no category", "no stock", "no tool"),
    ),
    ("Production log", "made", "month", ("no number", "other year", "no project", "too many")),
    ("Mileage", "miles", "rate", ("no number", "other year", "no rate")),
    ("Counts", "quantity", "worth", ("no number", "no stock", "no project")),
)


def _ledger_checks(table: str, number: str, worked: str, states: tuple[str, ...]) -> list[LineRow]:
    key = _key(table)
    return [
        _none(
            f"{key}_rows",
            f"{table}: rows that need a correction",
            _states(table, *states),
            f"{table}: filter state for {', '.join(states)}",
        ),
        _none(
            f"{key}_numbers",
            f"{table}: rows without a number for {number}",
            count(table, "date", _DATED) - _numbers(table, number, _DATED),
            f"{table}: {number}",
        ),
        _none(
            f"{key}_undated",
            f"{table}: rows without a date",
            _numbers(table, number) - _numbers(table, number, _DATED),
            f"{table}: date; a row without one is in no total",
        ),
        _none(
            f"{key}_below",
            f"{table}: rows typed below the table",
            count(table, "date", _DATED) - _numbers(table, worked, _DATED),
            f"{table}: totals count them already; compile again",
        ),
    ]


_NAMED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Seen prices", ("no project",)),
    ("Cut list", ("no project",)),
    ("Consumables", ("no project", "no stock", "no tool", "no part")),
    ("Work steps", ("no project",)),
    ("Pricing tiers", ("no project", "no tier", "no margin left")),
    ("Statements", ("no number", "no channel")),
    ("Tool depreciation", ("no life",)),
    ("Marks", ("no part", "does not fit")),
)

_ROWS = (
    *(row for ledger in _LEDGERS for row in _ledger_checks(*ledger)),
    *(
        _none(
            f"{_key(table)}_rows",
            f"{table}: rows that need a correction",
            _states(table, *states),
            f"{table}: state",
        )
        for table, states in _NAMED
    ),
    _none(
        "main_tier",
        "main tier that is not among the tiers",
        when(missing("Tiers", tier=setting("main_tier")), 1, 0),
        "Settings: main tier",
    ),
    _none(
        "on_hand",
        "stocks with less than nothing on hand",
        count("Stock", "on_hand", where("on_hand", "<", 0)),
        "Stock: on hand",
    ),
    _none(
        "share_of_year",
        "share of meals that is not known for the year",
        when(
            call(
                "AND",
                setting("tax").equals("us"),
                count(
                    "Tax tables",
                    "value",
                    where("table", "=", "share"),
                    where("first", "<=", YEAR_END),
                    where("last", ">=", YEAR_END),
                ).equals(0),
            ),
            1,
            0,
        ),
        "Tax tables: share",
    ),
)

# --- plans -----------------------------------------------------------------------------------


def known_rows_line(table: str) -> str:
    """The line that holds how many rows a table had at compile."""
    return f"{_key(table)}_known_planned"


def _typed_below(table: str, column: str) -> LineRow:
    """A table whose rows must be those that the compile knew; `column` is a number of each row."""
    name = f"{_key(table)}_known"
    then = known_rows_line(table)
    row = _none(
        name,
        f"{table}: rows more or fewer than at the last compile",
        count(table, column, where(column, ">=", 0)) - check_line(then),
        f"{table}: compile again, so that new or deleted rows enter",
    )
    planned = Cell(then, COUNT, role=Role.PLANNED)
    return LineRow(row.label, (*row.cells, planned), row.note)


KNOWN_ROWS = {
    "Channels": "fee",
    "Tiers": "least_quantity",
    "Stock": "price",
    "Projects": "batch",
    "Seen prices": "price",
    "Cut list": "make",
    "Laid surfaces": "width",
    "Consumables": "amount",
    "Work steps": "minutes",
    "Statements": "gross",
    "Tool depreciation": "cost",
    "Marks": "count",
}
"""Tables whose rows are counted at compile, each by a number that every row holds."""

TYPED_OVER = "typed_over_planned"
"""The line that holds how many formulas a value was typed over, as the last compile found."""


def _typed_over() -> LineRow:
    row = _none(
        "typed_over",
        "formulas that a value was typed over",
        check_line(TYPED_OVER) + 0,
        "their cells hold a note; the formulas were put back. Delete the notes and compile again",
    )
    return LineRow(row.label, (*row.cells, Cell(TYPED_OVER, COUNT, role=Role.PLANNED)), row.note)


_PLANS = (
    _typed_over(),
    _none(
        "stale_projects",
        "projects whose plan is stale",
        count("Projects", "stale", where("stale", "=", "stale")),
        "Projects: plan state; compile again",
    ),
    _none(
        "stale_stock",
        "stocks that changed since the plan",
        count("Stock", "stale", where("stale", "=", "stale")),
        "Stock: plan state; compile again",
    ),
    *(_typed_below(table, column) for table, column in KNOWN_ROWS.items()),
    _none(
        "not_enough",
        "projects without enough reclaimed stock",
        count("Material takeoff", "state", where("state", "=", "not enough")),
        "Material takeoff: state",
    ),
    _none(
        "reclaimed",
        "reclaimed stocks that all batches together want too much of",
        count("Stock", "missing", where("missing", ">", 0)),
        "Stock: missing",
    ),
)

# --- notices ---------------------------------------------------------------------------------

_NOTICES = (
    _notice(
        "estimated_fees",
        "sales on an estimated fee or postage (type what was charged)",
        _states("Sales ledger", "estimated"),
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
        when(count("Counts", "value", *COUNTED["closing"]).equals(0), 1, 0),
        "Counts: without it no stock is left at the end of the year",
    ),
    _notice(
        "counts_between",
        "counts that are neither opening nor closing",
        count("Counts", "count", where("count", "=", "between")),
        "Counts: count; they enter no total",
    ),
)


def _open(rows: tuple[LineRow, ...]) -> tuple[str, ...]:
    return tuple(row.cells[2].name for row in rows)


LINES = Lines(
    "Checks",
    ("check", "difference", "state", "open", "at compile", "where to look"),
    (
        heading("Totals that must tie"),
        *_TIES,
        heading("Rows that need a hand"),
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
