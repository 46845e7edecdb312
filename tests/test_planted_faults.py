"""A clean year with one fault planted in it: each is told, at its row or by a check."""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from datetime import date
from functools import cache
from typing import Any

import pytest

from notchbook.sheets import book_for
from notchbook.sheets.checks.sheet import checks_of, notices_of
from notchbook.sheets.kit.calculate import Filled, Target
from notchbook.shop.named_rows import name_rows

from .worked import TIER, project, worked

Year = dict[str, list[dict[str, Any]]]
Plant = Callable[[Year, float], None]
"""Spoils a year by some sum."""

DAY, LAST = date(2026, 5, 5), date(2026, 12, 31)
STALL = {"channel": "street", "fee": 0.0, "fixed_fee": 0.0, "packaging": 0.0, "postage": 0.0}
SALE = {"date": DAY, "project": "thing", "tier": "stall", "kind": "sale", "quantity": 1}
SALE |= {"price": 40.0, "discount": 0.0, "sales_tax": 2.4, "fee": 1.0, "postage": 0.0}
SALE |= {"postage_charged": 0.0, "unit_materials": 2.0, "unit_cost": 20.0, "ok": None}
SLIP = {"vendor": "yard", "what": "boards", "stock": None, "packs": None, "tool": None, "ok": None}


def clean(method: str = "materials") -> Year:
    """A year in order: bought, made, sold, given back, driven, counted; the money ties."""
    sales = [SALE | {"receipt": f"R{n}", "date": date(2026, 3 + n, 5)} for n in range(8)]
    back = {"kind": "return", "quantity": -1, "receipt": "B1", "return_of": "R2"}
    back |= {"date": date(2026, 9, 9), "sales_tax": -2.4, "fee": 0.0}
    deposit = {"kind": "deposit", "receipt": "D1", "price": 10.0, "sales_tax": 0.6}
    rest = {"receipt": "D2", "discount": 10.0, "date": date(2026, 6, 1), "sales_tax": 1.8}
    slips = [
        ("materials", 12.0, "glue", 4.0, "S1", None),
        ("materials", 9.0, "glue", 3.0, "S2", None),
        ("office", 16.3, None, None, "S3", None),
        ("insurance", 182.0, None, None, "S4", None),
        ("tools", 90.0, None, None, "S5", "clamp"),
        ("meals", 31.7, None, None, "S6", None),
    ]
    return {
        "Projects": [project()],
        "Stock": [
            {"stock": "glue", "kind": "consumable", "price": 3.0, "pack": 1.0, "unit": "l"}
            | {"on_hand": 9.0}
        ],
        "Channels": [STALL | {"collects_sales_tax": "self"}],
        "Tiers": [TIER],
        "Sales ledger": [*sales, SALE | back, SALE | deposit, SALE | rest],
        "Purchases": [
            {**SLIP, "date": date(2026, 2, 2), "category": category, "amount": amount}
            | {"stock": stock, "packs": packs, "receipt": receipt, "tool": tool}
            for category, amount, stock, packs, receipt, tool in slips
        ],
        "Production log": [
            {"date": day, "project": "thing", "made": 6.0, "spoiled": 0.0, "ok": None}
            for day in (date(2026, 1, 5), date(2026, 4, 4))
        ],
        "Mileage": [
            {"date": DAY, "purpose": "fair", "miles": 18.4, "ok": None},
            {"date": date(2026, 7, 5), "purpose": "fair", "miles": 18.6, "ok": None},
        ],
        "Counts": [
            {"date": date(2026, 1, 1), "stock": "glue", "quantity": 2.0, "value": 6.0},
            {"date": LAST, "stock": "glue", "quantity": 9.0, "value": 27.0},
            {"date": LAST, "project": "thing", "quantity": 4.0, "value": 0.0},
        ],
        # 8 sales of 40, one given back, a deposit of 10 and the rest, with tax; a fee of 1 each
        "Money": [
            {"date": day, "account": "till", "what": what, "amount": amount, "ok": None}
            for day, what, amount in (
                (date(2026, 1, 1), "opening", 100.0),
                (date(2026, 4, 20), "sales tax paid", 2.4),
                (date(2026, 7, 20), "sales tax paid", 9.6),
                (date(2026, 10, 20), "sales tax paid", 4.8),
                (LAST, "closing", 100 + (320 - 40 + 10 + 30 + 19.2) - 10 - 341 - 16.8),
            )
        ],
        "Statements": [
            {"channel": "street", "first": date(2026, 1, 1), "last": LAST, "gross": 360.0}
            | {"ok": None}
        ],
        "Tool depreciation": [
            {"tool": "clamp", "cost": 90.0, "in_service": date(2026, 2, 2)}
            | {"tax_method": "expensed", "business_share": 1.0}
        ],
        "Settings": [{"stock_method": method, "as_of": LAST, "carried_stock": 6.0}],
    }


