"""The sizes of notes, which the library that reads workbooks forgets."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping

from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.workbook.file.book import sheet_named
from notchbook.workbook.file.package_parts import related, sheet_parts
from notchbook.workbook.file.raw_cells import cells_by_place

Sizes = Mapping[tuple[int, int], tuple[float, float]]
"""Height and width in pixels, by row and column."""

_SHAPE = re.compile(r"<(?:\w+:)?shape\s([^>]*)>(.*?)</(?:\w+:)?shape>", re.DOTALL)
_STYLE = re.compile(r"style=[\"']([^\"']*)[\"']")
_LENGTH = re.compile(r"(?:^|;)\s*(width|height)\s*:\s*([0-9.]+)(pt|px)")
_PLACE = re.compile(r"<(?:\w+:)?(Row|Column)>\s*([0-9]+)\s*<")
_TO_PIXELS = {"px": 1.0, "pt": 96 / 72}


def resize_notes(data: bytes, workbook: Workbook) -> None:
    """Gives the notes of a workbook that was read from `data` the sizes they have there."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        for title, part in sheet_parts(package):
            for drawing in related(package, part).values():
                if drawing.endswith(".vml") and drawing in package.namelist():
                    text = package.read(drawing).decode("utf-8", "replace")
                    _resize(sheet_named(workbook, title), _sizes(text))


def _sizes(text: str) -> Sizes:
    sizes = {}
    for attributes, inside in _SHAPE.findall(text):
        style = _STYLE.search(attributes)
        place = {name: int(number) for name, number in _PLACE.findall(inside)}
        lengths = {
            name: round(float(number) * _TO_PIXELS[unit], 2)
            for name, number, unit in _LENGTH.findall(style[1] if style else "")
        }
        if len(place) == 2 and len(lengths) == 2:
            at = (place["Row"] + 1, place["Column"] + 1)
            sizes[at] = (lengths["height"], lengths["width"])
    return sizes


def _resize(sheet: Worksheet, sizes: Sizes) -> None:
    for place, (height, width) in sizes.items():
        cell = cells_by_place(sheet).get(place)
        if cell is not None and cell.comment is not None:
            cell.comment.height, cell.comment.width = _plain(height), _plain(width)


def _plain(length: float) -> float:
    return int(length) if length.is_integer() else length
