"""An idea written as the file of a project, its guesses marked; tried out before it is written."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path

from notchbook.base.problems import nearest
from notchbook.base.refusals import RefusedError
from notchbook.commands.adopting import Adoption
from notchbook.commands.adopting.entries import EntryEdits
from notchbook.commands.adopting.projects import IN_PROJECTS, free_name
from notchbook.definitions import DefinitionError, Definitions
from notchbook.definitions.editing.entries_of import columns_of, list_of, text_of
from notchbook.definitions.reading.files import definition_files, exact_text
from notchbook.gathering.drafts import Draft, draft_project
from notchbook.sheets import book_for
from notchbook.sheets.kit.declare import Book
from notchbook.shop.pipeline import prepare_jobs

_HEAD = (
    "# Drafted from the idea of this name. Look at each line marked as a guess, and mend it; the\n"
    "# sheet of the project shows what it costs then.\n"
)


@dataclass
class ProjectDraft:
    """The file of a new project: its name and text, and what it leaves out."""

    adoption: Adoption
    name: str
    text: str
    left_out: list[str] = field(default_factory=list)

    def write(self) -> str:
        """Put the file in place; give in words what was done.

        Raises RefusedError where a file changed meanwhile.
        """
        return self.adoption.write(datetime.now())


def draft_file(shop: Path, idea: str, as_of: date | None) -> ProjectDraft:
    """Draft the file of a project from one of a shop's ideas, and try it out beside the shop.

    Raises RefusedError for an unknown idea, for one that is a project already, and where the file
    would not load or its parts would not fit; DefinitionError for a shop that is wrong.
    """
    gathered, _ = prepare_jobs(shop, as_of)
    definitions = gathered.definitions
    _refuse(definitions, idea)
    book = book_for(definitions.settings.tax, definitions.settings.year)
    draft = draft_project(definitions, book, idea)
    found = Adoption(shop)
    for path in definition_files(shop):
        found.before[path.relative_to(shop).as_posix()] = exact_text(path)
    name = free_name(idea, found.before)
    newline = "\r\n" if "\r\n" in found.before["shop.yaml"] else "\n"
    entries = EntryEdits(book, definitions.settings.units)
    text = _HEAD + "".join(f"{line}\n" for line in _lines(draft, book, entries))
    found.after = {**found.before, name: text.replace("\n", newline)}
    _try_out(found, name, None if gathered.old is None else gathered.old.path)
    return ProjectDraft(found, name, text, draft.left_out)


def _refuse(definitions: Definitions, idea: str) -> None:
    known = [str(row["idea"]) for row in definitions.cells("Ideas")]
    if idea not in known:
        there = f"there are {', '.join(known)}" if known else "there are none yet"
        raise RefusedError(f"there is no idea {idea!r}{nearest(idea, known)}; {there}")
    if idea.casefold() in map(str.casefold, definitions.projects):
        raise RefusedError(f"there is a project {idea!r} already; give the idea another name")


def _lines(draft: Draft, book: Book, entries: EntryEdits) -> list[str]:
    lines = []
    for name in IN_PROJECTS:
        table, rows = book.tables[name], draft.rows.get(name, [])
        if name == "Projects":
            for key, columns in columns_of(table, rows[0]).items():
                text = text_of(table, key, columns, rows[0], {}, None)
                if text is not None and (key in ("title", "batch") or columns[0] in _SAID):
                    lines.append(f"{key}: {text}")
            continue
        if rows:
            lines.append(f"{list_of(name, rows[0])}:")
        for n, row in enumerate(rows):
            guess = draft.guesses.get((name, n), "")
            lines.append(f"  - {entries.new(table, row)}" + (f"   # {guess}" if guess else ""))
    return lines + [f"# Left out: {what}" for what in draft.left_out]


_SAID = ("project", "local_factor")
"""The keys of a project that a draft says, beside title and batch."""


def _try_out(found: Adoption, name: str, workbook: Path | None) -> None:
    """Read the files with the new one in a folder of their own, and see that every part fits.

    Raises RefusedError where one does not.
    """
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        if (found.folder / "ledgers").is_dir():
            shutil.copytree(found.folder / "ledgers", folder / "ledgers")
        for file, text in found.after.items():
            (folder / file).parent.mkdir(exist_ok=True)
            (folder / file).write_bytes((text or "").encode("utf-8"))
        try:
            prepare_jobs(folder, None, workbook)
        except DefinitionError as error:
            told = "; ".join(str(problem) for problem in error.problems[:3])
            raise RefusedError(f"the file {name} would be wrong: {told}") from None