def books(year: Year) -> Filled:
    rows = {name: its for name, its in year.items() if name != "Settings"}
    return worked(rows, **year["Settings"][0])


_WITHOUT_PLANS = ("bare_projects", "old_prices", "stale_projects", "stale_stock")


def told(filled: Filled) -> set[str]:
    """The checks and notices that are open, but for what a year without plans always says."""
    return {
        name.removesuffix("_state")
        for (sheet, name), state in filled.lines.items()
        if sheet == "Checks" and name.endswith("_state") and state != "OK"
    } - {*_WITHOUT_PLANS, *(n for _, n in filled.lines if n.endswith("_known"))}


def put(table: str, n: int, **cells: Any) -> Plant:
    """Cells of a row that hold something else, such as `price=times(100)`."""

    def plant(year: Year, sum_: float) -> None:
        row = year[table][n]
        row.update(
            {
                key: value(row[key], sum_) if callable(value) else value
                for key, value in cells.items()
            }
        )

    return plant


def more(table: str, like: int, **cells: Any) -> Plant:
    """A row more, like another but for some cells."""

    def plant(year: Year, sum_: float) -> None:
        year[table].append(dict(year[table][like]))
        put(table, -1, **cells)(year, sum_)

    return plant


def gone(table: str, n: int) -> Plant:
    """A row that is missing."""
    return lambda year, _: year[table].__delitem__(n)


def all_of(*plants: Plant) -> Plant:
    """Several that make one fault together."""

    def plant(year: Year, sum_: float) -> None:
        for each in plants:
            each(year, sum_)

    return plant


def the_sum(_: Any, sum_: float) -> float:
    return sum_


def of_it(factor: float) -> Callable[[Any, float], float]:
    """So many times what stood there, and a little by the sum."""
    return lambda value, sum_: round(value * factor * (1 + sum_ / 1000), 2)


def added(value: Any, sum_: float) -> float:
    return float(value) + sum_


