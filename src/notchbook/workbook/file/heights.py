"""Rows that the maker made higher or hid, which is more than the library tells."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping

from openpyxl.workbook import Workbook

from notchbook.workbook.file.book import sheets_of
from notchbook.workbook.file.package_parts import sheet_parts

Heights = dict[int, float]
"""Points, by row."""

_ROW = re.compile(r"<(?:\w+:)?row\s([^>]*)>")
_ATTRIBUTE = re.compile(r"(\w+)=[\"']([^\"']*)[\"']")
_ROUNDED = 0.7  # points; programs round heights when they save


def set_heights(data: bytes) -> dict[str, Heights]:
    """By sheet, the heights that somebody set; programs also save those that they worked out."""
    found: dict[str, Heights] = {}
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        for title, part in sheet_parts(package):
            heights = found.setdefault(title, {})
            for attributes in _ROW.findall(package.read(part).decode("utf-8", "replace")):
                if "customHeight" not in attributes:
                    continue
                row = dict(_ATTRIBUTE.findall(attributes))
                if row["customHeight"] in ("1", "true") and "ht" in row and "r" in row:
                    heights[int(row["r"])] = float(row["ht"])
    return found


def heights_of(workbook: Workbook) -> dict[str, dict[str, float]]:
    """By sheet and row, the heights that we set; keys as JSON takes them."""
    return {
        str(sheet.title): {
            str(row): size.height for row, size in sheet.row_dimensions.items() if size.height
        }
        for sheet in sheets_of(workbook)
    }


def made_higher(heights: Heights, ours: Mapping[str, float]) -> Heights:
    """Those of a sheet's heights that are not as the last compile left them."""
    return {
        row: height
        for row, height in heights.items()
        if abs(height - ours.get(str(row), 0.0)) > _ROUNDED
    }
