"""What a planner needs to know of boards: what they are worth, and ways to cut them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple, Protocol

from notchbook.planning.model.filled import FilledBoard


class CutOfBoard(Protocol):
    """One way to cut a board, in its supply's own terms."""

    @property
    def counts(self) -> tuple[int, ...]:
        """How many pieces of each part come out."""


class Pattern(NamedTuple):
    """A way to cut boards of one number; `supply` is the number of their supply."""

    supply: int
    board: int
    cut: CutOfBoard

    @property
    def counts(self) -> tuple[int, ...]:
        """How many pieces of each part come out."""
        return self.cut.counts


class Worths(Protocol):
    """What boards are worth at given values of the pieces."""

    boards: tuple[int, ...]

    def prices(self, values: Sequence[float], most: Sequence[int]) -> Any:
        """Value everything these boards can yield, each part at most `most` times."""

    def worth(self, prices: Any, board: int) -> float:
        """What one board is worth at best; exact where the values are whole numbers."""


class Supply(Worths, Protocol):
    """Boards that the same parts are cut from, known by their numbers."""

    @property
    def exact(self) -> bool:
        """Whether the relaxed filling is a real one: within what was allowed, the best there is."""

    @property
    def limits(self) -> Worths | None:
        """The same boards with a `worth` that is an upper limit for every way to cut, if known."""

    def relaxed(self, prices: Any, board: int) -> Sequence[CutOfBoard]:
        """Return the filling worth that much, and perhaps others that are worth much.

        They may hold more of a part than was allowed.
        """

    def cut(self, board: int, values: Sequence[float], most: Sequence[int]) -> CutOfBoard:
        """A valuable way to cut one board within `most`."""

    def filled(self, cut: Any, wanted: Sequence[int]) -> FilledBoard:
        """Everything in its place; pieces beyond `wanted` are not cut."""
