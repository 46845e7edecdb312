"""Names of sheets, and why a project's name cannot be one."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.base.problems import quoted
from notchbook.sheets import BOOKS

LONGEST_SHEET_NAME = 31
NOT_IN_SHEET_NAMES = "[]:*?/\\~<>="
SHEET_NAMES = (
    *dict.fromkeys(sheet.name for book in BOOKS.values() for sheet in book.sheets),
    "As compiled",  # hidden: what the next compile must know
    "History",  # spreadsheet programs keep this one for themselves
)


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
