"""Joined cells, looked at in the package before the library opens it.

The library that reads workbooks makes a cell of every place in a joined range, however large, and
forgets the values that stand beneath the first. So it gets to see none of them.
"""

from __future__ import annotations

import io
import re
import zipfile

from notchbook.workbook.file.package_parts import sheet_parts

_ALL = re.compile(rb"<(\w+:)?mergeCells\b.*?</(?:\w+:)?mergeCells\s*>", re.DOTALL)
_ONE = re.compile(rb"<(?:\w+:)?mergeCell\s[^>]*?ref=[\"']([A-Z0-9:]+)[\"']")


def merged_ranges(data: bytes) -> dict[str, list[str]]:
    """Return the joined ranges of each sheet that has some."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        parts = {title: package.read(part) for title, part in sheet_parts(package)}
    found = {title: [each.decode() for each in _ONE.findall(xml)] for title, xml in parts.items()}
    return {title: ranges for title, ranges in found.items() if ranges}


def without_merges(data: bytes) -> bytes:
    """Return a workbook whose cells are all single, to be read."""
    if not merged_ranges(data):
        return data
    target = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as source,
        zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as result,
    ):
        sheets = {part for _, part in sheet_parts(source)}
        for name in source.namelist():
            xml = source.read(name)
            result.writestr(name, _ALL.sub(b"", xml) if name in sheets else xml)
    return target.getvalue()
