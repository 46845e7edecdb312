"""The files as they are and as they must be, to be shown and put in place."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import back_up, refuse_read_only
from notchbook.base.staging import finish, stage
from notchbook.definitions.reading.files import definition_files


@dataclass
class Adoption:
    """What `adopt` would do: the new text of each file (None: it goes), and what stays behind.

    `moved` tells of projects that get a file of their own.
    """

    folder: Path
    before: dict[str, str] = field(default_factory=dict)
    after: dict[str, str | None] = field(default_factory=dict)
    left: list[str] = field(default_factory=list)
    moved: list[str] = field(default_factory=list)

    def changed(self) -> Iterator[str]:
        """The files that change."""
        for name in sorted(self.after):
            if self.after[name] != self.before.get(name):
                yield name

    def diff(self) -> str:
        """The changes as lines taken out and put in."""
        lines: list[str] = []
        for name in self.changed():
            old, new = self.before.get(name, ""), self.after[name] or ""
            lines += difflib.unified_diff(
                old.splitlines(), new.splitlines(), name, name, lineterm=""
            )
        return "".join(f"{line}\n" for line in lines)

    def write(self, now: datetime | None = None) -> str:
        """Puts the new files in place, all of them or none; gives what was done in words.

        Raises RefusedError, with nothing written, where a file is not as it was read.
        """
        self._refuse_others()
        names = list(self.changed())
        old = [name for name in names if (self.folder / name).exists()]
        for name in old:
            refuse_read_only(self.folder / name)
        copies = [self._copy(name, now or datetime.now()) for name in old]
        stage(self.folder, {name: self.after[name] for name in names}, copies)
        return finish(self.folder)

    def _refuse_others(self) -> None:
        """Looks whether all files are as they were read, since what is shown was made of them."""
        there = (path.relative_to(self.folder).as_posix() for path in definition_files(self.folder))
        others = []
        for name in sorted({*self.before, *self.after, *there}):
            path = self.folder / name
            data = path.read_bytes() if path.is_file() else b""
            if data != self.before.get(name, "").encode("utf-8"):
                others.append(name)
        if others:
            raise RefusedError(
                f"{', '.join(others)} changed since the files were read; nothing was written. "
                "Save what you have open in an editor, and adopt again"
            )

    def _copy(self, name: str, now: datetime) -> str:
        """Keeps a dated copy of a file that is to be changed or to go; gives its name."""
        old = self.before[name].encode("utf-8")
        copy = back_up(self.folder / name, old, self.folder, now)
        return copy.relative_to(self.folder).as_posix()
