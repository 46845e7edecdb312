"""The maker's own things carried from the old workbook: sheets, cells beside ours, formulas."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from dataclasses import replace

from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.sheets.kit.calculate import Filled
from notchbook.sheets.kit.sheet_names import mark_name
from notchbook.workbook.carry.carry_over import CarryOver
from notchbook.workbook.carry.copying import Copier
from notchbook.workbook.carry.dimensions import carry_around
from notchbook.workbook.carry.edits_of_ours import EditsOfOurs
from notchbook.workbook.carry.formula_moves import Moves, Region, SheetMove
from notchbook.workbook.carry.own_names import carry_names
from notchbook.workbook.carry.row_moves import find_moves
from notchbook.workbook.file.book import sheet_named, sheets_of, title_of
from notchbook.workbook.file.heights import set_heights
from notchbook.workbook.file.merged import merged_ranges
from notchbook.workbook.file.notes import resize_notes
from notchbook.workbook.file.raw_cells import Cell, cell_at, cells_by_place
from notchbook.workbook.file.snapshot import SHEET
from notchbook.workbook.layout.layout import BookLayout
from notchbook.workbook.memory.book_copy import BookCopy
from notchbook.workbook.memory.edits import WrittenBook
from notchbook.workbook.read.old_book import OldBook

Stamps = MutableMapping[str, dict[str, float | str | None]]


def carry(
    over: CarryOver,
    workbook: Workbook,
    layout: BookLayout,
    filled: Filled,
    stamps: Stamps,
    now: BookCopy,
) -> None:
    """Put all that is the maker's into the new workbook; what could not follow is told.

    `now` is the copy of the new workbook, which stands in where that of the old one is lost.
    """
    if over.old is not None:
        then = over.old.copy or _made_up(now)
        _Carrier(over, over.old, workbook, layout, filled, stamps, then).run()


def _made_up(now: BookCopy) -> BookCopy:
    """Return the new book for an old one that is lost; what it printed and folded is unknown."""
    sheets = {
        title: replace(sheet, printed=None, folded=None, folded_rows=None)
        for title, sheet in now.sheets.items()
    }
    return replace(now, sheets=sheets, made_up=True)


class _Carrier:
    def __init__(
        self,
        over: CarryOver,
        old: OldBook,
        workbook: Workbook,
        layout: BookLayout,
        filled: Filled,
        stamps: Stamps,
        then: BookCopy,
    ) -> None:
        self.over, self.old, self.workbook, self.stamps = over, old, workbook, stamps
        self.layout = layout
        self.titles = [title_of(sheet) for sheet in sheets_of(old.typed.book)]
        self.source = old.typed.book
        self.written = WrittenBook(then, self.source, old.typed.anchors)
        self.moves: Moves = find_moves(over, old, layout, filled, self.written)
        over.layout, over.written, over.moves = layout, self.written, self.moves
        self.moves.headers = {
            table.displayName.casefold(): frozenset(
                column.name.casefold() for column in table.tableColumns
            )
            for sheet in workbook.worksheets
            for table in sheet.tables.values()
        }
        self.copier = Copier(self.moves, merged_ranges(old.data))
        self.ours = EditsOfOurs(over, self.written, self.moves, self.copier)
        self.rescued: dict[tuple[str, int], int] = {}

    def run(self) -> None:
        resize_notes(self.old.data, self.source)
        heights = set_heights(self.old.data)
        self.own_sheets(heights)
        self.gone_sheets()
        for name, move in self.moves.sheets.items():
            source, target = self.source[name], self.workbook[move.name]
            self.cells(source, target, move)
            then = self.written.sheets.get(name)
            set_here = heights.get(name, {})
            for line in carry_around(source, target, move, self.copier, then, set_here):
                self.over.look.append(line) if "!" in line.split(": ")[0] else (
                    self.over.notices.append(line)
                )
        self.ours.tell_formulas()
        self.given_formulas()
        lists = None if self.written.copy.made_up else self.written.copy.lists
        carry_names(self.source, self.workbook, self.copier, lists)
        for place, text in self.copier.lost:
            self.over.look.append(
                f"{place}: {text} refers to a row or sheet that is gone; it says #REF! now"
            )

    # --- own sheets ------------------------------------------------------------------------------

    def own_sheets(self, heights: Mapping[str, Mapping[int, float]]) -> None:
        """All sheets that are not ours, behind the sheets that they stood behind."""
        taken = {title.casefold() for title in self.workbook.sheetnames}
        own = [
            title
            for title in self.titles
            if title not in self.moves.sheets and title not in self.moves.gone and title != SHEET
        ]
        for title in own:
            new, number = title, 1
            while new.casefold() in taken:
                new, number = mark_name(title, "yours", number), number + 1
            taken.add(new.casefold())
            if new != title:
                self.moves.renamed[title] = new
                self.over.notices.append(f"your sheet {title} is called {new} now")
        before = ""
        for title in self.titles:
            if title in own:
                new = self.moves.renamed.get(title, title)
                place = self.workbook.sheetnames.index(before) + 1 if before else 0
                target = self.workbook.create_sheet(new, place)
                self.copier.sheet(self.source[title], target, heights.get(title, {}))
                before = new
            elif title in self.moves.sheets:
                before = self.moves.sheets[title].name

    def gone_sheets(self) -> None:
        """What the maker put beside ours on a shop sheet that is no more: on a sheet of its own."""
        for title in sorted(self.moves.gone - {SHEET}):
            source = self.source[title]
            own = [
                cell
                for (row, column), cell in cells_by_place(source).items()
                if (cell.value is not None or cell.comment is not None)
                and not self.is_ours(title, row, column)
            ]
            if own:
                target = self.workbook.create_sheet(f"{title[:24]} (left)")
                self.copier.cells(own, title, target)
                self.over.look.append(
                    f"{title} is gone; what you had put beside it is on the sheet"
                    f" {title_of(target)}"
                )

    # --- cells beside ours ------------------------------------------------------------------------

    def cells(self, source: Worksheet, target: Worksheet, move: SheetMove) -> None:
        regions = {column: region for region in move.regions for column in region.columns}
        gone = {column: region for region in move.regions for column in region.gone}
        for (row, column), cell in cells_by_place(source).items():
            was = gone.get(column)
            if was is not None and row >= was.head - 1:
                self.ours.in_gone_column(cell, target, was)
                continue
            region = regions.get(column)
            if (
                region is not None
                and row >= region.head - 1
                and not self.free(cell, target, region)
            ):
                self.ours.cell(cell, target, region)
            elif region is not None and column in region.says and self.written.wrote(cell.value):
                continue  # words of ours below the last line, which may be fewer now
            elif self.is_ours(title_of(source), row, column):
                self.ours.without_anchor(cell, target)
            elif cell.value is not None or cell.has_style or cell.comment is not None:
                self.own(cell, target, move)

    def free(self, cell: Cell, target: Worksheet, region: Region) -> bool:
        """Among our cells, and the maker's all the same: above a header, or beside a line."""
        if cell.row != region.head - 1:
            return region.is_free(cell.row, cell.column)
        at = self.moves.cell(title_of(cell.parent), cell.row, cell.column)
        there = None if at is None else cells_by_place(target).get(at)
        return there is None or there.value is None

    def is_ours(self, title: str, row: int, column: int) -> bool:
        """Tell whether a cell of ours was written there, on a sheet that has no anchors."""
        sheet = self.written.sheets.get(title)
        return sheet is not None and sheet.is_ours(row, column)

    def own(self, cell: Cell, target: Worksheet, move: SheetMove) -> None:
        """A cell of the maker's, with its row; below all others where that is gone or taken."""
        row = move.row(cell.row, cell.column)
        column = move.column(cell.column)
        if row is None or self.taken(cell, target, row, column):
            if (cell.value is None and cell.comment is None) or self.written.wrote(cell.value):
                return
            if move.is_ours(cell.column):  # below our tables it would be a row of theirs
                column = move.new_right + 1 + cell.column
            free = 2 + max([target.max_row, *(each.new_last for each in move.regions)])
            row = self.rescued.setdefault((title_of(target), cell.row), free)
            self.over.look.append(
                f"{title_of(target)}!{cell.coordinate}: its row is gone or taken; what stood there"
                f" is in {get_column_letter(column)}{row} now"
            )
        new = cell_at(target, row, column)
        if new.value is not None:
            return
        if cell.has_style:
            self.copier.style(cell, new)
        self.copier.note(cell, new)
        if cell.value is not None:
            self.copier.value(cell, new, title_of(cell.parent))
        if getattr(cell, "hyperlink", None) is not None:
            self.copier.link(cell, new)
        if new.data_type == "f":
            self.stamps[title_of(target)][new.coordinate] = None

    @staticmethod
    def taken(cell: Cell, target: Worksheet, row: int, column: int) -> bool:
        """Whether something of ours stands there now."""
        there = cells_by_place(target).get((row, column))
        return there is not None and there.value not in (None, cell.value)

    def given_formulas(self) -> None:
        """Formulas that the maker typed into given cells, following what they refer to."""
        for name, formulas in self.over.formulas.items():
            for (row, column), text in formulas.items():
                old_sheet, cell = self.given_place(name, row, column)
                moved, whole = self.moves.formula(text, old_sheet)
                cell.value = moved
                if not whole:
                    self.copier.lost.append((f"{title_of(cell.parent)}!{cell.coordinate}", text))

    def given_place(self, name: str, row: int, column: str) -> tuple[str, Cell]:
        """The old sheet and the new cell of a given cell, lines counting as one row."""
        if name in self.layout.lines:
            spot = self.layout.lines[name]
            at = spot.addresses[column]
            old_sheet = self.old.typed.line_places[name, column][0]
            return old_sheet, cell_at(sheet_named(self.workbook, spot.sheet), *at)
        typed, table = self.old.typed.tables[name], self.layout.tables[name]
        place = f"{table.letters[column]}{table.first_row + row}"
        return typed.sheet, self.workbook[table.sheet][place]
