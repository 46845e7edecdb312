"""The cells of a workbook that was just written, read from its package without the library.

Knows the XML that this program writes, and no other program's: of formulas and their values three
signs are escaped (`cell_data`), of words and notes what the library escapes.
"""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import dataclass
from functools import cached_property
from html import unescape
from xml.sax import saxutils

from openpyxl.utils import column_index_from_string

from notchbook.workbook.file.package_parts import related, sheet_parts

Raw = tuple[str, str, str, str]
"""Of a cell: its type, formula, value and words, each as it stands in the XML."""

_CELL = re.compile(
    r'<c r="([A-Z]+)([0-9]+)"(?: s="[0-9]+")?(?: t="(\w+)")?>'
    r"(?:<f[^>]*?(?:/>|>([^<]*)</f>))?(?:<v>([^<]*)</v>|<v ?/>)?(?:<is>(.*?)</is>)?</c>",
    re.DOTALL,
)
_TEXT = re.compile(r"<t[^>]*>([^<]*)</t>")
_NOTE = re.compile(r'<comment ref="([A-Z]+)([0-9]+)".*?</comment>', re.DOTALL)
_NAME = re.compile(r'<definedName name="([^"]+)"[^>]*>([^<]*)<')


@dataclass(frozen=True)
class SheetCells:
    """The cells of a sheet by row and column, and the notes on them."""

    cells: dict[tuple[int, int], Raw]
    notes: dict[tuple[int, int], str]

    def formula(self, row: int, column: int) -> str | None:
        """Return the formula of a cell, without its sign; None where there is none."""
        raw = self.cells.get((row, column))
        return saxutils.unescape(raw[1]) if raw is not None and raw[1] else None

    def value(self, row: int, column: int) -> float | str | None:
        """Return what a cell shows: a number, words, or nothing."""
        raw = self.cells.get((row, column))
        if raw is None:
            return None
        kind, _, value, words = raw
        if kind == "inlineStr":
            return unescape("".join(_TEXT.findall(words)))
        if kind in ("str", "e"):
            return saxutils.unescape(value)
        return float(value) if value else None


class PackageCells:
    """All sheets of a workbook, and its defined names."""

    def __init__(self, data: bytes) -> None:
        self._package = zipfile.ZipFile(io.BytesIO(data))
        self._letters: dict[str, int] = {}
        self.sheets = {title: self._sheet(part) for title, part in sheet_parts(self._package)}

    @cached_property
    def names(self) -> dict[str, str]:
        """What the defined names of the workbook mean."""
        xml = self._package.read("xl/workbook.xml").decode("utf-8")
        return {unescape(name): unescape(text) for name, text in _NAME.findall(xml)}

    def _sheet(self, part: str) -> SheetCells:
        xml = self._package.read(part).decode("utf-8")
        cells = {
            (int(row), self._number(letters)): (kind, formula, value, words)
            for letters, row, kind, formula, value, words in _CELL.findall(xml)
        }
        notes = {}
        for other in related(self._package, part).values():
            if other.startswith("xl/comments"):
                text = self._package.read(other).decode("utf-8")
                for match in _NOTE.finditer(text):
                    said = unescape("".join(_TEXT.findall(match[0])))
                    notes[int(match[2]), self._number(match[1])] = said
        return SheetCells(cells, notes)

    def _number(self, letters: str) -> int:
        if letters not in self._letters:
            self._letters[letters] = column_index_from_string(letters)
        return self._letters[letters]
