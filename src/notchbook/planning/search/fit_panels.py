"""First fit on one sheet: guillotine cuts right across, no squaring and no trim."""

from collections.abc import Sequence

from notchbook.planning.geometry.rectangles import Blade, Rectangle, Way, place
from notchbook.planning.model.filled import FilledBoard, PlacedPiece
from notchbook.planning.model.grid import GridBoard, GridPart, GridSaw


def fill_sheet(
    board: GridBoard,
    saw: GridSaw,
    parts: Sequence[GridPart],
    demand: Sequence[int],
    order: Sequence[int],
) -> FilledBoard:
    """Put as much of the demand as goes on one sheet, the parts in the order given."""
    blade = Blade(saw.kerf, max(board.length, board.width))
    free = [Rectangle(0, 0, board.length, board.width)]
    counts = [0] * len(parts)
    pieces: list[PlacedPiece] = []
    for i in order:
        ways = _ways(board, parts[i])
        while counts[i] < demand[i]:
            found = place(free, ways, blade, demand[i] - counts[i])
            if found is None:
                break
            taken = free.pop(found.free)
            free.extend(found.left)
            pieces.append(PlacedPiece(i, taken.x, taken.y, *ways[found.way], found.way == 1))
            counts[i] += 1
    volume = sum(count * part.volume for count, part in zip(counts, parts, strict=True))
    return FilledBoard(tuple(counts), volume, (), tuple(pieces))


def _ways(board: GridBoard, part: GridPart) -> tuple[Way, ...]:
    """The ways the part may lie: with grain, along it, unless the part may be turned."""
    along = (part.length, part.width)
    if board.grain and not part.turn:
        return (along,)
    return (along, (part.width, part.length))
