"""A workbook as the bytes of a package that is not yet compressed."""

from __future__ import annotations

import io
from typing import Any
from zipfile import ZipFile

from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing
from openpyxl.workbook import Workbook
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.writer.excel import ExcelWriter


class _InMemory(ExcelWriter):  # type: ignore[misc]  # the stubs know no such class
    """Writes sheets to memory, where openpyxl writes temporary files, which may find no room."""

    def write_worksheet(self, ws: Worksheet) -> None:
        """Adds a sheet, with what it draws, to the package."""
        ws._drawing = SpreadsheetDrawing()
        ws._drawing.charts, ws._drawing.images = ws._charts, ws._images
        written = io.BytesIO()
        new: Any = WorksheetWriter  # the stubs know no other target than a file
        writer = new(ws, written)
        writer.write()
        ws._rels = writer._rels
        self._archive.writestr(ws.path[1:], written.getvalue())
        self.manifest.append(ws)


def unpacked(workbook: Workbook) -> bytes:
    """The package of a workbook, its parts as they are; `stamp` packs them."""
    target = io.BytesIO()
    with ZipFile(target, "w") as package:
        _InMemory(workbook, package).save()
    return target.getvalue()
