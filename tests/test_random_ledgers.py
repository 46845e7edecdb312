"""Ledgers nobody thought of: the year's totals against a few lines of pandas, and what breaks."""

from __future__ import annotations

import copy
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from notchbook.sheets.kit.calculate import Filled
from notchbook.tax.forms import categories

from .searching import examples
from .worked import CHANNEL, TIER, project, worked

Ledgers = dict[str, list[dict[str, Any]]]
FIRST = date(2026, 1, 1)
CLOSE = date(2026, 12, 31)
THINGS, TIERS = ("thing", "other"), ("stall", "post")
ACCOUNTS = ("till", "bank")
NEEDS = {"wood": {"thing": 2, "other": 1}, "knob": {"thing": 1}}
"""By stock, what a piece takes of it."""
CATEGORIES = [each.category for each in categories("us") if each.category != "car"]
GOODS = [each.category for each in categories("us") if each.counts_as == "goods"]
LINE_OF = {each.category: each.line for each in categories("us")}

days = st.integers(1, 364).map(lambda n: FIRST + timedelta(days=n))
cents = st.integers(0, 30_000).map(lambda n: n / 100)


@st.composite
def sales(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Receipts of one or two lines, some of them given back later, deposits, pieces kept."""
    rows: list[dict[str, Any]] = []
    for number in range(draw(st.integers(1, 12))):
        day, tier = draw(days), draw(st.sampled_from(TIERS))
        kind = draw(st.sampled_from(["sale", "sale", "sale", "deposit", "own use"]))
        for thing in draw(st.sampled_from([THINGS[:1], THINGS[1:], THINGS])):
            price, quantity = draw(cents), draw(st.integers(1, 5))
            row = {"date": day, "receipt": f"R{number}", "project": thing, "tier": tier}
            row |= {"kind": kind, "quantity": quantity, "price": price}
            row |= {"discount": round(draw(st.sampled_from([0, 0.1])) * price, 2)}
            row |= {"sales_tax": draw(cents), "postage_charged": draw(cents)}
            row |= {"fee": draw(st.none() | cents), "postage": draw(st.none() | cents)}
            row |= {"unit_materials": draw(cents), "return_of": None, "ok": "yes"}
            row |= {"account": draw(st.sampled_from(ACCOUNTS))}
            rows.append(row)
            if kind == "sale" and draw(st.integers(0, 4)) == 0:
                back = {"kind": "return", "quantity": -1, "receipt": f"B{number}{thing}"}
                back |= {"date": min(day + timedelta(days=9), date(2026, 12, 31))}
                back |= {"return_of": row["receipt"], "postage_charged": 0.0, "fee": -0.5}
                rows.append(row | back)
    return rows


@st.composite
def purchases(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Slips of any category, some of a stock, by the pack or without any."""
    return [
        {"date": draw(days), "vendor": "v", "what": "w", "amount": draw(cents)}
        | {"category": draw(st.sampled_from(CATEGORIES)), "receipt": f"P{number}", "ok": "yes"}
        | {"stock": draw(st.sampled_from([None, *NEEDS])), "packs": draw(st.integers(0, 150))}
        | {"account": draw(st.sampled_from(ACCOUNTS))}
        for number in range(draw(st.integers(1, 12)))
    ]


_SIGNS = {"owner in": 1, "other income": 1, "other in": 1}
_SIGNS |= {"owner out": -1, "other out": -1, "sales tax paid": -1, "use tax paid": -1}


@st.composite
def money(draw: st.DrawFn) -> list[dict[str, Any]]:
    """What the accounts opened with, and what moved in and between them."""
    rows = [
        {"date": FIRST, "account": each, "what": "opening", "amount": draw(cents)}
        for each in ACCOUNTS
    ]
    for _ in range(draw(st.integers(0, 5))):
        here, there = draw(st.permutations(ACCOUNTS))
        what = draw(st.sampled_from(["transfer", *_SIGNS]))
        row = {"date": draw(days), "account": here, "what": what, "amount": draw(cents)}
        rows.append(row | {"to": there if what == "transfer" else None, "ok": "yes"})
    return rows


def held(rows: Ledgers) -> dict[str, float]:
    """What each account holds at the end of the year, past the rules of the sheets."""
    found = {}
    for name in ACCOUNTS:
        sold = pd.DataFrame(row for row in rows["Sales ledger"] if row["account"] == name)
        slips = [row["amount"] for row in rows["Purchases"] if row["account"] == name]
        amount = -sum(slips)
        for row in rows["Money"]:
            sign = {"opening": 1, "transfer": -1, **_SIGNS}.get(row["what"], 0)
            amount += sign * row["amount"] * (row["account"] == name)
            amount += row["amount"] * (row.get("to") == name)
        if len(sold):
            off = sold.discount.where(sold.kind != "return", -sold.discount)
            paid = (sold.quantity * sold.price - off + sold.postage_charged)[sold.kind != "own use"]
            tax = sold.sales_tax[sold.tier == "stall"]  # the web shop keeps its own
            amount += paid.sum() + tax.sum() - sold.fee.sum() - sold.postage.sum()
        found[name] = round(amount, 2)
    return found


@st.composite
def ledgers(draw: st.DrawFn) -> Ledgers:
    """A year that is in order."""
    bought = draw(purchases())
    tools = [
        {"tool": f"t{n}", "cost": row["amount"], "in_service": row["date"], "salvage": 0}
        | {"tax_method": "expensed", "taken_before": 0, "business_share": 1}
        for n, row in enumerate(bought)
        if row["category"] == "tools"
    ]
    made: list[dict[str, Any]] = [
        {"date": FIRST, "project": thing, "made": 99, "spoiled": 0} for thing in THINGS
    ]
    for _ in range(draw(st.integers(0, 4))):
        run = {"date": draw(days), "project": draw(st.sampled_from(THINGS)), "ok": "yes"}
        pieces_made = draw(st.integers(1, 9))
        made.append(run | {"made": pieces_made, "spoiled": draw(st.integers(0, pieces_made))})
    counts: list[dict[str, Any]] = [
        {"date": FIRST, "stock": "wood", "quantity": 150, "value": draw(cents)},
        {"date": CLOSE, "stock": "wood", "quantity": draw(cents), "value": draw(cents)},
        {"date": CLOSE, "stock": "knob", "quantity": draw(cents), "value": draw(cents)},
    ]
    sold = draw(sales())
    pieces = [
        sum(row["quantity"] for row in sold if row["project"] == thing and row["kind"] != "deposit")
        for thing in THINGS
    ]
    good = [
        sum(row["made"] - row["spoiled"] for row in made if row["project"] == thing)
        for thing in THINGS
    ]
    counts += [
        {"date": CLOSE, "project": thing, "quantity": fit - gone, "value": draw(cents)}
        for thing, fit, gone in zip(THINGS, good, pieces, strict=True)
    ]
    if draw(st.booleans()):
        del counts[1:]  # nobody counted at the close
    miles = [
        {"date": draw(days), "purpose": "p", "miles": draw(st.integers(1, 900)) / 10, "ok": "yes"}
        for _ in range(draw(st.integers(0, 3)))
    ]
    rows = {
        "Sales ledger": sold,
        "Purchases": bought,
        "Money": draw(money()),
        "Production log": made,
        "Counts": counts,
        "Mileage": miles,
        "Tool depreciation": tools,
    }
    rows["Money"] += [
        {"date": CLOSE, "account": name, "what": "closing", "amount": each}
        for name, each in held(rows).items()
    ]
    return rows


def books(rows: Ledgers, method: str) -> Filled:
    web = {
        "collects_sales_tax": "marketplace",
        "channel": "web",
        "fee": 0.1,
        "fixed_fee": 0.5,
        "packaging": 0,
        "postage": 9,
    }
    standing = {
        "Projects": [project(), project(project="other")],
        "Stock": [{"stock": each, "kind": "hardware", "price": 1, "pack": 1} for each in NEEDS],
        "Consumables": [
            {"project": thing, "stock": each, "basis": "piece", "amount": need}
            for each, needs in NEEDS.items()
            for thing, need in needs.items()
        ],
        "Material takeoff": [
            {"project": thing, "stock": each} for each, needs in NEEDS.items() for thing in needs
        ],
        "Channels": [CHANNEL | {"collects_sales_tax": "self"}, web],
        "Tiers": [TIER, TIER | {"tier": "post", "channel": "web"}],
        "By account": [{"account": each} for each in ACCOUNTS],
    }
    names = (("street", "web"), THINGS, TIERS)
    return worked(standing | rows, names=names, stock_method=method)


def half_up(value: float) -> int:
    return int(value + 0.5 + 1e-9)


def goods_of(rows: Ledgers, stock: str) -> tuple[pd.Series, int, int]:
    """What each run took of a stock, what is left of it, and slips of nothing there; in cents."""
    bought, runs = pd.DataFrame(rows["Purchases"]), pd.DataFrame(rows["Production log"])
    bought = bought[bought.category.isin(GOODS) & (bought.stock == stock)]
    need = runs.project.map(NEEDS[stock]).fillna(0)
    moves = pd.concat(
        [
            pd.DataFrame({"day": bought.date, "change": bought.packs, "paid": bought.amount * 100})
            .assign(order=(bought.packs == 0) * 1)
            .rename_axis("row"),
            pd.DataFrame({"day": runs.date, "change": -runs.made * need, "paid": 0.0})
            .assign(order=2)
            .rename_axis("row"),
        ]
    )
    its = rows["Counts"][0] if stock == "wood" else {"quantity": 0, "value": 0}
    units, value, lost = its["quantity"], half_up(its["value"] * 100), 0
    cost, owed = pd.Series(0, index=runs.index), []
    for each in moves.reset_index().sort_values(["day", "order", "row"]).itertuples():
        change, paid = int(each.change), half_up(each.paid)
        if each.order == 2:
            out = min(-change, units)
            part = half_up(value * out / units) if units else 0
            cost[each.row] += part
            units, value = units - out, value - part
            owed += [[each.row, -change - out]] if -change > out else []
            continue
        if not change and not units:
            lost, paid = lost + paid, 0
        while owed and change:
            covered = min(owed[0][1], change)
            part = half_up(paid * covered / change)
            cost[owed[0][0]] += part
            paid, change, owed[0][1] = paid - part, change - covered, owed[0][1] - covered
            owed = [one for one in owed if one[1]]
        units, value = units + change, value + paid
    return cost, value, lost


def cost_of_goods(rows: Ledgers) -> tuple[float, float]:
    """What own use cost, and what the books have left, past the rules of the sheets."""
    taken, values, _ = zip(*(goods_of(rows, stock) for stock in NEEDS), strict=True)
    runs = pd.DataFrame(rows["Production log"]).assign(cost=sum(taken))
    runs["good"] = runs.made - runs.spoiled
    kept, left = 0, sum(values)
    for thing in THINGS:
        moves = [(each.date, 0, each) for each in runs[runs.project == thing].itertuples()]
        sold = pd.DataFrame(rows["Sales ledger"])
        sold = sold[(sold.project == thing) & (sold.kind != "deposit")]
        moves += [(each.date, 1, each) for each in sold.itertuples()]
        paid: dict[str, float] = {}
        pieces = value = 0
        for _, what, each in sorted(moves, key=lambda move: (*move[:2], move[2].Index)):
            if what == 0:
                pieces, value = pieces + each.good, value + each.cost * (each.good > 0)
            elif each.kind == "return":
                pieces, value = pieces + 1, value + half_up(paid[each.return_of])
            else:
                part = half_up(value * each.quantity / pieces)
                paid[each.receipt] = part / each.quantity
                pieces, value = pieces - each.quantity, value - part
                kept += part * (each.kind == "own use")
        left += value
    return kept / 100, left / 100


def expected(rows: Ledgers, method: str) -> dict[str, float]:
    """The lines of the form, worked out apart from the rules of the sheets."""
    sold, bought = pd.DataFrame(rows["Sales ledger"]), pd.DataFrame(rows["Purchases"])
    paid = sold.quantity * sold.price + sold.postage_charged
    into = (paid - sold.discount)[sold.kind.isin(["sale", "deposit"])].sum()
    back = -(paid + sold.discount)[sold.kind == "return"].sum()
    kept, left = cost_of_goods(rows)
    spent = bought.groupby(bought.category.map(LINE_OF)).amount.sum().to_dict()
    opening, *closing = (row["value"] for row in rows["Counts"])
    third = sum(spent.pop(name, 0) for name in ("purchases", "materials", "other_costs"))
    at_the_end = sum(closing) if closing else left if method == "materials" else 0
    used = opening + third - kept - at_the_end
    tools = bought[bought.category == "tools"].amount.sum()
    miles = round(0.725 * sum(row["miles"] for row in rows["Mileage"]) + 1e-9, 2)
    spent["meals"] = round(spent.get("meals", 0) / 2 + 1e-9, 2)
    expenses = sum(amount for line, amount in spent.items() if line)
    expenses += tools + miles + sold.fee.sum() + sold.postage.sum()
    other = sum(row["amount"] for row in rows["Money"] if row["what"] == "other income")
    return {
        "gross_receipts": into,
        "returns": back,
        "goods_sold": used,
        "total_expenses": expenses,
        "net_profit": into - back - used - expenses + other,
    }


def open_checks(filled: Filled) -> set[str]:
    told = {
        name.removesuffix("_state")
        for (sheet, name), state in filled.lines.items()
        if sheet == "Checks" and name.endswith("_state") and state == "look"
    }
    return {name for name in told if not name.endswith("_known") and not name.startswith("stale")}


@examples(12)
@given(ledgers(), st.sampled_from(["materials", "inventory"]))
def test_the_years_totals_and_every_check(rows: Ledgers, method: str) -> None:
    """To the cent as an independent computation has it, and no check wants a look.

    But that of counts, where a value drawn is far from what was paid.
    """
    filled = books(rows, method)
    found = {name: filled.lines["Year-end", name] for name in expected(rows, method)}

    assert found == approx(expected(rows, method), abs=0.005)
    accounts = filled.tables["By account"]
    assert dict(zip(ACCOUNTS, accounts["expected"], strict=True)) == approx(held(rows), abs=0.005)
    assert open_checks(filled) <= {"counts_rows"}


def _change(table: str, column: str, value: Any) -> Callable[[Ledgers], None]:
    def corrupt(rows: Ledgers) -> None:
        rows[table][-1][column] = value

    return corrupt


def _twice(rows: Ledgers) -> None:
    rows["Sales ledger"].append(rows["Sales ledger"][0] | {"ok": None})


def _unmade(rows: Ledgers) -> None:
    first = rows["Sales ledger"][0]
    rows["Sales ledger"].append(
        first | {"receipt": "late", "kind": "sale", "quantity": 150, "price": 0, "fee": 0}
    )


def _wrong_sign(rows: Ledgers) -> None:
    row = rows["Sales ledger"][-1]
    row["quantity"] = -row["quantity"]


def _tool(rows: Ledgers) -> None:
    rows["Purchases"].append(rows["Purchases"][0] | {"category": "tools", "amount": 12.34})


def _transfer(rows: Ledgers) -> None:
    row = {"date": FIRST, "account": "till", "what": "transfer", "amount": 5.0, "to": "bank"}
    rows["Money"].append(row)


CORRUPTED: dict[str, tuple[Callable[[Ledgers], None], set[str]]] = {
    "a tier that is not there": (
        _change("Sales ledger", "tier", "nowhere"),
        {"sales_ledger_rows"},
    ),
    "a project that is not there": (
        _change("Sales ledger", "project", "nothing"),
        {"sales_ledger_rows"},
    ),
    "a sale of another year": (
        _change("Sales ledger", "date", date(2027, 1, 1)),
        {"sales_ledger_rows"},
    ),
    "a sale without a date": (_change("Sales ledger", "date", None), {"sales_ledger_undated"}),
    "a sale without a number": (
        _change("Sales ledger", "quantity", None),
        {"sales_ledger_numbers"},
    ),
    "a wrong sign": (_wrong_sign, {"sales_ledger_rows"}),
    "a line twice": (_twice, {"sales_ledger_rows"}),
    "more sold than made": (_unmade, {"finished_below_zero"}),
    "an unknown category": (
        _change("Purchases", "category", "sundries"),
        {"purchases_rows"},
    ),
    "a slip of another year": (
        _change("Purchases", "date", date(2025, 12, 31)),
        {"purchases_rows"},
    ),
    "a transfer of another sum": (_transfer, {"accounts"}),
    "a tool that is not on its sheet": (_tool, {"tools_bought"}),
}


@examples(2)
@given(ledgers())
@pytest.mark.parametrize("what", CORRUPTED)
def test_the_right_check_fails(what: str, rows: Ledgers) -> None:
    """One entry spoiled, and the check that looks at it says so."""
    corrupt, wanted = CORRUPTED[what]
    spoiled = copy.deepcopy(rows)
    corrupt(spoiled)

    assert wanted <= open_checks(books(spoiled, "inventory"))
