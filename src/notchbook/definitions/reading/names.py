"""Why a project's name cannot name its sheet."""

from __future__ import annotations

from notchbook.base.problems import quoted
from notchbook.sheets.kit.sheet_names import LONGEST_SHEET_NAME

NOT_IN_SHEET_NAMES = "[]:*?/\\~<>="


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
    return None
