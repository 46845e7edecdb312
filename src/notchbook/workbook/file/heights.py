"""Rows that the maker made higher or hid, which is more than the library tells."""

from __future__ import annotations

import io
import re
import zipfile

from notchbook.workbook.file.package_parts import sheet_parts

Heights = dict[int, float]
"""Points, by row."""

_ROW = re.compile(r"<(?:\w+:)?row\s([^>]*)>")
_ATTRIBUTE = re.compile(r"(\w+)=[\"']([^\"']*)[\"']")


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
