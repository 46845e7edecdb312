"""Where the workbook of a shop stands, and whether the maker worked in a copy that is not read."""

from __future__ import annotations

from pathlib import Path

from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import stands
from notchbook.definitions import Definitions
from notchbook.sheets.kit.shop_settings import ShopSettings

_NOT_READ = frozenset({".ods", ".fods", ".xls", ".xlsb", ".xlsm"})
"""Endings of workbooks of other formats, in which spreadsheet programs may save one."""


def workbook_path(definitions: Definitions) -> Path:
    """Where the workbook of a shop stands: `<shop name> <year>.xlsx` in its folder."""
    return _path(definitions.folder, definitions.settings)


def standing_workbook(folder: Path, settings: ShopSettings) -> Path:
    """The workbook of a shop, under the name of before where the shop was renamed.

    Raises RefusedError where there are several of them, or one of another format that is newer.
    """
    found = _newest_name(folder, settings)
    _refuse_other_format(found)
    return found


def _newest_name(folder: Path, settings: ShopSettings) -> Path:
    named = _path(folder, settings)
    if stands(named):
        return named
    from notchbook.workbook.read.finding import workbooks_of

    found = workbooks_of(folder, settings.year)
    if len(found) > 1:
        names = ", ".join(path.name for path in found)
        raise RefusedError(
            f"there is no {named.name}, but {names}; give the right one that name, or move all"
            " others away"
        )
    return found[0] if found else named


def _refuse_other_format(path: Path) -> None:
    """See that nobody works in a copy of another format, whose rows a compile would pass over."""
    is_there = stands(path)
    saved = path.stat().st_mtime if is_there else 0.0
    for other in sorted(path.parent.glob("*")):
        if other.stem != path.stem or other.suffix.lower() not in _NOT_READ:
            continue
        if stands(other) and other.stat().st_mtime > saved:
            stale = f"newer than {path.name}" if is_there else f"there, and no {path.name}"
            raise RefusedError(
                f"{other.name} is {stale}, but only .xlsx is read; if you work in it, open it in"
                f" the spreadsheet program and save it as {path.name}; else move it away"
            )


def _path(folder: Path, settings: ShopSettings) -> Path:
    name = f"{settings.shop} {settings.year}.xlsx"
    return folder / "".join("-" if sign in '/\\:*?"<>|' else sign for sign in name)