S, P, L, M, C, T, K, R = (
    *("Sales ledger", "Purchases", "Production log", "Mileage", "Counts"),
    *("Tool depreciation", "Money", "Statements"),
)
FAULTS: Mapping[str, tuple[Plant, str]] = {
    # what is planted: how, and what names it
    "a price many times the usual": (put(S, 0, price=of_it(100)), "sales_ledger_rows"),
    "a price of a tenth": (put(S, 0, price=of_it(0.1)), "sales_ledger_rows"),
    "a sale at no price": (put(S, 0, price=0.0), "sales_ledger_rows"),
    "a price below zero": (put(S, 0, price=lambda _, s: -s), "sales_ledger_rows"),
    "a sale of half a piece": (put(S, 0, quantity=0.5), "sales_ledger_rows"),
    "a sale of no piece": (put(S, 0, quantity=0), "sales_ledger_rows"),
    "a sale below zero": (put(S, 0, quantity=-1), "sales_ledger_rows"),
    "a kind that is none": (put(S, 0, kind="gift"), "sales_ledger_rows"),
    "a project that is none": (put(S, 0, project="thimg"), "sales_ledger_rows"),
    "a tier that is none": (put(S, 0, tier="stal"), "sales_ledger_rows"),
    "a sale of last year": (put(S, 0, date=date(2025, 3, 5)), "sales_ledger_rows"),
    "a sale of next year": (put(S, 0, date=date(2027, 3, 5)), "sales_ledger_rows"),
    "a sale without a day": (put(S, 0, date=None), "sales_ledger_undated"),
    "a sale without a number": (put(S, 0, quantity=None), "sales_ledger_numbers"),
    "a sale without a price": (put(S, 0, price=None), "sales_ledger_rows"),
    "a discount above the price": (put(S, 0, discount=lambda _, s: 40 + s), "sales_ledger_rows"),
    "a discount below zero": (put(S, 0, discount=lambda _, s: -s), "sales_ledger_rows"),
    "a fee above the price": (put(S, 0, fee=lambda _, s: 40 + s), "sales_ledger_rows"),
    "postage below zero": (put(S, 0, postage=lambda _, s: -s), "sales_ledger_rows"),
    "a receipt line twice": (more(S, 0), "sales_ledger_rows"),
    "no sales tax where others have it": (put(S, 0, sales_tax=0.0), "sales_ledger_rows"),
    "blank sales tax": (put(S, 0, sales_tax=None), "sales_ledger_rows"),
    "sales tax a hundredfold": (put(S, 0, sales_tax=of_it(100)), "sales_ledger_rows"),
    "sales tax of a sale below zero": (put(S, 0, sales_tax=-2.4), "sales_ledger_rows"),
    "sales tax of a return above zero": (put(S, 8, sales_tax=2.4), "sales_ledger_rows"),
    "more tax back than came": (
        put(S, 8, sales_tax=lambda _, s: -2.4 - s / 9),
        "sales_ledger_rows",
    ),
    "a refund above the sale": (put(S, 8, price=added), "sales_ledger_rows"),
    "more pieces back than sold": (put(S, 8, quantity=-3), "sales_ledger_rows"),
    "a return above zero": (put(S, 8, quantity=1), "sales_ledger_rows"),
    "a return before its sale": (put(S, 8, date=date(2026, 2, 2)), "sales_ledger_rows"),
    "a fee below zero": (put(S, 0, fee=-1.0), "sales_ledger_rows"),
    "a return of a receipt that is none": (put(S, 8, return_of="R99"), "returns_unsaid"),
    "a return of nothing": (put(S, 8, return_of=None), "returns_unsaid"),
    "a deposit and then the full price": (
        put(S, 10, discount=0.0, sales_tax=2.4),
        "sales_ledger_rows",
    ),
    "more sold than made": (more(S, 0, receipt="X", quantity=20), "finished_below_zero"),
    "sold before it was made": (put(L, 0, date=date(2026, 4, 3)), "sold_before_made"),
    "a slip twice": (more(P, 2), "purchases_rows"),
    "a slip twice, a day later": (more(P, 3, date=date(2026, 2, 3)), "purchases_rows"),
    "a slip of no amount": (put(P, 2, amount=0.0), "purchases_rows"),
    "a category that is none": (put(P, 2, category="lumber"), "purchases_rows"),
    "a slip of last year": (put(P, 2, date=date(2025, 2, 2)), "purchases_rows"),
    "a slip without a day": (put(P, 2, date=None), "purchases_undated"),
    "a slip without an amount": (put(P, 2, amount=None), "purchases_numbers"),
    "a stock that is none": (put(P, 0, stock="gleu"), "purchases_rows"),
    "a tool that is none": (put(P, 4, tool="clamps"), "purchases_rows"),
    "a tool slip that names no tool": (put(P, 4, tool=None), "purchases_rows"),
    "a tool slip of another sum": (put(P, 4, amount=added), "tools_bought"),
    "a tool slip that is missing": (gone(P, 4), "tools_bought"),
    "packs below zero": (put(P, 0, packs=-4.0), "purchases_rows"),
    "packs a hundredfold": (put(P, 0, packs=of_it(100)), "purchases_rows"),
    "packs of no stock": (put(P, 2, packs=2.0), "purchases_rows"),
    "a stock on an office slip": (put(P, 2, stock="glue"), "purchases_rows"),
    "a yearly fee statement beside row fees": (
        more(P, 2, category="fees", amount=the_sum, receipt="F"),
        "purchases_rows",
    ),
    "a postage slip beside row postage": (
        all_of(
            put(S, 0, postage=the_sum),
            more(P, 2, category="postage", amount=the_sum, receipt="Q"),
        ),
        "purchases_rows",
    ),
    "a new tool by straight line": (
        put(T, 0, tax_method="straight line", life_years=5.0),
        "tool_depreciation_rows",
    ),
    "a van that nobody called one": (
        all_of(
            put(T, 0, cost=45_000.0, tax_method="bonus"),
            put(P, 4, amount=45_000.0),
        ),
        "tool_depreciation_rows",
    ),
    "a van without mileage": (
        all_of(put(T, 0, road_vehicle="yes"), gone(M, 1), gone(M, 0)),
        "tool_depreciation_rows",
    ),
    "real costs of the car beside mileage": (
        more(P, 2, category="car", amount=the_sum, receipt="G"),
        "car_twice",
    ),
    "a run of none": (put(L, 0, made=0.0), "production_log_rows"),
    "a run twice": (more(L, 0), "production_log_rows"),
    "more spoiled than made": (put(L, 0, spoiled=7.0), "production_log_rows"),
    "a run of a project that is none": (put(L, 0, project="thimg"), "production_log_rows"),
    "a run of last year": (put(L, 0, date=date(2025, 1, 5)), "production_log_rows"),
    "a drive twice": (more(M, 0), "mileage_rows"),
    "a drive of no distance": (put(M, 0, miles=0.0), "mileage_rows"),
    "a drive of ten times the way": (put(M, 0, miles=of_it(10)), "mileage_rows"),
    "a drive of last year": (put(M, 0, date=date(2025, 5, 5)), "mileage_rows"),
    "a closing count of another year": (put(C, 1, date=date(2027, 12, 31)), "counts_rows"),
    "a closing count twice": (more(C, 1), "counts_rows"),
    "an opening count twice": (more(C, 0), "counts_rows"),
    "a value by the piece": (put(C, 1, value=3.0), "counts_rows"),
    "a value a hundredfold": (put(C, 1, value=of_it(100)), "counts_rows"),
    "a count without a quantity": (put(C, 1, quantity=None), "counts_rows"),
    "a count tenfold": (put(C, 1, quantity=90.0, value=None), "counts_rows"),
    "a count of a stock that is none": (put(C, 1, stock="gleu"), "counts_rows"),
    "pieces counted wrong": (put(C, 2, quantity=2.0), "finished_counted"),
    "a tool without its year": (put(T, 0, in_service=None), "tools_bought"),
    "a tool of another cost": (put(T, 0, cost=added), "tools_bought"),
    # money, statements
    "a sale that was never typed": (gone(S, 0), "money"),
    "a slip that was never typed": (gone(P, 2), "money"),
    "a slip of another sum": (put(P, 2, amount=added), "money"),
    "a price a little off": (put(S, 0, price=added), "money"),
    "a fee of another sum": (put(S, 0, fee=2.0), "money"),
    "sales tax tenfold": (put(S, 0, sales_tax=of_it(10)), "money"),
    "a sale called own use": (put(S, 0, kind="own use"), "money"),
    "a closing of another sum": (put(K, -1, amount=added), "money"),
    "an account that is not closed": (
        more(K, 0, account="bank", amount=the_sum),
        "money_rows",
    ),
    "an account opened twice": (more(K, 0), "money_rows"),
    "a transfer to nowhere": (more(K, 0, what="transfer", date=DAY, amount=the_sum), "money_rows"),
    "tax paid twice": (more(K, 1), "money_rows"),
    "sales tax paid on as a licence": (
        all_of(
            gone(K, 1),
            more(P, 2, category="licences", amount=2.4, receipt="L", date=date(2026, 4, 20)),
        ),
        "tax_overdue",
    ),
    "no opening of an account": (gone(K, 0), "money_rows"),
    "no closing at the end of the year": (gone(K, -1), "accounts_not_closed"),
    "a tolerance that hides whole amounts": (
        lambda year, _: year["Settings"][0].update(tolerance=50.0),
        "tolerance",
    ),
    "a kind of money that is none": (put(K, 1, what="float"), "money_rows"),
    "money of last year": (put(K, 1, date=date(2025, 4, 20)), "money_rows"),
    "a statement of another sum": (put(R, 0, gross=added), "statements"),
    "a statement twice": (more(R, 0), "statements_rows"),
    "a statement of the same days": (more(R, 0, first=date(2026, 7, 1)), "statements_rows"),
    "a statement that ends too early": (put(R, 0, last=date(2025, 3, 3)), "statements_rows"),
    # what begins the year
    "no opening count": (gone(C, 0), "carried_stock"),
    "an opening count tenfold": (put(C, 0, quantity=20.0, value=60.0), "carried_stock"),
    "last year's stock is another": (
        lambda year, sum_: year["Settings"][0].update(carried_stock=6 + sum_),
        "carried_stock",
    ),
}
INVENTORY: Mapping[str, tuple[Plant, str]] = {
    "no closing count of a stock": (gone(C, 1), "closing_stock_uncounted"),
    "a closing count too early": (put(C, 1, date=date(2026, 12, 28)), "closing_stock_uncounted"),
    "no closing count of pieces": (gone(C, 2), "closing_pieces_uncounted"),
    "no closing count at all": (
        lambda year, _: year["Counts"].__delitem__(slice(1, 3)),
        "closing_stock_uncounted",
    ),
}
SUMS = (7.25, 31.0, 999.99)
PLANTED = [
    pytest.param(what, sum_, marks=() if sum_ == SUMS[0] and n % 3 else pytest.mark.deep)
    for sum_ in SUMS
    for n, what in enumerate(FAULTS)
]
"""Each with several sums; two of three with the first one in the quick part."""


