"""What a batch must at least cost, whatever the layout: a bound by volume.

With one kerf added to every dimension of a piece and of the room it is cut from, volumes add up:
the pieces of a board cannot fill more than the whole of it. So each piece takes a known least
share of a board, and money follows from the shares.
"""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, gcd

from notchbook.planning.model.grid import GridBoard, GridPart, GridSaw, LengthGrid


class Bound:
    """Lower bounds for parts that share boards among themselves and with no others."""

    def __init__(self, grid: LengthGrid, members: Sequence[int]) -> None:
        self._shares = {
            i: {s: share(grid.parts[i], grid.boards[s], grid.saw) for s in grid.parts[i].boards}
            for i in members
        }
        self._boards = {s: grid.boards[s] for shares in self._shares.values() for s in shares}
        self._rates = {i: self._rate(shares) for i, shares in self._shares.items()}
        prices = [board.price for board in self._boards.values() if board.buyable]
        self._coin = gcd(*prices)
        self._most = {
            i: {s: int(1 / of) for s, of in shares.items()} for i, shares in self._shares.items()
        }
        self._savings = {s: self._saving(s) for s in self._boards}

    def cost(self, demand: Sequence[int], hand: Sequence[int]) -> int:
        """The least that must be spent, in money steps, with `hand` boards there already.

        A piece costs at least its share of the cheapest board; a board on hand saves at most what
        the dearest filling of it would cost. Rounded up to a sum that the prices can make.
        """
        need = sum((demand[i] * rate for i, rate in self._rates.items()), Fraction(0))
        need -= sum((hand[s] * saving for s, saving in self._savings.items()), Fraction(0))
        if need <= 0 or not self._coin:
            return 0
        return ceil(need / self._coin) * self._coin

    def boards(self, demand: Sequence[int]) -> int:
        """The least number of boards, bought or on hand, in one piece or another."""
        return ceil(sum(demand[i] * min(s.values()) for i, s in self._shares.items() if s))

    def most(self, part: int, board: int) -> int:
        """More pieces of the part than this are never cut from one board."""
        return self._most[part][board]

    def _rate(self, shares: dict[int, Fraction]) -> Fraction:
        costs = [of * self._boards[s].price for s, of in shares.items() if self._boards[s].buyable]
        return min(costs, default=Fraction(0))

    def _saving(self, board: int) -> Fraction:
        savings = [
            self._rates[i] / shares[board] for i, shares in self._shares.items() if board in shares
        ]
        return max(savings)


def share(part: GridPart, board: GridBoard, saw: GridSaw) -> Fraction:
    """Return the least part of a board that one piece takes up, kerf counted; more than 0."""
    k = saw.kerf
    if board.panel:
        room = (board.length + k) * (board.width + k)
        return Fraction((part.length + k) * (part.width + k), room)
    along = Fraction(part.length + k, board.length - 2 * saw.end_trim + k)
    if board.full_section(part):
        return along
    across = board.width - 2 * saw.squaring
    room = (across + k) * (board.thickness + k)
    return along * Fraction((part.width + k) * (part.thickness + k), room)


_STEPS = 50_000


def payable(grid: LengthGrid, boards: Sequence[int], least: Fraction) -> int:
    """Return the smallest sum not below `least` that whole boards to be bought can cost."""
    prices = sorted({grid.boards[b].price for b in boards if grid.boards[b].buyable} - {0})
    if least <= 0 or not prices:
        return 0
    coin = gcd(*prices)
    start = ceil(least / coin)
    units = [price // coin for price in prices]
    if start + units[0] > _STEPS:
        return start * coin
    reached = [True] + [False] * (start + units[0])
    for unit in units:
        for at in range(unit, len(reached)):
            reached[at] = reached[at] or reached[at - unit]
    return next(at for at in range(start, len(reached)) if reached[at]) * coin
