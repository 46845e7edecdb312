"""Money and sales tax: opening + received - paid = closing; what is due, paid and owed."""

from __future__ import annotations

from datetime import date
from typing import Any

from pytest import approx

from notchbook.sheets.kit.calculate import Filled

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


def books(*money: dict[str, Any]) -> Filled:
    """Three sales and a return, a slip, and these rows of Money."""
    elsewhere = {"channel": "site", "collects_sales_tax": "marketplace"}
    rows = {
        "Projects": [project()],
        "Channels": [CHANNEL | {"collects_sales_tax": "self"}, CHANNEL | elsewhere],
        "Tiers": [TIER, TIER | {"tier": "web", "channel": "site"}],
        "Sales ledger": [SALE | {"receipt": "1"}, WEB, BACK, EXEMPT],
        "Purchases": [SLIP],
        "Money": list(money),
    }
    return worked(rows, names=(("street", "site"), ("thing",), ("stall", "web")))


OPENING = (of("opening", 100, date(2026, 1, 1)), of("opening", 900, date(2026, 1, 1), "bank"))
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
    closing = (of("closing", 1, date(2026, 6, 30)), of("closing", last, date(2026, 12, 31)))
    lines = books(*OPENING, *BETWEEN, *closing).lines

    assert lines["Accounts", "expected"] == approx(last)
    assert lines["Accounts", "gap"] == approx(0, abs=1e-9)
    assert lines["Checks", "money_state"] == "OK"
    assert lines["Year-end", "other_income"] == 30
    assert lines["Checks", "profit_again"] == approx(0, abs=1e-9)
    assert lines["Year-end", "net_profit"] == approx(RECEIVED - 2.25 - PAID + 30)


def test_money_that_is_missing_is_named() -> None:
    """By its sum; nothing is said where no account was opened, or none closed yet."""
    last = of("closing", 1000 + RECEIVED - PAID - 9.99, date(2026, 12, 31))

    assert books(*OPENING, last).lines["Checks", "money"] == approx(-9.99)
    assert books(*OPENING, last).lines["Checks", "money_state"] == "look"
    assert books(*OPENING).lines["Checks", "money_state"] == "OK"
    assert books(last).lines["Checks", "money_state"] == "OK"


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
