"""The price list of a shop: what a unit costs, and what each tier brings."""

from __future__ import annotations

from collections.abc import Mapping
from math import isnan
from typing import Any

from notchbook.base.problems import nearest
from notchbook.base.refusals import RefusedError
from notchbook.base.sentences import wrapped
from notchbook.base.spelling import spell
from notchbook.sheets.kit.shop_settings import ShopSettings
from notchbook.shop.pipeline import Priced
from notchbook.trade.money import currency_decimals, round_money, round_to_sum

COSTS = {
    **{
        name: name for name in ("material", "hardware", "consumables", "tools", "labor", "overhead")
    },
    "spoiled": "spoilage_cost",
}
"""The parts of a unit cost, and the columns of Projects that hold them."""
NAMES = {"tools": "tool wear", "spoiled": "spoiled pieces"}
_MONEY = ("market", "break_even", "for_margin", "suggested", "asked", "price", "proceeds", "profit")


def build_price_list(priced: Priced, project: str | None) -> list[dict[str, Any]]:
    """List each project with its cost and tiers, amounts in the currency's decimals.

    Raises RefusedError for an unknown project.
    """
    known = list(priced.definitions.projects)
    if project is not None and project not in known:
        raise RefusedError(
            f"there is no project {project!r}{nearest(project, known)}; there are "
            + ", ".join(known)
        )
    decimals = currency_decimals(priced.definitions.settings.currency)

    def money(value: float) -> float | None:
        return None if isnan(value) else float(round_money(value, decimals))

    tiers = priced.filled.tables["Pricing tiers"].to_dict("records")
    result = []
    for row in priced.filled.tables["Projects"].to_dict("records"):
        if project not in (None, row["project"]):
            continue
        result.append(
            {
                "project": row["project"],
                "units": int(row["batch"]),
                "cost": _build_up(row, decimals) | {"unit": money(row["unit_cost"])},
                "minutes": round(row["minutes"], 1),
                "seen": money(row["seen_average"]) if row["seen"] else None,
                "market": money(row["market"]) if row["seen"] else None,
                "verdict": row["verdict"],
                "reason": row["reason"],
                "tiers": [
                    {"tier": tier["tier"]}
                    | {name: money(tier[name]) for name in _MONEY}
                    | {"margin": round(tier["margin"], 4), "per_hour": money(tier["per_hour"])}
                    for tier in tiers
                    if tier["project"] == row["project"]
                ],
            }
        )
    return result


def _build_up(row: Mapping[str, Any], decimals: int) -> dict[str, float | None]:
    """The parts of a unit cost, so rounded that they add up to it."""
    parts = [row[column] for column in COSTS.values()]
    if any(isnan(each) for each in (*parts, row["unit_cost"])):
        return dict.fromkeys(COSTS)
    rounded = round_to_sum(parts, row["unit_cost"], decimals)
    return dict(zip(COSTS, map(float, rounded), strict=True))


def format_price_list(found: list[dict[str, Any]], settings: ShopSettings) -> str:
    """Write the price list in words and columns of at most 80 letters."""
    return "\n\n".join(_format_project(each, settings) for each in found)


def _format_project(each: dict[str, Any], settings: ShopSettings) -> str:
    currency, decimals = settings.currency, currency_decimals(settings.currency)

    def shown(value: float | None) -> str:
        return "-" if value is None else f"{value:,.{decimals}f}"

    unit = "unit" if each["units"] == 1 else "units"
    lines = [f"{each['project']}: a batch of {each['units']} {unit}, {currency} a unit"]
    lines += wrapped(f"{each['verdict']}: {each['reason']}", "  ")
    lines += [
        f"  {spell(NAMES.get(name, name), settings.spelling):<22}{shown(each['cost'][name]):>12}"
        for name in COSTS
        if name != "spoiled" or each["cost"][name]
    ]
    lines.append(f"  {'unit cost':<22}{shown(each['cost']['unit']):>12}")
    if each["seen"] is not None:
        lines.append(f"  {'seen in shops':<22}{shown(each['seen']):>12}")
        lines.append(f"  {'market price here':<22}{shown(each['market']):>12}")
    lines.append(f"  {'minutes a unit':<22}{each['minutes']:>12.1f}")
    lines.append(f"  {'tier':<22}{'break-even':>12}{'price':>11}{'profit':>11}{'an hour':>11}")
    lines += [
        f"  {tier['tier'][:21]:<22}{shown(tier['break_even']):>12}{shown(tier['price']):>11}"
        f"{shown(tier['profit']):>11}{shown(tier['per_hour']):>11}"
        f"{' at a loss' if tier['price'] < tier['break_even'] else ''}"
        for tier in each["tiers"]
    ]
    return "\n".join(lines)
