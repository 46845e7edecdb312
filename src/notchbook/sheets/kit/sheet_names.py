"""What sheets are called: those of pieces as their projects are, unless another has that name."""

from __future__ import annotations

from collections.abc import Iterable

LONGEST_SHEET_NAME = 31
"""A sheet's name has at most so many letters."""
KEPT_NAMES = ("As compiled", "History")
"""The hidden sheet of what the next compile must know; one that spreadsheet programs keep."""


def title_pieces(projects: Iterable[str], sheets: Iterable[str]) -> dict[str, str]:
    """Give the name of each project's shop sheet in a workbook that has other sheets, too."""
    projects = list(dict.fromkeys(projects))
    ours = {name.casefold() for name in (*sheets, *KEPT_NAMES)}
    taken = ours | {name.casefold() for name in projects}
    titles = {}
    for project in projects:
        title, number = project, 1
        while title.casefold() in (ours if title == project else taken):
            title = mark_name(project, "piece", number)
            number += 1
        taken.add(title.casefold())
        titles[project] = title
    return titles


def mark_name(name: str, mark: str, number: int) -> str:
    """Put a word in brackets behind a sheet's name, with a number from the second one on."""
    behind = f" ({mark})" if number == 1 else f" ({mark} {number})"
    return name[: LONGEST_SHEET_NAME - len(behind)].rstrip() + behind
