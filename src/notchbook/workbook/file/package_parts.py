"""The parts of a workbook's package, by the sheets that they belong to."""

from __future__ import annotations

import posixpath
import zipfile
from collections.abc import Iterator
from xml.etree import ElementTree

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"


def sheet_parts(package: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """Each sheet's title and its part."""
    sheets = related(package, "xl/workbook.xml")
    for entry in ElementTree.fromstring(package.read("xl/workbook.xml")).iter(f"{_MAIN}sheet"):
        part = sheets.get(str(entry.get(f"{_RELATION}id")), "")
        if part in package.namelist():
            yield str(entry.get("name")), part


def related(package: zipfile.ZipFile, part: str) -> dict[str, str]:
    """The parts that a part refers to, by the name it has for them."""
    folder, _, name = part.rpartition("/")
    relations = f"{folder}/_rels/{name}.rels"
    if relations not in package.namelist():
        return {}
    found = {}
    for each in ElementTree.fromstring(package.read(relations)):
        target = str(each.get("Target"))
        path = target if target.startswith("/") else posixpath.join("/", folder, target)
        found[str(each.get("Id"))] = posixpath.normpath(path).lstrip("/")
    return found
