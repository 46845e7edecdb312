"""New files tried out beside the shop: do they say what the workbook says?"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from notchbook.base.refusals import RefusedError
from notchbook.commands.adopting.adoption import Adoption
from notchbook.commands.adopting.settings import setting_place
from notchbook.definitions import DefinitionError
from notchbook.definitions.editing.entries_of import with_defaults
from notchbook.gathering import SETTINGS, Gathered, gather
from notchbook.merging.cells import same
from notchbook.sheets import book_for


def try_out(result: Adoption, gathered: Gathered) -> None:
    """Reads the new files in a folder of their own, and lists what still differs.

    Raises RefusedError where they would not be right.
    """
    assert gathered.old is not None
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file, text in result.after.items():
            if text is not None:
                (folder / file).parent.mkdir(exist_ok=True)
                (folder / file).write_bytes(text.encode("utf-8"))
        try:
            tried = gather(folder, None, gathered.old.path)
        except DefinitionError as error:
            told = "; ".join(str(problem) for problem in error.problems[:3])
            raise RefusedError(
                f"with the workbook's edits the files would be wrong: {told}"
            ) from None
        result.left += [f"{what}; it stays in the workbook" for what in _differences(tried)]


def _differences(gathered: Gathered) -> Iterator[str]:
    book = book_for(gathered.definitions.settings.tax, gathered.definitions.settings.year)
    for name, rows in gathered.sides_by_side.items():
        columns = [each for each in rows.columns if name != SETTINGS or setting_place(each)]
        for said, cells in rows.pairs:
            key = ", ".join(str((cells or said or {}).get(each)) for each in rows.key)
            if said is None or cells is None:
                if name != "Pricing tiers" or (cells or said or {}).get("asked") is not None:
                    yield f"{name}, {key} is {'not in the files' if said is None else 'deleted'}"
                continue
            table = book.tables.get(name)
            here = with_defaults(table, cells) if table else cells
            there = with_defaults(table, said) if table else said
            for column in columns:
                if not same(here.get(column), there.get(column)):
                    yield f"{name}, {key}, {column} differs"
