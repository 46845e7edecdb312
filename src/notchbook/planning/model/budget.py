"""How long a search may take: counted steps decide, the clock is only the last resort."""

from __future__ import annotations

import time
from dataclasses import dataclass, field


@dataclass(slots=True)
class Budget:
    """The clock of a plan. Searches end by counted work: rounds, nodes, attempts.

    So the same input gives the same plan on every machine; where the clock ends a search after
    all, `out_of_time` says so.
    """

    seconds: float = 10.0
    out_of_time: bool = False
    _end: float = field(init=False)

    def __post_init__(self) -> None:
        self.start()

    def start(self) -> None:
        """Begin a new plan with all the time there is."""
        self._end = time.monotonic() + self.seconds
        self.out_of_time = False

    def left(self) -> float:
        """Seconds left."""
        left = self._end - time.monotonic()
        if left <= 0:
            self.out_of_time = True
        return max(left, 0.0)
