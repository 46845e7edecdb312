"""One board or sheet, cut up: what lies where, in grid steps."""

from typing import NamedTuple


class PlacedStrip(NamedTuple):
    """A strip and its pieces, as (number of the part, how many)."""

    thickness: int
    width: int
    at: tuple[int, int]
    turned: bool
    pieces: tuple[tuple[int, int], ...]


class PlacedBlank(NamedTuple):
    """A blank and the strips ripped from it."""

    length: int
    strips: tuple[PlacedStrip, ...]


class PlacedPiece(NamedTuple):
    """A piece of a sheet, as it lies: x along the sheet's length, y along its width."""

    part: int
    x: int
    y: int
    along: int
    across: int
    turned: bool


class FilledBoard(NamedTuple):
    """A board cut up: pieces by part, their volume, the layout (one of two kinds)."""

    counts: tuple[int, ...]
    volume: int
    blanks: tuple[PlacedBlank, ...]
    sheet: tuple[PlacedPiece, ...]
