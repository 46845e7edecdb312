"""The rows of a shop that has no workbook yet: its files, through the door."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from notchbook.definitions import LEDGER_TABLES, DefinitionError, Definitions, Stated, read_files
from notchbook.definitions.reading.rows import Candidate
from notchbook.gathering.door import enter
from notchbook.gathering.sides import cells_of
from notchbook.gathering.waiting_cuts import read_waiting_cuts
from notchbook.sheets import book_for
from notchbook.sheets.kit.shop_settings import ShopSettings

_NOTHING_SAID = Candidate(
    {}, lambda _: ("shop.yaml", 1), lambda name: name, frozenset(ShopSettings.model_fields)
)


def load(folder: Path, as_of: date) -> Definitions:
    """Read all files of a shop's folder; the age of prices is counted from `as_of`.

    Raises DefinitionError, and nothing else, with the problems of all files.
    """
    return definitions_of(read_files(folder, as_of))


def definitions_of(stated: Stated) -> Definitions:
    """Return what the files state, checked.

    Raises DefinitionError with the problems of all files.
    """
    settings, problems = stated.settings, stated.problems
    book = book_for() if settings is None else book_for(settings.tax, settings.year)
    said = stated.said or _NOTHING_SAID
    if settings is None:
        said = replace(said, unread=_NOTHING_SAID.unread)
    read_waiting_cuts(stated)  # for their problems
    entered = enter(book, said, stated.rows, problems, stated.open)
    if problems.sorted() or settings is None:
        raise DefinitionError(problems.sorted())
    cells = cells_of(stated)
    return Definitions(
        stated.folder,
        settings,
        entered.rows,
        stated.places,
        {name: cells[name] for name in LEDGER_TABLES},
        look=entered.look,
        notices=entered.notices,
    )
