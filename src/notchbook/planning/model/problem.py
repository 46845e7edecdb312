"""What is to be cut, from which boards, on which saw; and which parts fit no board at all."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

Limit = Literal["thickness", "width", "length", "blank", "rip", "depth", "sheet", "sheet length"]

MOST_PIECES = 5_000  # of one part out of one board; smaller parts are a slip of the pen

_SENTENCES: dict[Limit, str] = {
    "thickness": "{part} needs {needs} of thickness; {stock} is {leaves} thick",
    "width": "{part} needs {needs} of width; {stock} leaves {leaves} after squaring",
    "length": "{part} needs {needs} of length; {stock} leaves {leaves} after the end trims",
    "blank": "{part} needs a blank of {needs} to be ripped; {stock} leaves {leaves} after the "
    "end trims",
    "rip": "{part} needs a rip {needs} long in {stock}; the longest that is ripped is {leaves}",
    "depth": "{part} needs a rip {needs} deep in {stock}; the saw cuts {leaves}",
    "sheet": "{part} needs {needs} of width; {stock} is {leaves} wide",
    "sheet length": "{part} needs {needs} of length; {stock} is {leaves} long",
}


@dataclass(frozen=True, slots=True)
class Saw:
    """What the saw takes away and what it may not do; all lengths in the shop's unit.

    `squaring` and `end_trim` are the whole loss at each long edge and each end, kerf included.
    A blank that is ripped is at least `shortest_rip` long, and no rip passes through more than
    `deepest_cut` of wood (None: no limit). Squaring an edge is a rip of the full thickness. No
    longer blank than `longest_rip` is ripped (None: no limit). `sheet_trim` is the whole loss at
    each factory edge of a sheet, kerf included. Minutes rank plans that cost the same.
    """

    kerf: Fraction
    squaring: Fraction
    end_trim: Fraction
    shortest_rip: Fraction
    deepest_cut: Fraction | None
    longest_rip: Fraction | None = None
    sheet_trim: Fraction = Fraction(0)
    minutes_a_setting: Fraction = Fraction(2)
    minutes_a_pass: Fraction = Fraction(1, 2)

    def __post_init__(self) -> None:
        if min(self.kerf, self.squaring, self.end_trim, self.shortest_rip) < 0:
            raise ValueError("kerf, squaring, end_trim and shortest_rip cannot be negative")
        if min(self.sheet_trim, self.minutes_a_setting, self.minutes_a_pass) < 0:
            raise ValueError("sheet_trim and minutes cannot be negative")
        if self.longest_rip is not None and self.longest_rip < self.shortest_rip:
            raise ValueError("longest_rip cannot be less than shortest_rip")
        if self.deepest_cut is not None and self.deepest_cut <= 0:
            raise ValueError("deepest_cut must be more than 0")


@dataclass(frozen=True, slots=True)
class Board:
    """One size of lumber or panel: actual dimensions, price of one, and how many there are.

    A board that is not `buyable` (reclaimed) is limited to `on_hand`. `grain` matters to panels
    only: it runs along the length.
    """

    stock: str
    kind: Literal["lumber", "panel"]
    thickness: Fraction
    width: Fraction
    length: Fraction
    price: Fraction
    on_hand: int
    buyable: bool
    grain: bool

    def __post_init__(self) -> None:
        if min(self.thickness, self.width, self.length) <= 0:
            raise ValueError(f"{self.stock}: every dimension must be more than 0")
        if self.price < 0 or self.on_hand < 0:
            raise ValueError(f"{self.stock}: price and on_hand cannot be negative")

    @property
    def volume(self) -> Fraction:
        """How much wood it is, in cubes of the shop's unit."""
        return self.thickness * self.width * self.length


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a project: `make` pieces for each unit, cut from any of `stocks`.

    The order of `stocks` is the maker's preference and settles ties. `turn` lets the part of a
    panel with grain lie across it.
    """

    part: str
    project: str
    make: int
    thickness: Fraction
    width: Fraction
    length: Fraction
    stocks: tuple[str, ...]
    turn: bool

    def __post_init__(self) -> None:
        if min(self.thickness, self.width, self.length) <= 0:
            raise ValueError(f"{self.part}: every dimension must be more than 0")
        if self.make < 0:
            raise ValueError(f"{self.part}: make cannot be negative")


@dataclass(frozen=True, slots=True)
class Job:
    """Parts, boards and saw together; an offcut shorter than `usable_offcut` is scrap.

    So is one of lumber that is narrower than `usable_width` or thinner than `usable_thickness`; a
    sheet's is at least `usable_offcut` one way and, where `usable_width` says less, that the other.

    Raises ValueError where two boards bear one name, or a part names a board that is not there.
    """

    parts: tuple[Part, ...]
    boards: tuple[Board, ...]
    saw: Saw
    usable_offcut: Fraction
    usable_width: Fraction = Fraction(0)
    usable_thickness: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        names = {board.stock for board in self.boards}
        if len(names) < len(self.boards):
            raise ValueError("two boards bear the same name")
        for part in self.parts:
            if unknown := [stock for stock in part.stocks if stock not in names]:
                raise ValueError(f"{part.part}: there is no board {unknown[0]}")

    def list_spared(self) -> set[str]:
        """List the boards that cannot be bought, and of which free offcuts are used first.

        None of the parts that may be cut from them can be cut from a board that is bought.
        """
        if not any(not board.buyable and not board.price for board in self.boards):
            return set()
        bought = {board.stock for board in self.boards if board.buyable}
        mixed = {
            name for part in self.parts if bought.intersection(part.stocks) for name in part.stocks
        }
        scarce = {each.stock for each in self.boards if not each.buyable and each.price}
        return scarce - mixed


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a part does not fit a board: it needs so much, the board leaves only so much."""

    part: str
    stock: str
    limit: Limit
    needs: Fraction
    leaves: Fraction

    def sentence(self, show: Callable[[Fraction], str], unit: str = "") -> str:
        """The reason in a maker's words; `show` writes a length, `unit` follows the first one."""
        needs = f"{show(self.needs)} {unit}".rstrip()
        return _SENTENCES[self.limit].format(
            part=self.part, stock=self.stock, needs=needs, leaves=show(self.leaves)
        )


