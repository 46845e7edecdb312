"""Money and sales tax: opening + received - paid = closing; what is due, paid and owed."""

from __future__ import annotations

from datetime import date
from typing import Any

from pytest import approx

from notchbook.commands.account_file import list_movements
from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.ledgers.accounts import account_rows

from .worked import CHANNEL, TIER, project, worked

DAY = date(2026, 5, 5)
SALE = {"date": DAY, "project": "thing", "tier": "stall", "kind": "sale", "quantity": 2}
SALE |= {"price": 40.0, "discount": 5.0, "sales_tax": 4.5, "fee": 1.25, "postage": 3.0}
SALE |= {"postage_charged": 4.0}
WEB = SALE | {"receipt": "2", "tier": "web", "sales_tax": 6.0, "quantity": 1, "discount": 0.0}
BACK = SALE | {"receipt": "3", "kind": "return", "quantity": -1, "discount": 0.0}
BACK |= {"return_of": "1", "sales_tax": -2.25, "fee": 0.0, "postage": 0.0, "postage_charged": 0.0}
EXEMPT = SALE | {"receipt": "4", "sales_tax": 0.0, "date": date(2026, 8, 8), "ok": "yes"}
SLIP = {"date": DAY, "vendor": "v", "what": "w", "category": "office", "amount": 12.5}
RECEIVED = (80 - 5 + 4 + 4.5) + (40 + 4) - (40 + 2.25) + (80 - 5 + 4)  # no tax of the web
PAID = 3 * 1.25 + 3 * 3 + 12.5


def of(what: str, amount: float, day: date = DAY, account: str = "till") -> dict[str, Any]:
    return {"date": day, "account": account, "what": what, "amount": amount}


def books(*money: dict[str, Any], accounts: str = "") -> Filled:
    """Three sales and a return, a slip, and these rows of Money.

    `accounts` are those of the sales and the slip, by their first letters: till, bank, platform.
    """
    named = [{"account": _ACCOUNTS[letter]} for letter in accounts] or [{}] * 5
    elsewhere = {"channel": "site", "collects_sales_tax": "marketplace"}
    rows = {
        "Projects": [project()],
        "Channels": [CHANNEL | {"collects_sales_tax": "self"}, CHANNEL | elsewhere],
        "Tiers": [TIER, TIER | {"tier": "web", "channel": "site"}],
        "Sales ledger": [
            row | its
            for row, its in zip(
                (SALE | {"receipt": "1"}, WEB, BACK, EXEMPT), named[:4], strict=True
            )
        ],
        "Purchases": [SLIP | named[4]],
        "Money": list(money),
        "By account": account_rows(money, named),
    }
    return worked(rows, names=(("street", "site"), ("thing",), ("stall", "web")))


_ACCOUNTS = {"t": "till", "b": "bank", "p": "platform", " ": None}
OPENING = (of("opening", 100, date(2026, 1, 1)), of("opening", 900, date(2026, 1, 1), "bank"))


def closed(till: float, bank: float) -> tuple[dict[str, Any], dict[str, Any]]:
    """What both accounts hold on the last evening."""
    last = date(2026, 12, 31)
    return of("closing", till, last), of("closing", bank, last, "bank")


BETWEEN = (
    of("owner in", 50),
    of("owner out", 20),
    of("other income", 30),
    of("other out", 7),
    of("transfer", 400) | {"to": "bank"},
    of("sales tax paid", 2),
)


def test_the_money_ties() -> None:
    """A transfer moves nothing out; own money is neither income nor expense."""
    last = 1000 + RECEIVED - PAID + 50 - 20 + 30 - 7 - 2
    closing = (of("closing", 1, date(2026, 6, 30)), *closed(last - 1300, 1300))
    lines = books(*OPENING, *BETWEEN, *closing).lines

    assert lines["Accounts", "expected"] == approx(last)
    assert lines["Accounts", "gap"] == approx(0, abs=1e-9)
    assert lines["Checks", "money_state"] == "OK"
    assert lines["Year-end", "other_income"] == 30
    assert lines["Checks", "profit_again"] == approx(0, abs=1e-9)
    assert lines["Year-end", "net_profit"] == approx(RECEIVED - 2.25 - PAID + 30)


def test_money_that_is_missing_is_named() -> None:
    """By its sum; nothing is said where no account was opened, or none closed yet."""
    last = closed(100 + RECEIVED - PAID - 9.99, 900)

    assert books(*OPENING, *last).lines["Checks", "money"] == approx(-9.99)
    assert books(*OPENING, *last).lines["Checks", "money_state"] == "look"
    assert books(*OPENING).lines["Checks", "money_state"] == "OK"
    assert books(*last).lines["Checks", "money_state"] == "OK"


def test_an_account_that_is_not_closed_is_named_and_all_wait() -> None:
    """Its opening says so; the sum is of the newest closing day."""
    till, bank = closed(5, 900)
    found = books(*OPENING, till, bank | {"date": date(2026, 12, 30)})

    assert found.tables["Money"]["state"].tolist() == ["", "not closed", "", ""]
    assert found.lines["Checks", "money_rows"] == 1
    assert found.lines["Checks", "money"] == 0
    assert books(*OPENING, till, bank).lines["Checks", "money"] != 0


