"""The moving average cost of a stock: each purchase mixes with what is left of the ones before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from notchbook.sheets.making.stock_used import runs_took


@dataclass(frozen=True, slots=True)
class Move:
    """So many units in (with what they cost) or out, on a day by its number."""

    day: float
    units: float
    cost: float = 0.0

    @property
    def comes_in(self) -> bool:
        """Whether it was bought or counted at the opening."""
        return self.units > 0


@dataclass(frozen=True, slots=True)
class Ran:
    """What is left after the moves, the cost of what went out, and the average last known."""

    units: float
    value: float
    cost_out: float
    average: float


def run(moves: Iterable[Move]) -> Ran:
    """The moves by date, what comes in on a day before what goes out; never below nothing."""
    units = value = out = average = 0.0
    for move in sorted(moves, key=lambda each: (each.day, not each.comes_in)):
        if move.comes_in:
            units, value = units + move.units, value + move.cost
            average = value / units
            continue
        taken = min(-move.units, units)
        units, value, out = units - taken, value - taken * average, out + taken * average
    return Ran(units, value, out, average)


def moving_averages(tables: Mapping[str, Any], first: float, last: float) -> list[float]:
    """The moving average of each row of Stock, from all tables worked out, within two days."""
    stock = tables["Stock"]
    moves: dict[str, list[Move]] = {name: [] for name in stock["stock"]}
    packs = dict(zip(stock["stock"], stock["pack"].fillna(1.0), strict=True))
    for name, move in (*_counted(tables["Counts"], first), *_bought(tables["Purchases"], packs)):
        if name in moves and move.day <= last:
            moves[name].append(move)
    for took in runs_took(tables):
        if took.stock in moves and took.units > 0 and first <= took.day <= last:
            moves[took.stock].append(Move(took.day, -took.units))
    return [run(moves[name]).average for name in stock["stock"]]


def _counted(counts: Any, first: float) -> Iterator[tuple[str, Move]]:
    for row in counts[counts["count"] == "opening"].itertuples():
        yield row.stock, Move(first - 1, row.quantity, row.value)


def _bought(purchases: Any, packs: Mapping[str, float]) -> Iterator[tuple[str, Move]]:
    real = purchases[(purchases["packs"] > 0) & (purchases["state"] != "other year")]
    costs = real["amount"] + real["use_tax"].fillna(0)
    for row, cost in zip(real.itertuples(), costs, strict=True):
        yield row.stock, Move(row.date, row.packs * packs.get(row.stock, 1.0), cost)
