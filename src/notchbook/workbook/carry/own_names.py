"""Names that the maker gave to cells, in the whole workbook and on single sheets."""

from __future__ import annotations

from collections.abc import Collection

from openpyxl.workbook import Workbook
from openpyxl.workbook.defined_name import DefinedName

from notchbook.workbook.carry.copying import Copier
from notchbook.workbook.file.book import names_of, sheet_named, sheets_of, title_of
from notchbook.workbook.memory.book_copy import LISTS

_NEVER_THEIRS = ("nb_", "_xlnm.", "_xlfn")


def carry_names(
    source: Workbook, target: Workbook, copier: Copier, lists: Collection[str] | None
) -> None:
    """Puts the maker's names into the new workbook, following the cells that they mean.

    `lists` are the names of ours that the last compile gave to lists, None where that is forgotten.
    """
    moves = copier.moves
    ours = (*_NEVER_THEIRS, *(lists if lists is not None else (LISTS,)))
    for name, defined in names_of(source).items():
        if name.startswith(ours) or name in names_of(target):
            continue
        text, whole = moves.formula("=" + (defined.attr_text or ""), "")
        if not whole:
            copier.lost.append((f"the name {name}", defined.attr_text or ""))
        names_of(target)[name] = DefinedName(name, attr_text=text[1:])
    for sheet in sheets_of(source):
        title = title_of(sheet)
        move = moves.sheets.get(title)
        new = move.name if move is not None else moves.renamed.get(title, title)
        for name, defined in names_of(sheet).items():
            if name.startswith(ours) or new not in target.sheetnames:
                continue
            text, whole = moves.formula("=" + (defined.attr_text or ""), title)
            if not whole:
                copier.lost.append((f"the name {name}", defined.attr_text or ""))
            names_of(sheet_named(target, new))[name] = DefinedName(name, attr_text=text[1:])
