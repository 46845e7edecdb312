"""A cutting plan: which boards, cut into what, at what cost. Lengths are in the shop's unit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from notchbook.planning.model.problem import Job

Status = Literal["optimal", "feasible"]
Json = dict[str, object]


def to_json_number(value: Fraction) -> int | float:
    """Write a length for JSON: whole numbers whole, others as the nearest float."""
    return int(value) if value.denominator == 1 else float(value)


@dataclass(frozen=True, slots=True)
class Piece:
    """A finished length crosscut from a strip."""

    part: str
    project: str
    length: Fraction


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip ripped from a blank, of its parts' thickness and width, as long as the blank.

    `at` is its lower corner in the board's section before squaring, across the width and across
    the thickness. `turned`: the strip's width runs across the board's thickness.
    """

    thickness: Fraction
    width: Fraction
    at: tuple[Fraction, Fraction]
    turned: bool
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Blank:
    """A length crosscut from a board before it is ripped."""

    length: Fraction
    strips: tuple[Strip, ...]


@dataclass(frozen=True, slots=True)
class CutBoard:
    """`count` boards cut alike, `on_hand` of them from stock, the others bought."""

    stock: str
    count: int
    on_hand: int
    thickness: Fraction
    width: Fraction
    length: Fraction
    blanks: tuple[Blank, ...]


@dataclass(frozen=True, slots=True)
class PanelPiece:
    """A piece of a panel: `at` is its lower corner along the sheet's length and its width.

    `length` and `width` are as it lies, along the sheet's length and width; `turned`: the part's
    own length lies across the sheet.
    """

    part: str
    project: str
    at: tuple[Fraction, Fraction]
    length: Fraction
    width: Fraction
    turned: bool


@dataclass(frozen=True, slots=True)
class CutPanel:
    """`count` sheets cut alike, `on_hand` of them from stock, the others bought."""

    stock: str
    count: int
    on_hand: int
    thickness: Fraction
    width: Fraction
    length: Fraction
    pieces: tuple[PanelPiece, ...]


@dataclass(frozen=True, slots=True)
class Offcut:
    """What is left over and still usable."""

    stock: str
    thickness: Fraction
    width: Fraction
    length: Fraction
    count: int


@dataclass(frozen=True, slots=True)
class Short:
    """Pieces that could not be made, because their stock cannot be bought and has run out."""

    part: str
    project: str
    count: int


