"""What the accounts held on a year's last evening, made the openings of the next one."""

from __future__ import annotations

from datetime import date, timedelta

from notchbook.base.sentences import listed
from notchbook.definitions.editing.writing import number, write_csv
from notchbook.language.functions import to_serial
from notchbook.sheets.kit.calculate import Filled


def open_accounts(filled: Filled, day: date) -> tuple[str | None, list[str]]:
    """Write the openings of `day` as money.csv, where there are any; name accounts without one."""
    money, last = filled.tables["Money"], day - timedelta(days=1)
    of_accounts = money[money["what"].isin(("opening", "closing"))]
    is_closed = (of_accounts["what"] == "closing") & (of_accounts["date"] == to_serial(last))
    closed = of_accounts[is_closed & of_accounts["amount"].notna()]
    held = {
        name.casefold(): [day.isoformat(), name, "opening", number(amount)]
        for name, amount in zip(closed["account"], closed["amount"], strict=True)
    }
    accounts = {name.casefold(): name for name in of_accounts["account"]}
    missing = [name for key, name in accounts.items() if key not in held]
    look = []
    if missing:
        look.append(
            f"Money holds no closing of {last} for {listed(missing)}; type what was there that"
            " evening as the opening into ledgers/money.csv or the new Money"
        )
    text = write_csv(("date", "account", "what", "amount"), held.values())
    return text if held else None, look
