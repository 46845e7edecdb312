"""What was worked out lately, so that nothing is worked out twice; the steps count each time."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

from notchbook.planning.model.budget import Budget

T = TypeVar("T")


class Remembered(Generic[T]):
    """The latest `most` answers by their keys.

    A search ends by the steps it spends, so an answer that is known spends what it took at first:
    what is remembered, and for how long, changes no plan.
    """

    def __init__(self, budget: Budget, most: int) -> None:
        self._budget, self._most = budget, most
        self._known: dict[Hashable, tuple[T, int]] = {}

    def ask(self, key: Hashable, work_out: Callable[[], T]) -> T:
        """Return the answer, worked out where it is not known."""
        if known := self._known.get(key):
            self._budget.spend(known[1])
            return known[0]
        before = self._budget.spent
        found = work_out()
        if len(self._known) >= self._most:
            del self._known[next(iter(self._known))]
        self._known[key] = found, self._budget.spent - before
        return found
