"""What the maker did to our sheets around the cells: widths, heights, panes, hidden rows, rules."""

from __future__ import annotations

from collections.abc import Iterator, Set
from itertools import groupby

from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.worksheet.dimensions import ColumnDimension
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.workbook.carry.copying import Copier
from notchbook.workbook.carry.formula_moves import SheetMove, cells_in
from notchbook.workbook.carry.paint import may_be_ours, pattern
from notchbook.workbook.file.book import areas_printed, printed_page, title_of
from notchbook.workbook.file.frozen import frozen_at
from notchbook.workbook.file.heights import Heights
from notchbook.workbook.memory.edits import SheetAlignment

_WIDER = 0.9  # letters; programs round widths when they save
_ROUNDED = 0.7  # points; programs round heights when they save
_MOST_COLUMNS = 200  # of one width; programs write one for all columns to the end of the sheet


def carry_around(
    source: Worksheet,
    target: Worksheet,
    move: SheetMove,
    copier: Copier,
    then: SheetAlignment | None,
    heights: Heights,
) -> list[str]:
    """Put it all upon the new sheet; return what there is to tell.

    `then` is the sheet as it was written, `heights` are those that somebody set.
    """
    _widths(source, target, move, then)
    told = list(_rows(source, target, move, _made_higher(heights, then), then))
    _view(source, target, move, then)
    _printed(source, target, copier, then)
    _validations(source, target, move, copier)
    _formats(source, target, move, copier)
    if source.protection.sheet:
        told.append(f"{title_of(source)}: the protection of the sheet was taken off")
    told += _joined(title_of(source), target, move, copier)
    own = (name for name in source.tables if name not in target.tables)
    return told + [f"{title_of(source)}: your table {name} is plain cells now" for name in own]


def _widths(
    source: Worksheet, target: Worksheet, move: SheetMove, then: SheetAlignment | None
) -> None:
    for letter, size in list(source.column_dimensions.items()):
        first = size.min or column_index_from_string(letter)
        last = min(size.max or first, first + _MOST_COLUMNS)
        for column in range(first, last + 1):
            if not move.is_gone(column):
                new = target.column_dimensions[get_column_letter(move.column(column))]
                ours = new.width if move.region_of(column) is not None else None
                written = then.width(column) if then is not None else None
                _width(size, new, ours if written is None else written)
                _shown(size, new, then is not None and then.is_folded(column))


def _shown(size: ColumnDimension, new: ColumnDimension, was_folded: bool) -> None:
    """Hide what the maker hid, and leave open what the maker opened."""
    if was_folded:
        new.hidden = size.hidden
        return
    new.hidden = new.hidden or size.hidden
    new.outlineLevel = max(new.outlineLevel, size.outlineLevel)


def _width(size: ColumnDimension, new: ColumnDimension, ours: float | None) -> None:
    if size.width and size.customWidth and (ours is None or abs(size.width - ours) > _WIDER):
        new.width = size.width


def _rows(
    source: Worksheet,
    target: Worksheet,
    move: SheetMove,
    heights: Heights,
    then: SheetAlignment | None,
) -> Iterator[str]:
    """Heights, hidden rows and groups; rows that a filter hid are shown again, without it."""
    opened: set[int] = set()
    filtered = _is_filtered(source)
    if filtered:
        yield f"{title_of(source)}: the filter was taken off; all rows show"
    for row, size in list(source.row_dimensions.items()):
        hidden = size.hidden and not filtered
        if not (hidden or size.outlineLevel or row in heights):
            continue
        at = move.row(row, 1)
        if at is None:
            continue
        new = target.row_dimensions[at]
        if row in heights:
            new.height = heights[row]
        if then is not None and then.is_row_folded(row):  # it may be in sight now
            if not hidden:
                opened.add(at)
            continue
        new.hidden = hidden or new.hidden
        new.outlineLevel = max(size.outlineLevel, new.outlineLevel)
    _open_rows(target, opened)


def _open_rows(target: Worksheet, opened: Set[int]) -> None:
    """Leave open what the maker opened, with the rows that are folded behind it now."""
    folded = [row for row, size in target.row_dimensions.items() if size.outlineLevel]
    for _, run in groupby(enumerate(sorted(folded)), key=lambda each: each[1] - each[0]):
        rows = [row for _, row in run]
        if any(row in opened for row in rows):
            for row in rows:
                target.row_dimensions[row].hidden = False
            target.row_dimensions[rows[0] - 1].collapsed = False


