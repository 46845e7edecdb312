"""The workbook of a shop that has another name now."""

from __future__ import annotations

from pathlib import Path

from notchbook.base.refusals import RefusedError
from notchbook.workbook.file.book import properties_of
from notchbook.workbook.file.written import COPIES
from notchbook.workbook.read.anchors import find_anchors
from notchbook.workbook.read.safety import read_package
from notchbook.workbook.read.typed import load_package


def workbooks_of(folder: Path, year: int) -> list[Path]:
    """Workbooks of ours in a folder that are named for a year, whatever they call the shop."""
    return [path for path in sorted(folder.glob(f"* {year}.xlsx")) if _is_shops(path)]


def _is_shops(path: Path) -> bool:
    """Neither a stranger, nor damaged, nor a copy for a partner."""
    try:
        book = load_package(read_package(path), read_only=True)
    except (RefusedError, OSError):
        return False
    return bool(find_anchors(book)) and properties_of(book).category not in COPIES
