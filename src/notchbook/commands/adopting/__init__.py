"""The workbook's edits written into the definition files, as few letters changed as can be.

Every edit is made at the place of its node (`definitions/editing`), so nothing else in a file
changes. The result is tried out in a folder of its own before it is shown; a file that was saved
meanwhile is not written over, and the old files go to backups.
"""

from __future__ import annotations

from pathlib import Path

from notchbook.base.refusals import RefusedError
from notchbook.base.staging import finish
from notchbook.commands.adopting.adoption import Adoption
from notchbook.commands.adopting.entries import EntryEdits
from notchbook.commands.adopting.ideas import edit_ideas
from notchbook.commands.adopting.projects import Projects
from notchbook.commands.adopting.settings import edit_settings
from notchbook.commands.adopting.trial import try_out
from notchbook.definitions.editing.edits import YamlFile
from notchbook.definitions.editing.entries_of import list_of, spots
from notchbook.definitions.reading.files import definition_files, exact_text
from notchbook.definitions.syntax.columns import LISTED
from notchbook.definitions.syntax.shop import LIST_FILES
from notchbook.gathering import Gathered, gather
from notchbook.sheets import book_for
from notchbook.sheets.kit.written import IDEAS_FILE, PROJECT

__all__ = ["Adoption", "adoption", "finish"]

_FILES = {table: file for (file, _), (table, _) in LISTED.items() if file != PROJECT}
"""By table: the file that lists its rows, apart from those of projects."""
_MAY_BE_MISSING = tuple(file for file in LIST_FILES if file != "stock.yaml")
"""Files that need not be there, and must not be where they would say nothing."""


def adoption(folder: Path) -> Adoption:
    """What the files must say to agree with the workbook, tried out beside them.

    Raises RefusedError without a workbook, with one that is open, or where the new files would not
    be right.
    """
    from notchbook.workbook.read.safety import refuse_if_open

    gathered = gather(folder, None)
    if gathered.old is None:
        raise RefusedError(f"there is no workbook in {folder} to adopt from; compile first")
    refuse_if_open(gathered.old.path)
    result = Adoption(folder)
    _edit(result, gathered)
    try_out(result, gathered)
    return result


def _edit(result: Adoption, gathered: Gathered) -> None:
    folder, settings = result.folder, gathered.definitions.settings
    entries = EntryEdits(book_for(settings.tax, settings.year), settings.units)
    files = {}
    for path in definition_files(folder):
        name = path.relative_to(folder).as_posix()
        result.before[name] = exact_text(path)
        files[name] = YamlFile(result.before[name])
    newline = files["shop.yaml"].newline
    edit_settings(files["shop.yaml"], gathered, entries.book)
    for table, name in _FILES.items():
        sided = gathered.sides_by_side[table]
        if name not in files:
            if not sided.pairs:
                continue
            files[name] = YamlFile(f"{list_of(table, {})}: []{newline}")
            result.before[name] = ""
        if name == IDEAS_FILE:
            edit_ideas(files[name], gathered, entries)
            continue
        rows = list(zip(sided.pairs, sided.at, strict=True))
        entries.edit(files[name], table, list(spots(files[name], table)), rows)
    Projects(gathered, files, result, entries, newline).edit()
    for name, file in files.items():
        if name not in result.after:
            text = file.changed()
            result.after[name] = text if file.text != text else result.before[name]
            if name in _MAY_BE_MISSING and file.emptied:
                result.after[name] = None
    if entries.missing:
        raise RefusedError("; ".join(dict.fromkeys(entries.missing)))