@dataclass(frozen=True, slots=True)
class Misfit:
    """A part that fits none of its stocks, with one reason for each of them."""

    part: str
    project: str
    reasons: tuple[Reason, ...]


def sort_job(job: Job) -> Job:
    """Return the job with parts and boards in an order that does not depend on the files'."""

    def part_key(part: Part) -> tuple[object, ...]:
        sides = (part.thickness, part.width, part.length)
        return (*sides, part.turn, part.stocks, part.make, part.project, part.part)

    def board_key(board: Board) -> tuple[object, ...]:
        sides = (board.thickness, board.width, board.length)
        return (board.kind, *sides, board.price, board.on_hand, board.buyable, board.stock)

    parts, boards = sorted(job.parts, key=part_key), sorted(job.boards, key=board_key)
    return replace(job, parts=tuple(parts), boards=tuple(boards))


def find_misfits(job: Job) -> list[Misfit]:
    """Find the parts that no listed board could yield one piece of, in the job's order."""
    boards = {board.stock: board for board in job.boards}
    found = []
    for part in job.parts:
        reasons = [find_reason(part, boards[stock], job.saw) for stock in part.stocks]
        if all(reasons):
            kept = tuple(reason for reason in reasons if reason)
            found.append(Misfit(part.part, part.project, kept))
    return found


def find_crowded(job: Job) -> list[tuple[Part, Board]]:
    """Find parts so small that more than `MOST_PIECES` come out of one board, and the board."""
    boards = {board.stock: board for board in job.boards}
    return [
        (part, boards[stock])
        for part in job.parts
        for stock in part.stocks
        if _volume(boards[stock]) > MOST_PIECES * _volume(part)
    ]


def _volume(sized: Part | Board) -> Fraction:
    return sized.thickness * sized.width * sized.length


def refuse_misfits(job: Job) -> None:
    """Raise ValueError if a part fits none of its boards; the parts are named."""
    if found := find_misfits(job):
        names = ", ".join(misfit.part for misfit in found)
        raise ValueError(f"no listed board is large enough for {names}")


def find_reason(part: Part, board: Board, saw: Saw) -> Reason | None:
    """Say why not one piece of the part comes out of the board; None where it does."""
    found = (
        _unfit_panel(part, board, saw) if board.kind == "panel" else _unfit_lumber(part, board, saw)
    )
    return found and Reason(part.part, board.stock, *found)


_Lack = tuple[Limit, Fraction, Fraction]


def _unfit_panel(part: Part, board: Board, saw: Saw) -> _Lack | None:
    if part.thickness != board.thickness:
        return "thickness", part.thickness, board.thickness
    sides = [part.length, part.width]
    if part.turn or not board.grain:
        longer_along = board.length >= board.width
        sides.sort(reverse=longer_along)
    length, width = board.length - 2 * saw.sheet_trim, board.width - 2 * saw.sheet_trim
    if sides[0] > length:
        return "sheet length", sides[0], length
    if sides[1] > width:
        return "sheet", sides[1], width
    return None


def _unfit_lumber(part: Part, board: Board, saw: Saw) -> _Lack | None:
    usable = board.length - 2 * saw.end_trim
    if part.length > usable:
        return "length", part.length, usable
    if {part.thickness, part.width} == {board.thickness, board.width}:
        return None
    if lack := _unfit_section(part, board, saw):
        return lack
    if saw.longest_rip is not None and part.length > saw.longest_rip:
        return "rip", part.length, saw.longest_rip
    if saw.shortest_rip > usable:
        return "blank", saw.shortest_rip, usable
    return None


def _unfit_section(part: Part, board: Board, saw: Saw) -> _Lack | None:
    """A section is across x up: across the board's width, up through its thickness."""
    across = board.width - 2 * saw.squaring
    ways = [(part.width, part.thickness), (part.thickness, part.width)]
    ways = [(a, u) for a, u in ways if a <= across and u <= board.thickness]
    if not ways:
        if part.thickness > board.thickness:
            return "thickness", part.thickness, board.thickness
        return "width", part.width, across
    depths = [_depth(a, u, across, board.thickness) for a, u in ways]
    deepest = max(min(depths), board.thickness if saw.squaring else Fraction(0))
    if saw.deepest_cut is not None and deepest > saw.deepest_cut:
        return "depth", deepest, saw.deepest_cut
    return None


def _depth(a: Fraction, u: Fraction, across: Fraction, up: Fraction) -> Fraction:
    """Return the deepest rip that cuts `a` x `u` out of a section, in the better order of two."""
    none = Fraction(0)
    width_first = max(up if a < across else none, a if u < up else none)
    thickness_first = max(across if u < up else none, u if a < across else none)
    return min(width_first, thickness_first)
