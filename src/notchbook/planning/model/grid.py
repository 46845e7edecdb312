"""The job in whole numbers: every length a multiple of the least common grid, money likewise."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from notchbook.planning.model.problem import Board, Job, Part, Saw, find_reason


@dataclass(frozen=True, slots=True)
class GridPart:
    """A part in grid steps, and the boards it fits, in the maker's order."""

    thickness: int
    width: int
    length: int
    turn: bool
    boards: tuple[int, ...]

    @property
    def volume(self) -> int:
        """Cubic grid steps of one piece."""
        return self.thickness * self.width * self.length


@dataclass(frozen=True, slots=True)
class GridSaw:
    """The saw in grid steps; a saw without a limit cuts deeper and longer than any board."""

    kerf: int
    squaring: int
    end_trim: int
    shortest_rip: int
    deepest_cut: int
    longest_rip: int
    sheet_trim: int


@dataclass(frozen=True, slots=True)
class GridBoard:
    """A board in grid steps, its price in money steps; a sheet without its factory edges."""

    panel: bool
    grain: bool
    thickness: int
    width: int
    length: int
    price: int
    on_hand: int
    buyable: bool

    @property
    def volume(self) -> int:
        """Cubic grid steps of the whole board."""
        return self.thickness * self.width * self.length

    def full_section(self, part: GridPart) -> bool:
        """Whether the part is of the whole, unripped section."""
        return {part.thickness, part.width} == {self.thickness, self.width}


@dataclass(frozen=True, slots=True)
class LengthGrid:
    """A job on its grid: `scale` grid steps to the unit, `money` steps to the currency's unit."""

    scale: int
    money: int
    parts: tuple[GridPart, ...]
    boards: tuple[GridBoard, ...]
    saw: GridSaw


def put_on_grid(job: Job) -> LengthGrid:
    """Put the job on the coarsest grid that holds all its lengths exactly."""
    scale = _common(_lengths(job))
    money = _common(board.price for board in job.boards)
    places = {board.stock: i for i, board in enumerate(job.boards)}
    return LengthGrid(
        scale,
        money,
        tuple(_part(part, job, places, scale) for part in job.parts),
        tuple(_board(board, job.saw, scale, money) for board in job.boards),
        _saw(job.saw, job.boards, scale),
    )


def _common(values: Iterable[Fraction]) -> int:
    return lcm(1, *(value.denominator for value in values))


def _lengths(job: Job) -> Iterable[Fraction]:
    sizes: list[Part | Board] = [*job.parts, *job.boards]
    for sized in sizes:
        yield from (sized.thickness, sized.width, sized.length)
    saw = job.saw
    yield from (saw.kerf, saw.squaring, saw.end_trim, saw.shortest_rip, saw.sheet_trim)
    yield from (most for most in (saw.deepest_cut, saw.longest_rip) if most is not None)
    yield job.usable_offcut


def _part(part: Part, job: Job, places: dict[str, int], scale: int) -> GridPart:
    listed = [places[stock] for stock in dict.fromkeys(part.stocks)]
    return GridPart(
        int(part.thickness * scale),
        int(part.width * scale),
        int(part.length * scale),
        part.turn,
        tuple(i for i in listed if find_reason(part, job.boards[i], job.saw) is None),
    )


def _board(board: Board, saw: Saw, scale: int, money: int) -> GridBoard:
    trim = 2 * saw.sheet_trim if board.kind == "panel" else 0
    return GridBoard(
        board.kind == "panel",
        board.grain,
        int(board.thickness * scale),
        int((board.width - trim) * scale),
        int((board.length - trim) * scale),
        int(board.price * money),
        board.on_hand,
        board.buyable,
    )


def _saw(saw: Saw, boards: tuple[Board, ...], scale: int) -> GridSaw:
    sides = [max(board.thickness, board.width) for board in boards]
    lengths = [board.length for board in boards]
    longest = max(lengths, default=Fraction(1)) if saw.longest_rip is None else saw.longest_rip
    deepest = max(sides, default=Fraction(1)) if saw.deepest_cut is None else saw.deepest_cut
    return GridSaw(
        int(saw.kerf * scale),
        int(saw.squaring * scale),
        int(saw.end_trim * scale),
        int(saw.shortest_rip * scale),
        int(deepest * scale),
        int(longest * scale),
        int(saw.sheet_trim * scale),
    )
