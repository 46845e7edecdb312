"""How the sheets of the old workbook map onto the new ones, from anchors, keys and labels."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from math import isnan

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.language.value_kinds import Kind
from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import Table
from notchbook.sheets.making.shop_sheets import LABEL_COLUMN
from notchbook.workbook.carry.carry_over import CarryOver
from notchbook.workbook.carry.formula_moves import Moves, Region, SheetMove
from notchbook.workbook.carry.moved_rows import MovedRows
from notchbook.workbook.file.book import title_of
from notchbook.workbook.file.raw_cells import cells_by_place
from notchbook.workbook.file.snapshot import SHEET
from notchbook.workbook.layout.anchor_names import SHEET_ANCHOR, identifier
from notchbook.workbook.layout.layout import (
    HEAD_ROW,
    STATE_ROW,
    TITLE_ROW,
    BookLayout,
    LinesSpot,
    TableSpot,
)
from notchbook.workbook.memory.contents import words_of
from notchbook.workbook.memory.edits import WrittenBook
from notchbook.workbook.read.anchors import Place, heads_of
from notchbook.workbook.read.old_book import OldBook

_NUMBERED = ("units", "board", "blank", "from", "to", "year")


def find_moves(
    over: CarryOver, old: OldBook, layout: BookLayout, filled: Filled, written: WrittenBook
) -> Moves:
    """Return all moves of sheets, rows and columns from the old workbook to the new layout."""
    anchors = old.typed.anchors
    moves = _sheets(over, written, anchors, layout)
    for spot in layout.tables.values():
        sheet, region = _table(spot, over, old, anchors, filled)
        if sheet in moves.sheets and region is not None:
            moves.sheets[sheet].regions.append(region)
    for lines in layout.lines.values():
        sheet, region = _lines(lines, anchors, old, written)
        if sheet in moves.sheets and region is not None:
            moves.sheets[sheet].regions.append(region)
    for name, move in moves.sheets.items():
        if move.regions:
            move.regions.sort(key=lambda each: min(each.columns))
            move.right = max(each.right for each in move.regions)
            move.new_right = max(each.new_right for each in move.regions)
            over.notices += _other_columns(move, old.typed.book[name])
        else:
            end = written.sheets[name].copy.last_row if name in written.sheets else STATE_ROW
            move.shift = _by_label(old.typed.book[name], move.name, end, layout, filled)
    return moves


def _sheets(
    over: CarryOver, written: WrittenBook, anchors: Mapping[str, Place], layout: BookLayout
) -> Moves:
    """Return the sheets of ours by what they were called when they were compiled."""
    names = [] if written.copy.made_up else list(written.copy.sheets)
    new = {name for name, _ in layout.sheets}
    with_tables = {place[0] for name, place in anchors.items() if not name.startswith(SHEET_ANCHOR)}
    moves = Moves(gone={SHEET})
    for anchor, place in anchors.items():
        if not anchor.startswith(SHEET_ANCHOR):
            continue
        number = int(anchor.removeprefix(SHEET_ANCHOR))
        before = names[number - 1] if number <= len(names) else place[0]
        name = before if place[0] in with_tables else _of_piece(before, over, written, layout)
        if name in new:
            moves.sheets[place[0]] = SheetMove(name)
            if place[0] not in (name, before):
                over.notices.append(f"the sheet {place[0]} is called {name} again")
        else:
            moves.gone.add(place[0])
    for spot in layout.tables.values():  # where the anchors of sheets were lost
        head = anchors.get(f"nb_{identifier(spot.table.name)}_head")
        if head is not None:
            moves.sheets.setdefault(head[0], SheetMove(spot.sheet))
    return moves


def _of_piece(before: str, over: CarryOver, written: WrittenBook, layout: BookLayout) -> str:
    """Return what the shop sheet is called now that was called `before`; its title names a project.

    What belongs to none that there is keeps its name.
    """
    sheet = None if written.copy.made_up else written.copy.sheets.get(before)
    project = (words_of(sheet.content(TITLE_ROW, 1)) if sheet is not None else None) or before
    name = layout.pieces.get(over.new_names.get(project, project), before)
    if before == project != name and project not in over.new_names:
        over.notices.append(
            f"the shop sheet of {project} is called {name} now: another sheet bears its name"
        )
    return name


def _table(
    spot: TableSpot, over: CarryOver, old: OldBook, anchors: Mapping[str, Place], filled: Filled
) -> tuple[str, Region | None]:
    table = spot.table
    heads = heads_of(table.name, anchors)
    places = {name: heads[name] for name in spot.letters if name in heads}
    if not places:
        return "", None
    typed = old.typed.tables.get(table.name)
    sheet, head = (
        (typed.sheet, typed.head_row) if typed is not None else next(iter(places.values()))[:2]
    )
    new_columns = {name: spot.first_column + n for n, name in enumerate(spot.letters)}
    columns = {
        place[2]: new_columns[name] for name, place in places.items() if place[:2] == (sheet, head)
    }
    if typed is not None:
        columns |= {at: new_columns[name] for name, at in typed.columns.items()}
        origins = over.origins.get(table.name, ())
        to = {at: n for n, at in enumerate(origins) if at is not None}
        count = len(typed.rows)
    else:
        to, count = _by_names(table, sheet, head, places, old, filled)
    rows = {head + 1 + at: (spot.first_row + to[at] if at in to else None) for at in range(count)}
    computed = {
        places[column.name][2]: column.name
        for column in table.columns
        if column.role is Role.COMPUTED and column.name in places
    }
    new_last = spot.head_row + spot.filled
    region = Region(head, spot.head_row, rows, head + count, new_last, columns, computed)
    region.table = table.name
    region.new_right = max(new_columns.values())
    region.gone = {
        place[2]: name
        for name, place in heads.items()
        if name not in places and place[:2] == (sheet, head)
    }
    region.planned = {
        places[column.name][2]: column.name
        for column in table.columns
        if column.role is Role.PLANNED and column.name in places
    }
    region.given = {} if typed is None else {at: name for name, at in typed.columns.items()}
    return sheet, region


def _by_names(
    table: Table, sheet: str, head: int, places: Mapping[str, Place], old: OldBook, filled: Filled
) -> tuple[dict[int, int], int]:
    """Rows that were planned, matched by the words in them."""
    names = [
        column.name
        for column in table.columns
        if column.role is Role.PLANNED
        and (column.look.kind is Kind.TEXT or column.name in _NUMBERED)
        and column.name in places
    ]
    ws = old.typed.book[sheet]
    cells = cells_by_place(ws)

    def value(row: int, name: str) -> str:
        cell = cells.get((row, places[name][2]))
        return _word(None if cell is None else cell.value)

    before = []
    row = head + 1
    while any(value(row, name) for name in names):
        before.append(tuple(value(row, name) for name in names))
        row += 1
    frame = filled.tables[table.name]
    after = list(zip(*(map(_word, frame[name].tolist()) for name in names), strict=True))
    return _matched(before, after), len(before)


def _matched(before: Sequence[Hashable], after: Sequence[Hashable]) -> dict[int, int]:
    """Equal entries, the first with the first and so on."""
    places: dict[Hashable, list[int]] = {}
    for n, each in enumerate(after):
        places.setdefault(each, []).append(n)
    found = {}
    for n, each in enumerate(before):
        if places.get(each):
            found[n] = places[each].pop(0)
    return found


def _word(value: object) -> str:
    if value is None or (isinstance(value, float) and isnan(value)):
        return ""
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def _lines(
    spot: LinesSpot, anchors: Mapping[str, Place], old: OldBook, written: WrittenBook
) -> tuple[str, Region | None]:
    found = {
        name: anchors[f"nb_{identifier(spot.lines.name)}_{name}"]
        for name in spot.addresses
        if f"nb_{identifier(spot.lines.name)}_{name}" in anchors
    }
    if not found:
        return "", None
    first = next(iter(found))
    sheet, _, column = found[first]
    moved = column - spot.addresses[first][1]
    rows: dict[int, int | None] = {}
    known = {place[1]: spot.addresses[name][0] for name, place in found.items()}
    above = min(known)
    for row in range(min(known), max(known) + 1):
        above = row if row in known else above  # headings and the like go with the line above
        rows[row] = known[above] + row - above
    columns = {new + moved: new for new in range(1, spot.note_column + 1) if new + moved >= 1}
    head = min(known) - (known[min(known)] - spot.head_row)
    # lines that are no more were ours too
    ours = [place for place in heads_of(spot.lines.name, anchors).values() if place[0] == sheet]
    last = max(row for _, row, _ in ours)
    computed = {
        found[name][1:]: name
        for name, cell in spot.lines.cells.items()
        if cell.role is Role.COMPUTED and name in found
    }
    new_last = max(row for row, _ in spot.addresses.values())
    region = Region(head, spot.head_row, rows, last, new_last, columns)
    region.table = spot.lines.name
    region.new_right = spot.note_column
    region.formula_cells = computed
    region.lines = frozenset(place[1:] for place in ours)
    words = (*range(1, spot.label_column + 1), spot.note_column)
    region.says = frozenset(each + moved for each in words)
    region.gone = _marks(old, sheet, min(columns), written)
    return sheet, region


def _marks(old: OldBook, sheet: str, left: int, written: WrittenBook) -> dict[int, str]:
    """Columns left of lines that hold nothing but words of ours: marks that are no more."""
    found: dict[int, set[str]] = {}
    for (_, column), cell in cells_by_place(old.typed.book[sheet]).items():
        if column < left and cell.value is not None and cell.row >= HEAD_ROW:
            found.setdefault(column, set()).add(str(cell.value))
    return {column: "" for column, said in found.items() if all(map(written.wrote, said))}


def _other_columns(move: SheetMove, ws: Worksheet) -> list[str]:
    """Columns of the maker's between ours: kept in a gap where there is one, else put behind.

    Tells of those that were put behind.
    """
    told = []
    used = {column for _, column in cells_by_place(ws)}
    taken = {
        column
        for each in move.regions
        for column in range(min(each.columns.values()), each.new_right + 1)
    }
    behind = max([move.new_right + max(used, default=0) - move.right, move.new_right]) + 1
    for column in sorted(used):
        if column > move.right or move.is_ours(column):
            continue
        left = move.region_of(column - 1)
        gap = left.columns[column - 1] + 1 if left is not None else column
        if gap not in taken:
            move.other_columns[column] = gap
        else:
            move.other_columns[column] = behind
            letters = get_column_letter(column), get_column_letter(behind)
            told.append(
                f"{title_of(ws)}: your column {letters[0]} is {letters[1]} now, behind ours"
            )
            behind += 1
    return told


def _by_label(ws: Worksheet, name: str, end: int, layout: BookLayout, filled: Filled) -> MovedRows:
    """Rows of a shop sheet: ours matched by the words in the label column, others by the end."""
    after: dict[str, int] = {}
    doubled = set()
    for spot in layout.spots(name):
        named = spot.columns[spot.places.index(LABEL_COLUMN)]
        labels = filled.tables[spot.table.name][named.name].tolist()
        rows = [(labels[at], row) for row, at in enumerate(spot.rows, spot.first_row)]
        for label, row in [(named.header, spot.head_row), *rows]:
            word = _word(label)
            doubled |= {word} & after.keys()
            after[word] = row
    new_end = max((spot.last_row for spot in layout.spots(name)), default=STATE_ROW)
    before = {
        row: _word(cell.value)
        for (row, column), cell in cells_by_place(ws).items()
        if column == LABEL_COLUMN
    }

    moved: dict[int, int | None] = {
        row: (None if label in doubled else after.get(label))
        if (label := before.get(row, ""))
        else row
        for row in range(STATE_ROW + 1, end + 1)
    }
    return MovedRows(STATE_ROW, STATE_ROW, moved, end, new_end)
