"""The partner's copy: of the declared sheets, what chosen projects need to show and to calculate.

Nothing is declared twice. The copy's book is cut out of the whole one: the sheets that are shown,
and of other sheets the columns and lines that their rules read, directly or through others. A rule
that reads what stays with the maker is left out, and so is all that reads it; only a few, named
here, come as the value that they had.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace

from notchbook.language.order import Name, needs
from notchbook.language.without import without
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Column, Purpose, Role
from notchbook.sheets.kit.declare import Book, Drawings, LineCell, LineRow, Lines, Sheet, Table

SHOWN = (
    *("Start", "Cut list", "Material takeoff", "Consumables", "Work steps", "Pricing tiers"),
    "Shop sheet",
)
"""The sheets that a copy is made for."""
READ = (
    *("Settings", "Stock", "Projects", "Laid surfaces", "Tool depreciation", "Cut plan"),
    *("Yield", "Marks"),
)
"""The sheets that rules of those may read; of them only what is read goes along."""
AS_VALUES = frozenset(
    {
        ("Stock", "there_now"),
        ("Material takeoff", "used_up"),
        ("Material takeoff", "spared"),
        ("Projects", "seen_average"),
        ("Pricing tiers", "got"),
        ("Tool depreciation", "wear_use"),
        ("Tool depreciation", "wear_hour"),
    }
)
"""Worked out from what stays with the maker: counts, prices seen, sales, what tools cost."""
ROUNDED = frozenset(name for name in AS_VALUES if name[0] == "Tool depreciation")
"""Those that go along with few digits, since all of them would tell what the tool cost."""
PRIVATE = frozenset({("Settings", "worth_per_hour"), ("Settings", "skip_per_hour")})
"""The maker's own judgement of the work, and no part of a price."""
ALSO = frozenset(
    {
        ("Stock", "unit"),
        ("Marks", "deep"),
        *(("Readings", name) for name in ("project", "part", "mark", "to")),
    }
)
"""Read by no rule, but without them the rest says little."""
PROJECT = "project"
"""The column that says which project a row belongs to."""
SHARED = {
    "Stock": ("stock", (("Material takeoff", "stock"), ("Consumables", "stock"))),
    "Tool depreciation": ("tool", (("Consumables", "tool"),)),
    "Tiers": ("tier", (("Pricing tiers", "tier"),)),
    "Channels": ("channel", (("Tiers", "channel"),)),
}
"""Tables whose rows serve many projects, by their key: a row goes along that these columns name."""
ADDED_TO = ("Stock", "Consumables", "Work steps")
"""Tables in which a row typed below counts at once, without a new plan."""
_SPARE = 8  # blank rows ready there
_PLAIN = "plain"  # the format of a number that is shown as it was typed


def handed_book(book: Book, empty: Collection[str] = (), frozen: bool = False) -> Book:
    """The sheets of a partner's copy.

    `empty` names the tables that have no row in it: they are left out, unless they are shown, and
    no rule reads them. `frozen` leaves values only, and so no sheet that only rules read.
    """
    shown = _shown(book)
    absent = {name for name in empty if name in book.tables and name not in shown}
    reads = _reads(book, absent)
    stays = _stays(book, reads)
    tables = [book.tables[name] for name in shown]
    if frozen:  # what serves formulas alone is of no use
        told = Purpose.TYPED, Purpose.TOLD
        kept = {
            (table.name, each.name)
            for table in tables
            for each in table.columns
            if table.purpose(each) in told
        } - stays
    else:
        wanted = {(table.name, each.name) for table in tables for each in table.columns}
        kept = _reached(wanted - stays, reads)
        owners = {owner for owner, _ in kept}
        kept |= _reached({name for name in ALSO if name[0] in owners}, reads)
    cut = _Cut(kept, absent, frozen)
    return Book(tuple(sheet for sheet in map(cut.sheet, book.sheets) if sheet.blocks))


def as_values(table: Table) -> Table:
    """The table without rules: it holds what it held."""
    columns = tuple(_value(column) for column in table.columns)
    return replace(table, columns=columns, row=None, silent=None, spare=0)


def _value(column: Column) -> Column:
    look = column.look
    if column.role is Role.GIVEN and look in (show.COUNT, show.AMOUNT):
        look = replace(look, format=_PLAIN)
    return replace(column, role=Role.HANDED, look=look, rule=None, above=None, choices=())