@cache
def told_clean(method: str) -> frozenset[str]:
    """What is told of the year in order."""
    return frozenset(told(books(clean(method))))


@pytest.mark.parametrize("method", ["materials", "inventory"])
def test_a_clean_year_is_told_clean(method: str) -> None:
    """No check fails and no notice speaks of a row: what is left is said of all years."""
    assert told_clean(method) == {"figures_unchecked"}


MOST_NOTICES = 5


def test_how_many_are_named_by_a_check() -> None:
    """None is silent, as the tests below show of each: it opens what is named beside it."""
    named = {what: names for what, (_, names) in (*FAULTS.items(), *INVENTORY.items())}
    noticed = [what for what, names in named.items() if names in notices_of("us")]

    assert set(named.values()) <= {*checks_of("us"), *notices_of("us")}
    assert len(named) == len(FAULTS) + len(INVENTORY) >= 100
    assert len(noticed) <= MOST_NOTICES, noticed


@pytest.mark.parametrize(("what", "sum_"), PLANTED)
def test_a_planted_fault_is_named(what: str, sum_: float) -> None:
    """By the check that looks at it; a row that looks wrong is right where `ok` says so."""
    plant, names = FAULTS[what]
    year = clean()
    plant(year, sum_)

    assert names in told(books(year)) - told_clean("materials")


