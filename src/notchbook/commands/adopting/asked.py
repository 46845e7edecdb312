"""Prices asked at each tier, written as the files write them."""

from __future__ import annotations

from collections.abc import Mapping

from ruamel.yaml.nodes import MappingNode

from notchbook.definitions.editing.edits import YamlFile, quoted_text
from notchbook.definitions.editing.writing import entry, money
from notchbook.gathering import Gathered
from notchbook.merging.cells import Value, same

Prices = dict[str, tuple[Value, Value]]
"""By tier: the price that the files say, and the one that is asked now."""
NOTHING = "{}"


def changed_prices(gathered: Gathered, name: str, now: str) -> Prices:
    """The prices of a project that are others now, or stand at another tier.

    A row of a renamed project may not be paired with what the files say of it by its old name.
    """
    before: dict[str, Value] = {}
    after: dict[str, Value] = {}
    for said, cells in gathered.sides_by_side["Pricing tiers"].pairs:
        if said is not None and said.get("project") == name:
            before[str(said["tier"])] = said.get("asked")
        if cells is not None and cells.get("project") == now:
            after[str(cells["tier"])] = cells.get("asked")
    return {
        tier: (before.get(tier), after.get(tier))
        for tier in dict.fromkeys([*before, *after])
        if not same(before.get(tier), after.get(tier))
    }


def all_prices(gathered: Gathered, now: str) -> str:
    """All prices that are asked for a project, as the value of a key."""
    return entry(
        {
            quoted_text(str(cells["tier"])): _money(cells.get("asked"))
            for _, cells in gathered.sides_by_side["Pricing tiers"].pairs
            if cells is not None and cells.get("project") == now
        }
    )


def edit_asked(file: YamlFile, within: MappingNode, changed: Prices) -> None:
    """Writes prices that changed behind the key of a project or a variant."""
    prices = dict(changed)
    mapping = file.value(within, "asked")
    if mapping is None:
        text = entry({quoted_text(tier): _money(price) for tier, (_, price) in prices.items()})
        if text != NOTHING:
            file.set(within, "asked", text)
        return
    for old, new in _renamed_tiers(prices):
        file.rename(mapping, old, new)
        del prices[old], prices[new]
    for tier, (_, price) in prices.items():
        file.set(mapping, tier, _money(price))


def _renamed_tiers(prices: Mapping[str, tuple[Value, Value]]) -> list[tuple[str, str]]:
    """Tiers whose price stands at another one now, as when a tier gets another name."""
    gone = {tier: before for tier, (before, price) in prices.items() if price is None}
    new = {tier: price for tier, (before, price) in prices.items() if before is None}
    found = []
    for tier, before in gone.items():
        other = next((each for each, price in new.items() if same(before, price)), None)
        if other is not None:
            found.append((tier, other))
            del new[other]
    return found


def _money(value: Value) -> str | None:
    return money(value) if isinstance(value, float) else None
