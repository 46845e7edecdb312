"""The ideas of a shop, the best first: what is left, how long one may take, the verdict."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from notchbook.base.sentences import wrapped
from notchbook.shop.ideas_ranked import rank_ideas
from notchbook.shop.pipeline import Priced
from notchbook.trade.money import currency_decimals, round_money


def build_ideas(priced: Priced) -> list[dict[str, Any]]:
    """List all ideas, amounts in the currency's decimals; what nobody knows yet is None."""
    decimals = currency_decimals(priced.definitions.settings.currency)

    def money(value: float, known: bool = True) -> float | None:
        return float(round_money(value, decimals)) if known else None

    found = []
    for row in rank_ideas(priced.filled):
        seen, guessed = bool(row["seen"]), row["batch_minutes"] > 0
        found.append(
            {
                "idea": row["idea"],
                "seen": money(row["seen_average"], seen),
                "market": money(row["market"], seen),
                "materials": money(row["materials"]),
                "left": money(row["left"], seen),
                "minutes_allowed": round(row["minutes_allowed"], 1) if seen else None,
                "minutes": round(row["batch_minutes"], 1) if guessed else None,
                "per_hour": money(row["per_hour"], guessed and seen),
                "verdict": row["verdict"],
                "reason": row["reason"],
                "least_price": money(row["least_price"], guessed),
            }
        )
    return found


def format_ideas(found: list[dict[str, Any]], currency: str) -> str:
    """Write the ideas in lines of at most 80 letters."""
    if not found:
        return "There are no ideas yet. Type one on the sheet Ideas, or write ideas.yaml."
    decimals = currency_decimals(currency)
    head = f"Ideas, the best first; {currency} a piece"
    return "\n\n".join([head, *("\n".join(_format(each, decimals)) for each in found)])


def _format(each: dict[str, Any], decimals: int) -> Iterator[str]:
    yield from wrapped(f"{each['idea']}: {each['verdict']}", "", "  ")
    yield from wrapped(each["reason"], "  ")
    amounts = {"seen": each["seen"], "here": each["market"], "material": each["materials"]}
    amounts |= {"left": each["left"], "pays from": each["least_price"]}
    told = [f"{name} {its:,.{decimals}f}" for name, its in amounts.items() if its is not None]
    if each["minutes_allowed"] is not None:
        guess = "" if each["minutes"] is None else f"{each['minutes']:g} minutes guessed, "
        told.append(f"{guess}may take {each['minutes_allowed']:g}")
    yield from wrapped("; ".join(told), "  ")