def _shown(book: Book) -> set[str]:
    """The tables of the shown sheets, and of their charts, whose every row is a project's."""
    of_charts = {
        chart.table for sheet in book.sheets if sheet.name in SHOWN for chart in sheet.charts
    }
    return {
        table.name
        for sheet in book.sheets
        for table in sheet.tables
        if sheet.name in SHOWN or (sheet.name in READ and table.name in of_charts)
        if PROJECT in table.by_name
    }


def _reads(book: Book, absent: Collection[str]) -> dict[Name, set[Name]]:
    """What each rule reads that is no value in the copy."""
    reads = {}
    for owner, name, rule, has_rows in book.rules():
        if (owner, name) not in AS_VALUES:
            reads[owner, name] = needs(without(rule, absent), owner if has_rows else None)
    return reads


def _stays(book: Book, reads: Mapping[Name, set[Name]]) -> set[Name]:
    """What stays with the maker: the sheets that are not handed over, and all that reads them."""
    at_home = {
        block.name
        for sheet in book.sheets
        if sheet.name not in (*SHOWN, *READ)
        for block in sheet.blocks
    }
    stays = set(PRIVATE)
    more = stays
    while more:
        more = {
            name
            for name, read in reads.items()
            if name not in stays and any(each in stays or each[0] in at_home for each in read)
        }
        stays |= more
    return stays


def _reached(shown: set[Name], reads: Mapping[Name, set[Name]]) -> set[Name]:
    """What is shown, and all that its rules read."""
    kept: set[Name] = set()
    ahead = list(shown)
    while ahead:
        name = ahead.pop()
        if name not in kept:
            kept.add(name)
            ahead += reads.get(name, ())
    return kept


def _on_grid(table: Table) -> Iterator[tuple[Column, int]]:
    """The columns that are drawn, with their places on the sheet, where it gives them any."""
    drawn = [column for column in table.columns if column.name != table.split]
    return zip(drawn, table.grid, strict=False)  # a table without a grid has none


class _Cut:
    """Sheets cut down to the columns and lines that are kept."""

    def __init__(self, kept: set[Name], absent: Collection[str], frozen: bool) -> None:
        self.kept, self.absent, self.frozen = kept, absent, frozen
        self.owners = {owner for owner, _ in kept}

    def sheet(self, sheet: Sheet) -> Sheet:
        charts = tuple(
            chart
            for chart in sheet.charts
            if all((chart.table, name) in self.kept for name in chart.columns)
        )
        return replace(sheet, blocks=tuple(self.blocks(sheet)), charts=charts)

    def blocks(self, sheet: Sheet) -> Iterator[Table | Lines | Drawings]:
        """What is left of each block; what is drawn between them stays where anything does."""
        if not any(block.name in self.owners for block in sheet.blocks):
            return
        for block in sheet.blocks:
            match block:
                case Table() if block.name in self.owners:
                    yield self.table(block)
                case Lines() if block.name in self.owners:
                    yield replace(block, rows=tuple(self.line_rows(block)))
                case Table() | Lines():
                    pass
                case Drawings():
                    yield block

    def table(self, table: Table) -> Table:
        kept = [each for each in table.columns if (table.name, each.name) in self.kept]
        printed = [column for column in table.printed if column in kept]
        cut = replace(
            table,
            columns=tuple(self.column(table.name, column) for column in kept),
            row=None,
            spare=_SPARE if table.name in ADDED_TO else 0,
            grid=tuple(at for column, at in _on_grid(table) if column in kept),
            prints_to=printed[-1].name if len(printed) < len(kept) else None,
        )
        return as_values(cut) if self.frozen else cut

    def column(self, table: str, column: Column) -> Column:
        if (table, column.name) in AS_VALUES:
            return _value(column)
        rule = None if column.rule is None else without(column.rule, self.absent)
        return replace(column, rule=rule, choices=self.choices(column))

    def choices(self, cell: Column | LineCell) -> tuple[str, ...] | str:
        """What to pick from, where the list goes along."""
        if isinstance(cell.choices, str):
            table, key = cell.choices.split(".")
            return cell.choices if (table, key) in self.kept else ()
        return cell.choices

    def line_rows(self, lines: Lines) -> Iterator[LineRow]:
        """The lines that are kept, under the headings that still have any."""
        head = None
        for row in lines.rows:
            cells = tuple(
                replace(cell, choices=self.choices(cell))
                for cell in row.cells
                if (lines.name, cell.name) in self.kept
            )
            if cells:
                if head is not None:
                    yield head
                head = None
                yield replace(row, cells=cells)
            elif row.heading:
                head = row
