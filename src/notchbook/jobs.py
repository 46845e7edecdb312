"""From given rows to what the planner is asked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction

from notchbook.definitions import Definitions
from notchbook.measure import Ruler
from notchbook.planning.model.kept_offcuts import KeptOffcut
from notchbook.planning.model.leeway import Leeway
from notchbook.planning.model.problem import Board, Job, Part, Saw
from notchbook.planning.model.rough import Extents, enlarge
from notchbook.sheets.kit.shop_settings import ShopSettings
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.laid_surfaces import LaidRow
from notchbook.sheets.making.offcuts import OffcutRow
from notchbook.sheets.making.stock import StockRow

SEPARATOR = ";"
_A_LITTLE = {
    "inch": (Fraction(1, 16), Fraction(1, 8)),
    "mm": (Fraction(1), Fraction(2)),
}
"""By how much a part may be smaller without being missed (common practice)."""


def split_stocks(row: CutRow | LaidRow) -> tuple[str, ...]:
    """Return the stocks a part may be cut from, in their order."""
    return tuple(name.strip() for name in row.stocks.split(SEPARATOR))


def build_saw(settings: ShopSettings) -> Saw:
    """Build the saw of the shop."""
    return Saw(
        kerf=settings.kerf,
        squaring=settings.squaring,
        end_trim=settings.end_trim,
        shortest_rip=settings.shortest_rip,
        deepest_cut=settings.deepest_cut,
        longest_rip=settings.longest_rip,
        sheet_trim=settings.sheet_trim,
        minutes_a_setting=Fraction(str(settings.minutes_a_setting)),
        minutes_a_pass=Fraction(str(settings.minutes_a_pass)),
    )


def build_board(row: StockRow, there: float) -> Board | None:
    """Build the board or sheet that a stock is; None for hardware and consumables.

    What can be bought is planned as if nothing were there, so that a plan stays when some is used
    up; of what cannot, a plan takes no more than is `there`.
    """
    if row.kind not in ("lumber", "panel"):
        return None
    if row.thickness is None or row.width is None or row.length is None:
        return None
    return Board(
        stock=row.stock,
        kind=row.kind,
        thickness=row.thickness,
        width=row.width,
        length=row.length,
        price=Fraction(str(row.price)) / Fraction(str(row.pack)),
        on_hand=max(int(there), 0) if row.reclaimed == "yes" else 0,
        buyable=row.reclaimed != "yes",
        grain=row.grain == "yes",
    )


def build_offcuts(definitions: Definitions) -> tuple[KeptOffcut, ...]:
    """Build what is there of offcuts, those of one size together, named by size and stock.

    Rows that are larger than their stock, or of none, are left out: they are told as faults.
    """
    rows = definitions.table("Stock", StockRow)
    boards = {row.stock.casefold(): board for row in rows if (board := build_board(row, 0))}
    counts: Counter[tuple[str, Fraction, Fraction, Fraction]] = Counter()
    for row in definitions.table("Offcuts", OffcutRow):
        board = boards.get(row.stock.casefold())
        size = (row.thickness, row.width, row.length)
        if board is not None and _is_of(board, size):
            counts[board.stock, *size] += int(row.count)
    ruler = Ruler(definitions.settings.units, definitions.settings.show_fractions_to)
    found: dict[str, KeptOffcut] = {}
    for (stock, thickness, width, length), count in (+counts).items():
        said, n = ruler.size(thickness, width, length), 1
        name = f"offcut {said} of {stock}"
        while name in found:  # sizes that the shop's ruler shows alike
            n += 1
            name = f"offcut {said} no. {n} of {stock}"
        found[name] = KeptOffcut(name, stock, thickness, width, length, count)
    return tuple(found.values())


def _is_of(board: Board, size: tuple[Fraction, Fraction, Fraction]) -> bool:
    whole = (board.thickness, board.width, board.length)
    return all(side <= most for side, most in zip(size, whole, strict=True))


def build_jobs(
    definitions: Definitions, strips: Mapping[tuple[str, str], int], there: Mapping[str, float]
) -> dict[str, Job]:
    """Build the job of each project; `strips` counts the strips of each surface a unit.

    `there` says how many boards of each stock there are.
    """
    boards = [
        build_board(row, there.get(row.stock, 0)) for row in definitions.table("Stock", StockRow)
    ]
    by_stock = {board.stock: board for board in boards if board is not None}
    saw = build_saw(definitions.settings)
    parts: dict[str, list[Part]] = {row: [] for row in definitions.projects}
    for cut in definitions.table("Cut list", CutRow):
        piece = _build_piece(cut)
        by = Extents(*(rough or Fraction(0) for rough in _rough(cut)))
        its = [by_stock[stock] for stock in piece.stocks]
        parts[cut.project].append(enlarge(piece, by, its, saw))
    for laid in definitions.table("Laid surfaces", LaidRow):
        parts[laid.project].append(
            Part(
                part=laid.surface,
                project=laid.project,
                make=strips[laid.project, laid.surface],
                thickness=laid.strip_thickness,
                width=laid.strip_width,
                length=laid.strip_length,
                stocks=split_stocks(laid),
                turn=False,
            )
        )
    usable = _usable(definitions.settings)
    return {
        project: Job(tuple(its), _boards_for(its, by_stock), saw, *usable)
        for project, its in parts.items()
    }


def build_leeways(definitions: Definitions) -> dict[str, Leeway]:
    """Build what may be a little smaller in each project: all parts but strips of a surface."""
    parts: dict[str, set[str]] = {project: set() for project in definitions.projects}
    for cut in definitions.table("Cut list", CutRow):
        parts[cut.project].add(cut.part)
    steps = _A_LITTLE[definitions.settings.units]
    return {project: Leeway(frozenset(its), steps) for project, its in parts.items()}


def _usable(settings: ShopSettings) -> tuple[Fraction, Fraction, Fraction]:
    """Length, width and thickness that an offcut must have to be kept."""
    none = Fraction(0)
    sides = settings.usable_width or none, settings.usable_thickness or none
    return settings.usable_offcut, *sides


def _build_piece(cut: CutRow) -> Part:
    """Build what is cut for a part: itself, or each of the layers that are glued into it."""
    layers = cut.layers or 1
    return Part(
        part=cut.part,
        project=cut.project,
        make=cut.make * layers,
        thickness=cut.thickness / layers,
        width=cut.width,
        length=cut.length,
        stocks=split_stocks(cut),
        turn=cut.turn == "yes",
    )


def _rough(cut: CutRow) -> tuple[Fraction | None, ...]:
    return cut.rough_thickness, cut.rough_width, cut.rough_length


def _boards_for(parts: list[Part], by_stock: Mapping[str, Board]) -> tuple[Board, ...]:
    names = dict.fromkeys(stock for part in parts for stock in part.stocks)
    return tuple(by_stock[name] for name in names)