def _made_higher(heights: Heights, then: SheetAlignment | None) -> Heights:
    """Return those heights that are not as the last compile left them."""
    return {
        row: height
        for row, height in heights.items()
        if abs(height - (then.height(row) if then is not None else 0.0)) > _ROUNDED
    }


def _is_filtered(sheet: Worksheet) -> bool:
    filters = [sheet.auto_filter, *(table.autoFilter for table in sheet.tables.values())]
    return any(each is not None and each.filterColumn for each in filters)


def _view(
    source: Worksheet, target: Worksheet, move: SheetMove, then: SheetAlignment | None
) -> None:
    """Panes frozen elsewhere than we had them, the zoom, a sheet hidden."""
    frozen = frozen_at(source)
    if then is not None and frozen != then.copy.frozen:
        target.freeze_panes = frozen and _moved(move, frozen)
    if source.sheet_view.zoomScale:
        target.sheet_view.zoomScale = source.sheet_view.zoomScale
    if source.sheet_state == "hidden":
        target.sheet_state = "hidden"


def _printed(
    source: Worksheet, target: Worksheet, copier: Copier, then: SheetAlignment | None
) -> None:
    """Areas to print that are not as we had set them; they follow their cells."""
    printed = areas_printed(source)
    if then is None or then.copy.printed in (None, printed):
        return
    moved = copier.moves.ranges(title_of(source), printed) if printed else ""
    if moved or not printed:
        printed_page(target).print_area = moved.replace(" ", ",") or None


def _moved(move: SheetMove, cell: str) -> str | None:
    top, left, _, _ = next(cells_in(cell))
    row = move.row(top, left)
    return None if row is None else f"{get_column_letter(move.column(left))}{row}"


def _validations(source: Worksheet, target: Worksheet, move: SheetMove, copier: Copier) -> None:
    """Drop-downs in columns where we have none."""
    host = title_of(source)
    ruled = set(_columns_ruled(target))
    for rule in source.data_validations.dataValidation:
        own = [area for area in str(rule.sqref).split() if _is_unruled(move, area, ruled)]
        new = copier.moves.ranges(host, " ".join(own))
        if new:
            copier.validation(rule, new, target, host)


def _joined(title: str, target: Worksheet, move: SheetMove, copier: Copier) -> Iterator[str]:
    """Join cells again in the maker's columns, and tell of those that were joined in ours."""
    for area in copier.joined.get(title, ()):
        new = copier.moves.ranges(title, area) if _is_own(move, area) else ""
        if new:
            copier.join(target, new)
        else:
            yield f"{title}!{area}: these joined cells are single again, each with what it holds"


def _formats(source: Worksheet, target: Worksheet, move: SheetMove, copier: Copier) -> None:
    """Conditional formats that are not ours."""
    ours = {pattern(rule) for area in target.conditional_formatting for rule in area.rules}
    for area in list(source.conditional_formatting):
        for rule in area.rules:
            like_ours = pattern(rule) in ours and may_be_ours(rule)
            if like_ours and not _is_own(move, str(area.sqref)):
                continue
            new = copier.moves.ranges(title_of(source), str(area.sqref))
            if new:
                copier.format(rule, new, target, title_of(source))


def _columns_ruled(sheet: Worksheet) -> Iterator[int]:
    """The columns of a new sheet in which some cells have a drop-down or limit of ours."""
    for rule in sheet.data_validations.dataValidation:
        for _, left, _, right in cells_in(str(rule.sqref)):
            yield from range(left, right + 1)


def _is_unruled(move: SheetMove, area: str, ruled: Set[int]) -> bool:
    """Whether all of an area's columns are still there, and none has a rule of ours."""
    return not move.shift and not any(
        move.is_gone(column) or move.column(column) in ruled
        for _, left, _, right in cells_in(area)
        for column in range(left, right + 1)
    )


def _is_own(move: SheetMove, area: str) -> bool:
    """Whether an area lies in columns of the maker's alone."""
    return not move.shift and not any(
        move.is_ours(column)
        for _, left, _, right in cells_in(area)
        for column in range(left, right + 1)
    )
