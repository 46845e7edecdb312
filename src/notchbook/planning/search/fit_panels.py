"""First fit on one sheet: guillotine cuts right across, no squaring and no trim."""

from collections.abc import Sequence

from notchbook.planning.geometry.rectangles import Blade, Rectangle, Way, place
from notchbook.planning.model.filled import FilledBoard, PlacedPiece
from notchbook.planning.model.grid import GridBoard, GridPart, GridSaw
from notchbook.planning.search.habit import Habit


def fill_sheet(
    board: GridBoard, saw: GridSaw, parts: Sequence[GridPart], demand: Sequence[int], habit: Habit
) -> FilledBoard:
    """Lay as much of the demand as goes on one sheet, the parts in the order of the habit."""
    blade = Blade(saw.kerf, max(board.length, board.width), habit.split)
    free = [Rectangle(0, 0, board.length, board.width)]
    counts = [0] * len(parts)
    pieces: list[PlacedPiece] = []
    for i in habit.order:
        if not demand[i]:
            continue
        ways = _ways(board, parts[i])
        tried = ways[::-1] if i in habit.turned else ways
        while counts[i] < demand[i]:
            found = place(free, tried, blade, demand[i] - counts[i])
            if found is None:
                break
            taken = free.pop(found.free)
            free.extend(found.left)
            along, across = tried[found.way]
            turned = (along, across) != ways[0]
            pieces.append(PlacedPiece(i, taken.x, taken.y, along, across, turned))
            counts[i] += 1
    volume = sum(count * part.volume for count, part in zip(counts, parts, strict=True))
    return FilledBoard(tuple(counts), volume, (), tuple(pieces))


def _ways(board: GridBoard, part: GridPart) -> tuple[Way, ...]:
    """The ways the part may lie: with grain, along it, unless the part may be turned."""
    along = (part.length, part.width)
    if (board.grain and not part.turn) or part.length == part.width:
        return (along,)
    return (along, (part.width, part.length))