@dataclass(frozen=True, slots=True)
class Plan:
    """How a batch is cut. `project` is None where several projects are planned together.

    `cost` is what must be bought; no plan for the same job costs less than `cost_bound`.
    `out_of_time`: the clock ended the search, so that another machine may find another plan.
    """

    project: str | None
    units: int
    status: Status
    cost: Fraction
    cost_bound: Fraction
    boards: tuple[CutBoard, ...]
    panels: tuple[CutPanel, ...]
    offcuts: tuple[Offcut, ...]
    short: tuple[Short, ...]
    out_of_time: bool = False

    def in_order_of(self, job: Job) -> Plan:
        """The plan with boards and short pieces in the order of the job."""
        place = {board.stock: n for n, board in enumerate(job.boards)}
        parts = [(part.project, part.part) for part in job.parts]
        return replace(
            self,
            boards=tuple(sorted(self.boards, key=lambda cut: place[cut.stock])),
            panels=tuple(sorted(self.panels, key=lambda cut: place[cut.stock])),
            short=tuple(sorted(self.short, key=lambda s: parts.index((s.project, s.part)))),
        )

    @property
    def boards_cut(self) -> int:
        """How many boards and sheets are cut, from stock and bought."""
        return sum(cut.count for cut in self.cuts())

    @property
    def kept(self) -> frozenset[tuple[str, Fraction, Fraction, Fraction]]:
        """The usable offcuts: stock, thickness, width, length."""
        return frozenset((o.stock, o.thickness, o.width, o.length) for o in self.offcuts)

    def count_boards(self, stock: str) -> int:
        """Count the boards or sheets of the stock that are cut, from stock and bought."""
        return sum(cut.count for cut in self.cuts() if cut.stock == stock)

    def count_bought(self) -> Counter[str]:
        """Count the boards and sheets of each stock that must be bought."""
        return self._counted(lambda cut: cut.count - cut.on_hand)

    def count_from_stock(self) -> Counter[str]:
        """Count the boards and sheets of each stock that are taken from what is on hand."""
        return self._counted(lambda cut: cut.on_hand)

    def _counted(self, number: Callable[[CutBoard | CutPanel], int]) -> Counter[str]:
        found: Counter[str] = Counter()
        for cut in self.cuts():
            found[cut.stock] += number(cut)
        return +found

    def measure_offcuts(self, stock: str) -> Fraction:
        """Measure the usable offcuts of the stock by volume, in whole boards."""
        left = [_volume(cut) * cut.count for cut in self.offcuts if cut.stock == stock]
        whole = next((_volume(cut) for cut in self.cuts() if cut.stock == stock), Fraction(1))
        return sum(left, Fraction(0)) / whole

    def count_made(self) -> Counter[tuple[str, str]]:
        """Count the pieces of each part that are made, by project and part."""
        found: Counter[tuple[str, str]] = Counter()
        for board in self.boards:
            for strip in (strip for blank in board.blanks for strip in blank.strips):
                for piece in strip.pieces:
                    found[piece.project, piece.part] += board.count
        for sheet in self.panels:
            for laid in sheet.pieces:
                found[laid.project, laid.part] += sheet.count
        return found

    def name_part(self, part: str, project: str) -> str:
        """Name a part, with its project where several are planned together."""
        return part if self.project is not None else f"{part} ({project})"

    def cuts(self) -> list[CutBoard | CutPanel]:
        """The boards, then the sheets, those alike together."""
        return [*self.boards, *self.panels]

    def as_json(self, places: int, steps: Iterable[str] = ()) -> Json:
        """The plan as plain JSON values; money to `places` decimals, lengths as numbers.

        `steps` are the sentences of `list_steps`. A piece names its project only where several
        projects are planned together.
        """
        several = self.project is None
        return {
            "project": self.project,
            "units": self.units,
            "status": self.status,
            "cost": float(round(self.cost, places)),
            "cost_bound": float(round(self.cost_bound, places)),
            "boards": [_board(cut, several) for cut in self.boards],
            "panels": [_panel(cut, several) for cut in self.panels],
            "offcuts": [
                {**_size(cut), "length": to_json_number(cut.length), "count": cut.count}
                for cut in self.offcuts
            ],
            "short": [_named(short, several) | {"count": short.count} for short in self.short],
            "steps": list(steps),
        }


def _volume(cut: CutBoard | CutPanel | Offcut) -> Fraction:
    return cut.thickness * cut.width * cut.length


def _size(cut: CutBoard | Offcut) -> Json:
    thickness, width = to_json_number(cut.thickness), to_json_number(cut.width)
    return {"stock": cut.stock, "thickness": thickness, "width": width}


def _named(piece: Piece | PanelPiece | Short, several: bool) -> Json:
    named: Json = {"part": piece.part}
    return named | {"project": piece.project} if several else named


def _board(cut: CutBoard, several: bool) -> Json:
    return {
        "stock": cut.stock,
        "count": cut.count,
        "on_hand": cut.on_hand,
        "length": to_json_number(cut.length),
        "thickness": to_json_number(cut.thickness),
        "width": to_json_number(cut.width),
        "blanks": [
            {
                "length": to_json_number(blank.length),
                "strips": [_strip(strip, several) for strip in blank.strips],
            }
            for blank in cut.blanks
        ],
    }


def _strip(strip: Strip, several: bool) -> Json:
    return {
        "thickness": to_json_number(strip.thickness),
        "width": to_json_number(strip.width),
        "at": [to_json_number(side) for side in strip.at],
        "turned": strip.turned,
        "pieces": [
            _named(piece, several) | {"length": to_json_number(piece.length)}
            for piece in strip.pieces
        ],
    }


def _panel(cut: CutPanel, several: bool) -> Json:
    return {
        "stock": cut.stock,
        "count": cut.count,
        "on_hand": cut.on_hand,
        "length": to_json_number(cut.length),
        "width": to_json_number(cut.width),
        "pieces": [
            _named(piece, several)
            | {
                "at": [to_json_number(side) for side in piece.at],
                "length": to_json_number(piece.length),
                "width": to_json_number(piece.width),
                "turned": piece.turned,
            }
            for piece in cut.pieces
        ],
    }
