"""Checks: every total that must tie, every row that needs a hand, every plan that is stale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

from notchbook.language import expressions as x
from notchbook.language.expressions import when
from notchbook.sheets.checks.lines import (
    added,
    check_line,
    group,
    key_of,
    none_of,
    notice,
    opened,
    states,
)
from notchbook.sheets.checks.of_the_form import form_notices, form_rows, form_ties
from notchbook.sheets.checks.rows import rows
from notchbook.sheets.checks.totals import ties
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import (
    LineCell,
    LineRow,
    Lines,
    Sheet,
    line,
    numbers_of_each_row,
)
from notchbook.sheets.kit.discovery import row_tables
from notchbook.sheets.kit.settings import YEAR_END, setting, to_money
from notchbook.sheets.ledgers.counts import COUNTED
from notchbook.sheets.ledgers.money import how_many
from notchbook.sheets.tax.year_lines import year_line

ALL_OK = "all checks OK"
STATE_SAYS = "Checks: "  # before the verdict, on top of every sheet

# --- plans ---


def known_rows_line(table: str) -> str:
    """The line that holds how many rows a table had at compile."""
    return f"{key_of(table)}_known_planned"


def _typed_below(table: str, column: str) -> LineRow:
    """A table whose rows must be those that the compile knew; `column` is a number of each row."""
    name = f"{key_of(table)}_known"
    then = known_rows_line(table)
    row = none_of(
        name,
        f"{table}: rows added or deleted since the last compile",
        x.count(table, column, x.where(column, ">=", 0)) - check_line(then),
        f"{table}: compile again",
    )
    planned = LineCell(then, show.COUNT, role=Role.PLANNED)
    return replace(row, cells=(*row.cells, planned))


KNOWN_ROWS: Mapping[str, str] = {
    table.name: column
    for table in row_tables()
    for column in numbers_of_each_row(table)[:1]
    if "date" not in table.by_name
}
"""Tables whose rows are counted at compile, each by a number that every row holds.

