"""How much a search may do: work is counted, so that every machine comes to the same plan.

A step stands for about a microsecond of the processor. The numbers of steps are worked out from
the sizes of what is looked at and never measured: on a busy machine, or a slow one, a plan takes
longer and is the same. A clock stops only what runs away.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field

PLAN = 10_000_000  # steps for the plan of a batch
RUNAWAY = 120.0  # seconds of the processor; the steps of a plan take a tenth of it


@dataclass(slots=True)
class Budget:
    """Steps that may be spent, and those that are; `out_of_time` where the clock had to stop it.

    A plan that the clock stopped may be another one next time, and is not kept.
    """

    steps: int = PLAN
    spent: int = 0
    out_of_time: bool = False
    ever_out_of_time: bool = False
    _began: float = field(default_factory=time.process_time)

    def start(self, steps: int = PLAN) -> None:
        """Begin a new search with so many steps."""
        self.steps, self.spent, self.out_of_time = steps, 0, False
        self._began = time.process_time()

    def stop(self) -> None:
        """End the search: the clock says that something runs away."""
        self.out_of_time = self.ever_out_of_time = True

    def spend(self, steps: float) -> None:
        """Count work that was done."""
        self.spent += int(steps)

    @property
    def left(self) -> int:
        """Steps left."""
        if time.process_time() - self._began > RUNAWAY:
            self.stop()
        return 0 if self.out_of_time else max(self.steps - self.spent, 0)