# what each account holds at last: the sales' and the slip's accounts are all but till and bank
_TILL = 100 + 83.5 - 4.25 + 50 - 20 - 400  # the first sale, less its fee and postage
_BANK = 900 - 42.25 + 79 - 4.25 - 12.5 + 30 - 7 - 2 + 400
_PLATFORM = 40 + 4 - 4.25  # no sales tax: the marketplace keeps it
_BY_NAME = {"till": _TILL, "bank": _BANK, "platform": _PLATFORM}


_PLATFORM_OPENS = of("opening", 0, date(2026, 1, 1), "platform")


def _of_each(*money: dict[str, Any], accounts: str = "tpbbb", **off: float) -> Any:
    """The accounts one by one, some of them off by so much when they are closed."""
    held = {name: each + off.get(name, 0) for name, each in _BY_NAME.items()}
    last = [of("closing", each, date(2026, 12, 31), name) for name, each in held.items()]
    found = books(*OPENING, *money, *last, accounts=accounts)
    its = found.tables["By account"].set_index("account")
    return found.lines["Checks", "accounts"], its["state"].to_dict(), its


_BETWEEN_ACCOUNTS = tuple(
    each
    | (
        {"account": "bank"}
        if each["what"] in ("other income", "other out", "sales tax paid")
        else {}
    )
    for each in BETWEEN
)


def test_accounts_tie_one_by_one() -> None:
    """Where every row that moves money names its account."""
    number, states, its = _of_each(_PLATFORM_OPENS, *_BETWEEN_ACCOUNTS)

    assert its["closing"].to_dict() == approx(its["expected"].to_dict())
    assert (number, set(states.values())) == (0, {""})


def test_a_transfer_that_is_missing_is_named_by_its_accounts() -> None:
    """All accounts together tie, and two of them do not."""
    without = [each for each in _BETWEEN_ACCOUNTS if each["what"] != "transfer"]
    number, states, its = _of_each(_PLATFORM_OPENS, *without)

    assert number == 2
    assert states == {"till": "missing", "bank": "too much", "platform": ""}
    assert its["gap"].to_dict() == approx({"till": -400, "bank": 400, "platform": 0})


def test_accounts_wait_for_rows_that_name_none() -> None:
    """A slip without an account: together they are looked at all the same."""
    assert _of_each(_PLATFORM_OPENS, *_BETWEEN_ACCOUNTS, till=-9.0)[0] == 1
    number, states, _ = _of_each(_PLATFORM_OPENS, *_BETWEEN_ACCOUNTS, accounts="tpbb ", till=-9.0)
    assert (number, set(states.values())) == (0, {""})


def test_an_account_that_nobody_opened_is_named() -> None:
    """A misspelled one, most often; one that transfers go to may begin at nothing."""
    moved = of("transfer", 1) | {"to": "shoebox"}
    states = _of_each(*_BETWEEN_ACCOUNTS, moved)[1]

    assert states["platform"] == "not opened"
    assert states["shoebox"] != "not opened"


def test_sales_tax_by_quarter_due_paid_and_owed() -> None:
    """Taxed and untaxed sales side by side; what is paid on is never an expense."""
    lines = books(of("sales tax paid", 2)).lines

    def line(name: str) -> object:
        return lines["Year-end", name]

    assert (line("taxed_2"), line("untaxed_2")) == (75 + 40 - 40, 0)
    assert (line("taxed_3"), line("untaxed_3")) == (0, 75)
    assert line("tax_2") == approx(4.5 - 2.25)
    assert line("tax_by_others") == approx(6)
    assert (line("tax_paid"), line("tax_owed")) == (2, approx(0.25))
    assert line("total_expenses") == approx(PAID)


def test_every_movement_of_an_account_is_listed() -> None:
    """From its opening on they make its closing; rows that name no account stand first."""
    last = [of("closing", each, date(2026, 12, 31), name) for name, each in _BY_NAME.items()]
    found = books(*OPENING, _PLATFORM_OPENS, *_BETWEEN_ACCOUNTS, *last, accounts="tpbbb")
    rows = list_movements(found, 2)

    for name, held in _BY_NAME.items():
        its = [float(each[4]) for each in rows if each[0] == name]
        assert sum(its[:-1]) == approx(its[-1]) == approx(held)
    assert [each for each in rows if each[2] == "transfer"] == [
        ["bank", "2026-05-05", "transfer", "till", "400.00"],
        ["till", "2026-05-05", "transfer", "bank", "-400.00"],
    ]
    assert ["bank", "2026-05-05", "slip", "v", "-12.50"] in rows
    assert list_movements(books(), 2)[0][0] == ""
    sold = {"tool": "clamp", "cost": 90.0, "in_service": date(2025, 2, 2), "business_share": 1.0}
    sold |= {"tax_method": "expensed", "disposed": DAY, "disposed_for": 12.0}
    assert list_movements(worked({"Tool depreciation": [sold]}), 2) == [
        ["", "2026-05-05", "tool sold", "clamp", "12.00"]
    ]
