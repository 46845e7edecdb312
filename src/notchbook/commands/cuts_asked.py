"""What `cuts` is asked for, and what of that does not go together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from notchbook.commands.cuts import (
    Cuts,
    plan_cuts,
    plan_cuts_of_next,
    plan_cuts_together,
    plan_most,
)
from notchbook.gathering import Gathered, gather
from notchbook.shop.plans import Watch


@dataclass(frozen=True, slots=True)
class CutsAsked:
    """The options of `cuts`; `wanted` holds the units of each project that is named.

    `boards` of `stock` asks for the most units, or pieces of `part`, out of so many of them.
    """

    wanted: Mapping[str, int | None]
    units: int | None
    every: Literal["all", "next"] | None
    boards: int | None
    stock: str | None
    part: str | None
    keep: bool
    withdraw: bool
    run: str | None
    drawn: bool
    as_json: bool

    def list_contradictions(self) -> list[str]:
        """List what does not go together, each with what to write instead."""
        return list(self._contradictions())

    def _contradictions(self) -> Iterator[str]:
        numbered = self.units is not None or any(self.wanted.values())
        if self.boards is None and (self.stock or self.part):
            yield "--stock and --part go with --boards; write how many boards there are"
        if self.boards is not None and (len(self.wanted) != 1 or numbered or self.every):
            yield "--boards counts units of one project; name it, and leave out --units and --all"
        if self.every and (self.wanted or self.units is not None):
            by = {"all": "every project at its batch size", "next": "what Next batches says"}
            yield f"--{self.every} plans {by[self.every]}; leave out the project and --units"
        elif self.units is not None and (len(self.wanted) > 1 or any(self.wanted.values())):
            yield "--units is for one project; write the units of each as PROJECT=UNITS"
        if self.run and not (self.keep or self.withdraw):
            yield "--run names the run that --keep or --withdraw is for; write one of them"
        shown = self.boards is not None or self.drawn or self.as_json
        if self.withdraw and (self.keep or shown or numbered or self.wanted or self.every):
            yield "--withdraw takes back a cut that was kept; name it with --run alone"
        elif self.keep and (shown or not (self.wanted or self.every)):
            yield "--keep is for one plan that was cut; name its projects, --all or --next alone"

    @property
    def is_one_plan(self) -> bool:
        """Whether one plan is asked for, and not one for each project."""
        return bool(self.every or self.wanted)

    def find(self, shop: Path, watch: Watch) -> Cuts:
        """Plan what is asked for. Raises what the functions of `commands.cuts` raise."""
        if self.boards is None:
            return self.plan(gather(shop, None), watch)
        (project,) = self.wanted
        return plan_most(shop, project, self.boards, self.stock, self.part)

    def plan(self, gathered: Gathered, watch: Watch) -> Cuts:
        """Plan the cuts of a merged shop; see `find`."""
        if self.every == "next":
            return plan_cuts_of_next(gathered, watch)
        if self.every or len(self.wanted) > 1:
            return plan_cuts_together(gathered, self.wanted, watch)
        project, units = next(iter(self.wanted.items()), (None, None))
        return plan_cuts(gathered, project, self.units or units, watch)
