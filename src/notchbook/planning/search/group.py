"""Parts that share boards among themselves and with no others; what their searches share."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from notchbook.planning.model.budget import Budget
from notchbook.planning.model.grid import LengthGrid
from notchbook.planning.model.supply import Supply
from notchbook.planning.search.bound import Bound
from notchbook.planning.search.first_fit import FirstFit
from notchbook.planning.search.sheet import SheetSupply
from notchbook.planning.search.wood import Wood


class Group:
    """Parts planned together, by number, and their boards."""

    def __init__(self, grid: LengthGrid, members: Sequence[int], budget: Budget) -> None:
        self.grid, self.members, self.budget = grid, tuple(members), budget
        self.bound = Bound(grid, members)
        self.first_fit = FirstFit(grid, members, self.bound, budget)
        self.boards = self.first_fit.boards
        self.scarce = {
            i for i in members if not any(grid.boards[b].buyable for b in grid.parts[i].boards)
        }

    def own(self, demand: Sequence[int]) -> list[int]:
        """The demand for this group's own parts."""
        return [n if i in self.members else 0 for i, n in enumerate(demand)]

    def _most(self, boards: Sequence[int]) -> list[int]:
        """The most pieces of each part that one of the boards can hold."""
        most = [0] * len(self.grid.parts)
        for i in self.members:
            fitting = [b for b in boards if b in self.grid.parts[i].boards]
            most[i] = max((self.bound.most(i, b) for b in fitting), default=0)
        return most

    @cached_property
    def supplies(self) -> list[Supply]:
        """The boards, those of one section that the same parts are cut from together."""
        sheets: list[Supply] = []
        woods: dict[tuple[object, ...], list[int]] = {}
        for b in self.boards:
            board = self.grid.boards[b]
            parts = tuple(i for i in self.members if b in self.grid.parts[i].boards)
            if board.panel:
                sheets.append(SheetSupply(self.grid, b, self._most([b]), self.budget))
            else:
                woods.setdefault((board.thickness, board.width, parts), []).append(b)
        found = [
            Wood(self.grid, boards, self._most(boards), self.budget) for boards in woods.values()
        ]
        return [*found, *sheets]


def groups(grid: LengthGrid, budget: Budget) -> list[Group]:
    """One for the parts that have boards in common, in the job's order."""
    found: list[tuple[set[int], list[int]]] = []
    for i, part in enumerate(grid.parts):
        joined = [group for group in found if group[0].intersection(part.boards)]
        boards = set(part.boards).union(*(group[0] for group in joined))
        members = sorted([i, *(member for group in joined for member in group[1])])
        found = [group for group in found if group not in joined]
        found.append((boards, members))
    return [Group(grid, members, budget) for _, members in found]
