"""Given rows of a shop: the definition files merged with the workbook, where there is one.

Problems are told at `Stock!H9` or at a file's line, wherever the cell comes from. Rows keep their
exact lengths where the cell says what the files say.

Decisions:

- Ledgers belong to the workbook and are carried whole, so they need no memory. A name that the
  merge saw change is changed in them at once; names that nothing bears are told by cell.
- Both sides changed is judged against what the files said at the last compile: where an earlier
  edit of the workbook stands, a later change of the files is a conflict and does not win silently.
- A blank stands for its default when sides are compared, and stays blank where the maker left it.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from notchbook.base.replace_file import stands
from notchbook.base.staging import refuse_unfinished
from notchbook.definitions import Stated, read_files
from notchbook.gathering.files_alone import definitions_of, load
from notchbook.gathering.ledgers import tell_gone_rows
from notchbook.gathering.made_projects import make_from_files, make_in_workbook
from notchbook.gathering.merging_sides import Merging
from notchbook.gathering.planned_rows import PlannedRows
from notchbook.gathering.sides import (
    OF_THE_FILES,
    SETTINGS,
    Gathered,
    Sided,
    cells_of,
    grids,
)
from notchbook.gathering.standing import standing_workbook, workbook_path
from notchbook.gathering.waiting_cuts import read_waiting_cuts
from notchbook.gathering.workbook_cells import take_cells
from notchbook.merging.merge import Before
from notchbook.merging.state import MergeMemory
from notchbook.sheets import book_for
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.kit.shop_settings import ShopSettings

if TYPE_CHECKING:
    from notchbook.workbook.read.old_book import OldBook

__all__ = [
    "OF_THE_FILES",
    "SETTINGS",
    "Gathered",
    "Sided",
    "gather",
    "grids",
    "load",
    "workbook_path",
]


def gather(folder: Path, as_of: date | None, workbook: Path | None = None) -> Gathered:
    """Reads the files of a shop, and merges them with its workbook where there is one.

    `workbook` names another one than the shop's own. Raises DefinitionError with all problems of
    files and cells, RefusedError for a workbook that cannot be read.
    """

    def standing(settings: ShopSettings) -> Path:
        chosen = workbook if workbook is not None and stands(workbook) else None
        return chosen or standing_workbook(folder, settings)

    refuse_unfinished(folder)
    stated = read_files(folder, as_of or date.today(), lambda found: stands(standing(found)))
    if stated.problems.sorted() or not stands(path := standing(stated.shop)):
        definitions = definitions_of(stated)
        book = book_for(definitions.settings.tax, definitions.settings.year)
        said = cells_of(stated)
        stated, definitions = make_from_files(stated, definitions, book)
        here = cells_of(stated)
        spelling = definitions.settings.spelling
        state = MergeMemory(
            {name: Before(said[name], here[name]) for name in grids(book, spelling)}
        )
        look, notices = [*definitions.look], [*definitions.notices]
        result = Gathered(definitions, state, stated, look=look, notices=notices)
        result.cuts = read_waiting_cuts(stated)
        take_cells(result)
        return result
    book = book_for(stated.shop.tax, stated.shop.year)
    from notchbook.workbook.read.old_book import open_old

    old = open_old(path, book, stated.shop.units)
    return _merged(stated, book, old, as_of is not None)


def _merged(stated: Stated, book: Book, old: OldBook, dated: bool) -> Gathered:
    merging = Merging(stated, book, old, dated)
    merging.run()
    rows = PlannedRows(merging)
    rows, made = make_in_workbook(rows, rows.definitions())
    deleted = sorted(merging.deleted_projects().difference(made.projects))
    state = MergeMemory(renamed=merging.standing, deleted=deleted)
    result = Gathered(made, state, stated, old, merging.changes)
    result.origins, result.formulas = rows.origins, rows.formulas
    result.renamed, result.before = merging.renamed, merging.sides.then_workbook
    result.notices, result.look = [*merging.notices, *rows.notices], [*merging.look, *rows.look]
    for name in merging.grids:
        after = [row.cells for row in merging.merged[name].rows]
        state.tables[name] = Before(merging.sides.definitions[name], after)
        result.sides_by_side[name] = merging.both_sides(name)
    take_cells(result)
    _tell(result, old)
    return result


def _tell(result: Gathered, old: OldBook) -> None:
    if old.state is None:
        result.look.append(
            f"{old.trouble}; the workbook's cells stand, and what the files say otherwise is listed"
        )
    from notchbook.workbook.read.anchors import addresses

    result.notices += tell_gone_rows(old)
    result.notices += [
        f"{cells}: the blanks around the words are left out"
        for cells in addresses(old.typed.trimmed)
    ]
    result.look += [
        f"{cell}: a value was typed over a formula; the formula counts, the value becomes a note"
        for cell in old.typed_over
    ]
