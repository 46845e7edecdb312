"""What moved in which account, day by day, as rows of a file."""

from __future__ import annotations

from collections.abc import Iterator
from math import isnan

from notchbook.language.functions import from_serial
from notchbook.sheets.kit.calculate import Filled

ACCOUNTS = "accounts.csv"
ACCOUNTS_HEAD = ("account", "date", "what", "of", "amount")
_OUT = ("owner out", "other out", "sales tax paid", "use tax paid")
_Movement = tuple[str, float, str, str, float]


def list_movements(filled: Filled, decimals: int) -> list[list[str]]:
    """List every movement of money, by account and day, below 0 where it goes out.

    From its opening on, the movements of an account make what stands as its closing. Rows that name
    no account stand first.
    """
    found = [*_of_sales(filled), *_of_slips(filled), *_of_tools(filled), *_of_money(filled)]
    found.sort(key=lambda each: (each[0].casefold(), each[1], each[2] == "closing"))
    return [
        [account, from_serial(day).isoformat(), what, of, f"{amount + 0.0:.{decimals}f}"]
        for account, day, what, of, amount in found
        if not isnan(day) and (round(amount, decimals) or what in ("opening", "closing"))
    ]


def _of_sales(filled: Filled) -> Iterator[_Movement]:
    for row in filled.tables["Sales ledger"].to_dict("records"):
        what = str(row["kind"] or "sale")
        yield str(row["account"]), row["date"], what, str(row["receipt"]), row["moved"]


def _of_slips(filled: Filled) -> Iterator[_Movement]:
    for row in filled.tables["Purchases"].to_dict("records"):
        if not isnan(row["amount"]):
            yield str(row["account"]), row["date"], "slip", str(row["vendor"]), -row["amount"]


def _of_tools(filled: Filled) -> Iterator[_Movement]:
    for row in filled.tables["Tool depreciation"].to_dict("records"):
        if not isnan(row["disposed_for"]):
            yield "", row["disposed"], "tool sold", str(row["tool"]), row["disposed_for"]


def _of_money(filled: Filled) -> Iterator[_Movement]:
    for row in filled.tables["Money"].to_dict("records"):
        amount, what, of = row["amount"], str(row["what"]), str(row["note"])
        if isnan(amount):
            continue
        if what == "transfer":
            yield str(row["account"]), row["date"], what, str(row["to"]), -amount
            yield str(row["to"]), row["date"], what, str(row["account"]), amount
        else:
            sign = -1 if what in _OUT else 1
            yield str(row["account"]), row["date"], what, of, sign * amount
