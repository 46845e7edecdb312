"""Names: each once, none that a spreadsheet would mistake, and all that refer to one known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from notchbook.base.problems import SourceFile, nearest, quoted
from notchbook.sheets import BOOKS

LONGEST_SHEET_NAME = 31
NOT_IN_SHEET_NAMES = "[]:*?/\\~<>="
SHEET_NAMES = (
    *dict.fromkeys(sheet.name for book in BOOKS.values() for sheet in book.sheets),
    "As compiled",  # hidden: what the next compile must know
    "History",  # spreadsheet programs keep this one for themselves
)


@dataclass
class KnownNames:
    """The names of one kind that the definitions give, such as every stock.

    Spreadsheets take `Pine` and `pine` for equal, so they count as the same name. While `open`,
    a file that gives names could not be read, and an unknown name is no fault.
    """

    kind: str
    given_in: str
    open: bool = False
    _known: dict[str, tuple[str, str, int]] = field(default_factory=dict)

    def __iter__(self) -> Iterator[str]:
        return (name for name, _, _ in self._known.values())

    def __contains__(self, name: str) -> bool:
        entry = self._known.get(name.casefold())
        return entry is not None and entry[0] == name

    def give(self, name: str, source: SourceFile, line: int) -> bool:
        """Takes a new name in; False, with the reason reported, where it cannot be used."""
        if name.casefold() == self.kind:
            source.report(
                line,
                f"{self.kind}: {quoted(name)} is also its column's header, so that look-ups would "
                "find the header; write another name",
            )
            return False
        if name.casefold() in self._known:
            first, file, at = self._known[name.casefold()]
            where = f"line {at}" if file == source.file else f"{file}:{at}"
            source.report(
                line,
                f"{self.kind}: {quoted(name)} is given already, as {quoted(first)} on {where}; "
                "write another name",
            )
            return False
        self._known[name.casefold()] = (name, source.file, line)
        return True

    def knows(self, name: str, key: str, source: SourceFile, line: int) -> bool:
        """Whether a name that is referred to was given; if not, the nearest one is reported."""
        if name in self:
            return True
        self.report_unknown(name, key, source, line, self)
        return False

    def report_unknown(
        self, name: str, key: str, source: SourceFile, line: int, pool: Iterable[str]
    ) -> None:
        """Tells that nothing in a pool of names has this one, unless a file could not be read."""
        if not self.open:
            what = f"there is no {self.kind} {quoted(name)}{nearest(name, pool)}"
            source.report(line, f"{key}: {what}; write one that is in {self.given_in}")


def sheet_name_fault(name: str) -> str | None:
    """Why a project's name cannot name its sheet, and what to write; None where it can."""
    if len(name) > LONGEST_SHEET_NAME:
        return (
            f"{quoted(name)} has {len(name)} characters; write at most {LONGEST_SHEET_NAME}, "
            "as it names a sheet"
        )
    found = [sign for sign in NOT_IN_SHEET_NAMES if sign in name]
    if found:
        return f"{quoted(name)} holds {' '.join(found)}, which no sheet's name may; leave it out"
    if name.startswith("'") or name.endswith("'"):
        return f"{quoted(name)} has a ' at its beginning or end, which no sheet's name may; drop it"
    if name.casefold() in _SHEETS:
        return f"{quoted(name)} is the name of a sheet already; write another name"
    return None


_SHEETS: Mapping[str, str] = {name.casefold(): name for name in SHEET_NAMES}
