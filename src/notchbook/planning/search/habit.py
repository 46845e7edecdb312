"""How first fit goes about a board."""

from typing import Literal, NamedTuple

BlankLength = Literal["snug", "run", "whole"]


class Habit(NamedTuple):
    """Parts in this order; how long a blank to be ripped is; which rest of a cut stays whole.

    A blank is snug (its piece, or the shortest rip), a run (the fewest pieces end to end that
    reach the shortest rip) or whole (all that is left of the board). The parts in `turned` are
    tried the other way round first.
    """

    order: tuple[int, ...]
    blanks: BlankLength = "snug"
    split: int | None = None
    turned: frozenset[int] = frozenset()