@pytest.mark.parametrize("what", INVENTORY)
def test_a_closing_count_that_is_not_whole_is_named(what: str) -> None:
    """Under the stock method inventory, where line 41 hangs on it."""
    plant, names = INVENTORY[what]
    year = clean("inventory")
    plant(year, 0.0)

    assert names in told(books(year)) - told_clean("inventory")


def test_a_check_names_up_to_three_of_its_rows() -> None:
    """By their days and words, with a way to the first; the next compile may name others."""
    year = clean()
    for n in (0, 1, 3, 5):
        put(S, n, quantity=0.5)(year, 7.25)
    filled = books(year)
    name_rows(book_for("us", 2026), filled, {})
    place = ("Checks", "sales_ledger_rows_named")

    assert filled.lines["Checks", "sales_ledger_rows"] == 4
    said = str(filled.lines[place])
    assert said.startswith("2026-03-05 R0 thing; 2026-04-05 R1 thing; 2026-06-05 R3 thing; and 1")
    assert filled.links[place] == Target(S, "date", 0)


def test_more_used_than_bought_is_named() -> None:
    """Twelve pieces of 2 took 24 of the glue; 2 were counted and 7 bought."""
    year = clean() | {
        "Consumables": [{"project": "thing", "stock": "glue", "basis": "piece", "amount": 2.0}],
        "Material takeoff": [{"project": "thing", "stock": "glue"}],
    }
    filled = books(year)
    name_rows(book_for("us", 2026), filled, {})

    assert filled.tables["Stock"]["not_paid"].tolist() == [15]
    assert filled.lines["Checks", "used_beyond_state"] == "notice"
    assert filled.lines["Checks", "used_beyond_named"] == "glue"


LOOKS = [
    *("a price many times the usual", "a price of a tenth", "a sale at no price"),
    *("a sale of half a piece", "a fee above the price", "a receipt line twice"),
    *("no sales tax where others have it", "blank sales tax", "a refund above the sale"),
    *("a deposit and then the full price", "a slip twice", "a slip of no amount"),
    *("packs a hundredfold", "a yearly fee statement beside row fees", "a run twice"),
    *("a drive twice", "a drive of no distance", "sales tax a hundredfold", "a fee below zero"),
    *("a postage slip beside row postage", "tax paid twice", "a statement twice"),
    *("a statement of the same days", "a statement of another sum"),
]


@pytest.mark.deep
@pytest.mark.parametrize("what", LOOKS)
def test_ok_silences_what_only_looks_wrong(what: str) -> None:
    plant, names = FAULTS[what]
    year = copy.deepcopy(clean())
    plant(year, 7.25)
    for table in (S, P, L, M, K, R):
        year[table] = [row | {"ok": "yes"} for row in year[table]]

    assert names not in told(books(year))


@pytest.mark.parametrize(
    "line", ["advertising", "insurance", "office", "gross_receipts", "closing_stock"]
)
def test_a_line_of_the_form_typed_over_is_named(line: str) -> None:
    """Nothing of the ledgers changed, and the profit is another."""
    from notchbook.language.evaluate import Values, evaluate

    filled, book = books(clean()), book_for("us", 2026)
    filled.lines["Year-end", line] = float(filled.lines["Year-end", line]) + 100.0
    values = Values(filled.tables, filled.lines, {})
    below = [name for (owner, name), _ in book.in_order if owner == "Year-end" and name != line]
    rules = dict(book.in_order)
    for name in below:
        if line in {each for _, each in book.reach(rules["Year-end", name], None)}:
            filled.lines["Year-end", name] = evaluate(rules["Year-end", name], values)

    assert abs(float(evaluate(rules["Checks", "profit_again"], values))) == pytest.approx(100.0)