Those with a date are ledgers, whose rows are counted by it.
"""

TYPED_OVER = "typed_over_planned"
"""The line that holds how many formulas a value was typed over, as the last compile found."""


def _typed_over() -> LineRow:
    row = none_of(
        "typed_over",
        "formulas that a value was typed over",
        check_line(TYPED_OVER) + 0,
        "their cells hold a note; the formulas were put back. Delete the notes and compile again",
    )
    return replace(row, cells=(*row.cells, LineCell(TYPED_OVER, show.COUNT, role=Role.PLANNED)))


_TYPED_OVER_NOW = (
    none_of(
        "year_end_typed_over",
        "lines of Year-end that a number was typed over",
        year_line("typed_over") + 0,
        "Year-end: typed over; compile puts the formula back",
        names=year_line("typed_over"),
    ),
    none_of(
        "tables_typed_over",
        "figures of Tax tables that were typed over",
        states("Tax tables", "typed over"),
        "Tax tables: state; compile puts the figure back",
    ),
)

_PLANS = (
    _typed_over(),
    *_TYPED_OVER_NOW,
    none_of(
        "stale_projects",
        "projects whose plan is stale",
        x.count("Projects", "stale", x.where("stale", "=", "stale")),
        "Projects: plan state; compile again",
    ),
    none_of(
        "stale_stock",
        "stocks that changed since the plan",
        x.count("Stock", "stale", x.where("stale", "=", "stale")),
        "Stock, behind the +: plan state; compile again",
    ),
    *(_typed_below(table, column) for table, column in KNOWN_ROWS.items()),
    none_of(
        "not_enough",
        "projects without enough reclaimed stock",
        x.count("Material takeoff", "state", x.where("state", "=", "not enough")),
        "Material takeoff: state",
    ),
    none_of(
        "reclaimed",
        "reclaimed stocks of which all batches together need more than there is",
        x.count("Stock", "missing", x.where("missing", ">", 0)),
        "Stock, behind the +: missing",
    ),
)

# --- notices ---

_HAS_BEGUN = added(
    [
        x.count(ledger, "date", x.where("date", ">=", setting.year_start))
        for ledger in ("Sales ledger", "Purchases", "Production log")
    ]
).differs(0)

_LAST_DAY = x.where("date", "=", YEAR_END)
_NOTICES = (
    notice(
        "used_beyond",
        "stocks of which runs took more than any count or slip covers",
        x.count("Stock", "not_paid", x.where("not_paid", ">", setting.tolerance)),
        "Stock, behind the +: used without a slip; Purchases: slips, packs or stocks that are"
        " missing",
    ),
    notice(
        "estimated_fees",
        "sales on an estimated fee or postage (type what was charged)",
        states("Sales ledger", "estimated"),
        "Sales ledger: filter state",
    ),
    notice(
        "bare_projects",
        "projects without parts or work steps",
        states("Projects", "no parts", "no steps"),
        "Projects: state",
    ),
    notice(
        "estimates",
        "projects whose pace, spoilage or local factor is off",
        x.total("Estimates", "is_off"),
        "Results: what is off; type on Projects what the log and the ledger say",
    ),
    notice(
        "saw_off",
        "projects whose minutes are hardly more than their cuts take",
        x.count("Projects", "saw_off", x.where("saw_off", ">", 0)),
        "Work steps: minutes; Settings: minutes a setting and a pass. Two runs with minutes in"
        " Production log settle it, or yes as minutes ok on Projects",
    ),
    notice(
        "overhead_low",
        "real overheads of a bench hour, far above the overhead rate on Settings",
        when(
            setting.overhead_rate < setting.overhead_share * x.Line("Results", "real_rate"),
            to_money(x.Line("Results", "real_rate")),
            0,
        ),
        "Results: fixed costs; prices and plans count the typed rate only",
        show.MONEY,
    ),
    notice(
        "old_prices",
        "stocks with an old price or without a date",
        x.count("Stock", "price_flag", x.where("price_flag", "=", "old price"))
        + x.count("Stock", "price_flag", x.where("price_flag", "=", "no date")),
        "Stock: price check",
    ),
    notice(
        "together",
        "stocks whose combined shopping list is out of date",
        states("Bought together", "other batch", "other count", "stale"),
        "Material takeoff: state of Bought together; compile again before you shop",
    ),
    notice(
        "marks_meet",
        "rows of marks that take some of the same place on a part as another",
        x.count("Marks", "meets", x.where("meets", ">", 0)),
        "Marks: meets; no fault where they lie on different faces or edges",
    ),
    notice(
        "ends_meet",
        "parts whose slanted ends meet before the other edge",
        states("Cut list", "ends meet"),
        "Cut list, behind the +: short point; make the part longer, narrower, or the angle smaller",
    ),
    notice(
        "returns_unsaid",
        "returns that name no receipt of this ledger",
        states("Sales ledger", "no receipt", "other receipt"),
        "Sales ledger: return of",
    ),
    notice(
        "accounts_not_closed",
        "accounts that are opened and not closed at the end of the year",
        when(
            setting.as_of >= YEAR_END,
            x.call("MAX", how_many("opening") - how_many("closing", _LAST_DAY), 0),
            0,
        ),
        "Money: closing, of the year's last day",
    ),
    notice(
        "tax_overdue",
        "sales tax of past quarters that was not paid on",
        year_line("tax_overdue") + 0,
        "Money: sales tax paid; on a slip it would be an expense, which it never is",
        show.MONEY,
    ),
    notice(
        "stock_gap",
        "counted stock against the books (stock method materials)",
        when(setting.stock_method.equals("materials"), to_money(year_line("stock_gap")), 0),
        "Year-end: counted stock less the books; the cost of goods has it already",
        show.AMOUNT,
    ),
    notice(
        "tools_unsaid",
        "tools of past years with nothing taken before",
        states("Tool depreciation", "nothing before"),
        "Tool depreciation: taken before; from last year's books",
    ),
    notice(
        "tools_later",
        "tools that are written off beyond the years shown",
        x.count(
            "Tool depreciation",
            "later",
            x.where("later", ">", 0),
            x.where("tax_method", "<>", "units of use"),
        ),
        "Tool depreciation, behind the +: later years",
    ),
    notice(
        "no_closing",
        "closing count not taken yet",
        when(_HAS_BEGUN & x.count("Counts", "value", *COUNTED["closing"]).equals(0), 1, 0),
        "Counts: without it the stock method says what is left: the books, or nothing",
    ),
    notice(
        "on_hand_counted",
        "stocks whose on hand has no day and differs from the last count",
        x.count("Stock", "on_hand_gap", x.where("on_hand_gap", ">", 0))
        + x.count("Stock", "on_hand_gap", x.where("on_hand_gap", "<", 0)),
        "Stock: counted on; write the day of on hand there; else the last count counts",
    ),
    notice(
        "counts_between",
        "counts that are neither opening nor closing",
        x.count("Counts", "count", x.where("count", "=", "between")),
        "Counts: count; they enter no total",
    ),
)


@cache
def checks_of(tax: str) -> Mapping[str, LineRow]:
    """Every check by its name: what must tie, rows to look at, plans."""
    return _by_name((*ties(tax), *form_ties(tax), *rows(tax), *form_rows(tax), *_PLANS))


OF_PLANS = (
    *("bare_projects", "estimates", "saw_off", "overhead_low", "old_prices"),
    *("together", "marks_meet", "ends_meet"),
)
"""Notices of prices and plans, which the end of a year does not ask for."""


@cache
def notices_of(tax: str) -> Mapping[str, LineRow]:
    """What is worth knowing and no fault, by its name."""
    return _by_name((*_NOTICES, *form_notices(tax)))


def _by_name(found: tuple[LineRow, ...]) -> Mapping[str, LineRow]:
    return {row.cells[0].name: row for row in found}


def _lines(tax: str) -> Lines:
    must_tie, to_look_at = (*ties(tax), *form_ties(tax)), (*rows(tax), *form_rows(tax))
    notices = tuple(notices_of(tax).values())
    return Lines(
        "Checks",
        ("check", "difference", "state", "open", "at compile", "where to look"),
        (
            line(
                "verdict",
                "overall",
                show.WORD,
                when(check_line("open_checks").equals(0), ALL_OK, "needs a look"),
            ),
            line(
                "open_checks",
                "checks that need a look",
                show.COUNT,
                opened((*must_tie, *to_look_at, *_PLANS)),
            ),
            line("open_notices", "notices", show.COUNT, opened(notices)),
            *group("ties", "Totals that must tie", must_tie),
            *group("rows", "Rows to fix", to_look_at),
            *group("plans", "Plans", _PLANS),
            *group("notices", "Notices: worth knowing, no fault", notices, "notice"),
        ),
    )


def sheet(tax: str) -> Sheet:
    """The sheet, with what the form of a country asks beside the rest."""
    return Sheet(
        "Checks",
        "OK means within the tolerance on Settings. Anything else says where to look.",
        (_lines(tax),),
        after="Results",
        group="books",
    )
