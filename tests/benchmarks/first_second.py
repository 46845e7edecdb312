"""One search watched: what its best plan cost, and after how many seconds of the processor."""

from __future__ import annotations

import time

from notchbook.planning import Planner
from notchbook.planning.model.outcome import Cut
from notchbook.planning.search.search import Search

from ..plain_shops import Shop, job_of

Known = list[tuple[float, int]]


class Watched(Search):
    """A search that writes down what its best plan costs whenever one is offered."""

    def __init__(self, planner: Planner, demand: list[int]) -> None:
        self._began, self.known = time.process_time(), Known()
        (group,) = planner.groups
        super().__init__(group, demand, [board.on_hand for board in planner.grid.boards])
        self._write_down()

    def _offer(self, cuts: tuple[Cut, ...] | None) -> None:
        super()._offer(cuts)
        self._write_down()

    def _write_down(self) -> None:
        self.known.append((time.process_time() - self._began, self.found.cost))


def watched(shop: Shop, units: int) -> Known:
    """Seconds and money steps, the last plan last, of a job whose parts share all boards."""
    planner = Planner(job_of(shop))
    planner.budget.start()
    search = Watched(planner, [part.make * units for part in planner._sorted.parts])
    if search.gap:
        search.relax(planner.budget.left // 2)
        while planner.budget.left and search.improve():
            pass
    search._write_down()
    return search.known
