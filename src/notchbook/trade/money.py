"""Money: the decimals of each currency, and amounts rounded to them."""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from importlib import resources

SHEET_DIGITS = 15
"""A spreadsheet keeps so many significant digits, and rounds what it keeps."""


def currency_decimals(code: str) -> int:
    """Look up how many decimals a currency's amounts have: 2 for USD, 0 for JPY, 3 for KWD.

    Raises ValueError for what is not the code of an active currency, naming a near one.
    """
    known = _decimals()
    if code in known:
        return known[code]
    near = difflib.get_close_matches(code[:20].upper(), known, n=1)
    shown = "".join(sign if sign.isprintable() else "?" for sign in code[:20])
    raise ValueError(
        f"'{shown}' is not the code of a currency in use; write the three capital letters of "
        f"ISO 4217, such as {near[0] if near else 'USD'}"
    )


def round_money(value: float, decimals: int) -> Decimal:
    """Round the amount to so many decimals, half away from zero, as a spreadsheet does.

    Raises ValueError for infinity and not-a-number.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is not an amount of money")
    kept = Decimal(format(value, f".{SHEET_DIGITS}g"))
    with_digits = kept.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    return abs(with_digits) if with_digits == 0 else with_digits


def round_to_sum(parts: Sequence[float], total: float, decimals: int) -> list[Decimal]:
    """Round parts so that they add up to their rounded total.

    What rounding alone would leave over is shared, a last digit each, by those it brings nearest.
    Raises ValueError as `round_money` does.
    """
    found = [round_money(part, decimals) for part in parts]
    last = Decimal(1).scaleb(-decimals)
    over = round_money(total, decimals) - sum(found)
    step = last if over > 0 else -last
    by_need = sorted(range(len(parts)), key=lambda n: (Decimal(parts[n]) - found[n]) / -step)
    for n in by_need[: int(over / step)]:
        found[n] += step
    return found


@cache
def _decimals() -> Mapping[str, int]:
    from ruamel.yaml import YAML

    text = resources.files("notchbook").joinpath("data", "currencies.yaml").read_text("utf-8")
    data = YAML(typ="safe", pure=True).load(text)
    two = dict.fromkeys(data["two decimals"].split(), 2)
    return two | {code: digits for digits, codes in data["other"].items() for code in codes.split()}
