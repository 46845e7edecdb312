"""The files as they are and as they must be, to be shown and put in place."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from notchbook.replacing import replace_text


@dataclass
class Adoption:
    """What `adopt` would do: the new text of each file (None: it goes), and what stays behind."""

    folder: Path
    before: dict[str, str] = field(default_factory=dict)
    after: dict[str, str | None] = field(default_factory=dict)
    left: list[str] = field(default_factory=list)

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

    def write(self) -> str:
        """Puts the new files in place, each whole; gives what was done in words."""
        written, removed = [], []
        for name in self.changed():
            text = self.after[name]
            if text is None:
                (self.folder / name).unlink()
                removed.append(name)
            else:
                replace_text(self.folder / name, text)
                written.append(name)
        done = (("Wrote", written), ("Removed", removed))
        return "\n".join(f"{word} {', '.join(names)}" for word, names in done if names)
