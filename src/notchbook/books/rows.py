"""What the books are kept from. Values are in the currency's smallest amount, days are numbers."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Opened:
    """What was counted at the beginning: units of a stock, or pieces of a project."""

    name: str
    units: float
    value: int


@dataclass(frozen=True, slots=True)
class Slip:
    """Goods bought, by their row of Purchases; no stock or no units where none are named."""

    row: int
    day: float
    stock: str
    units: float
    value: int


@dataclass(frozen=True, slots=True)
class Used:
    """So many units of a stock that a run, by its row of Production log, took."""

    run: int
    day: float
    project: str
    stock: str
    units: float


@dataclass(frozen=True, slots=True)
class BenchRun:
    """The good pieces of a run, by its row of Production log."""

    row: int
    day: float
    project: str
    good: float


@dataclass(frozen=True, slots=True)
class Sale:
    """Pieces that go, or come back below 0, by their row of Sales ledger.

    `sold_in` are the rows of the sale that is returned. `estimate` is what a piece costs where
    the books do not know it.
    """

    row: int
    day: float
    project: str
    pieces: float
    estimate: float
    own_use: bool = False
    sold_in: Sequence[int] = ()


@dataclass(frozen=True)
class YearRows:
    """All rows of a year; `in_projects` are the stocks that any project uses now.

    `counted` are the units of the closing count, by stock.
    """

    stocks: Sequence[Opened] = ()
    pieces: Sequence[Opened] = ()
    in_work: Sequence[Opened] = ()
    slips: Sequence[Slip] = ()
    used: Sequence[Used] = ()
    runs: Sequence[BenchRun] = ()
    sales: Sequence[Sale] = ()
    in_projects: Collection[str] = ()
    counted: Mapping[str, float] = field(default_factory=dict)
