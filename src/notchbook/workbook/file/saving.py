"""A workbook as the bytes of a package, equal for equal workbooks."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from openpyxl.comments.comment_sheet import CommentRecord
from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing
from openpyxl.workbook import Workbook
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.worksheet.merge import MergeCell, MergeCells
from openpyxl.writer.excel import ExcelWriter
from openpyxl.xml.constants import ARC_APP, XPROPS_NS

from notchbook.workbook.file.cell_data import Stamps, sheet_data
from notchbook.workbook.file.raw_cells import cells_by_place

_PACKED = (1980, 1, 1, 0, 0, 0)  # a fixed time, so that equal workbooks are equal files
# LibreOffice trusts values stored by programs that it knows, and calculates those of others anew
_WRITTEN_BY = f'<Properties xmlns="{XPROPS_NS}"><Application>notchbook</Application></Properties>'
_ROWS = re.compile(rb"<sheetData\s*(?:/>|></sheetData>)")


class _Package(ZipFile):
    """Parts without the time at which they were written."""

    def writestr(self, name: Any, data: Any, *_: Any) -> None:
        """Adds a part; the library would name another program as the one that wrote it."""
        data = data if name != ARC_APP else _WRITTEN_BY
        entry = ZipInfo(name, _PACKED)
        entry.compress_type = ZIP_DEFLATED
        super().writestr(entry, data)


class _Sheet(WorksheetWriter):
    """Writes all of a sheet but its rows, in whose place it leaves a mark."""

    def write_rows(self) -> None:
        """Notes what stands beside the rows for the parts that follow, and leaves the mark."""
        sheet: Any = self.ws  # type: ignore[attr-defined]
        for _, cell in sorted(cells_by_place(sheet).items()):
            if cell.comment is not None:
                sheet._comments.append(CommentRecord.from_cell(cell))
            if cell.hyperlink is not None:
                sheet._hyperlinks.append(cell.hyperlink)
        file: Any = self.xf  # type: ignore[attr-defined]
        with file.send(True).element("sheetData"):
            pass
        file.send(None)

    def write_merged_cells(self) -> None:
        """Writes which cells are joined, in their order; the library keeps them in a set."""
        sheet: Any = self.ws  # type: ignore[attr-defined]
        joined = sheet.merged_cells.sorted()
        if joined:
            cells = MergeCells(mergeCell=[MergeCell(str(area)) for area in joined])
            self.xf.send(cells.to_tree())  # type: ignore[attr-defined]


class _Writer(ExcelWriter):  # type: ignore[misc]  # the stubs know no such class
    """Writes sheets to memory, where openpyxl writes temporary files, which may find no room."""

    def __init__(self, workbook: Workbook, package: ZipFile, stamps: Mapping[str, Stamps]) -> None:
        super().__init__(workbook, package)
        self.stamps = stamps

    def write_worksheet(self, ws: Any) -> None:
        """Adds a sheet, with what it draws, to the package."""
        ws._drawing = SpreadsheetDrawing()
        ws._drawing.charts, ws._drawing.images = ws._charts, ws._images
        written = io.BytesIO()
        new: Any = _Sheet  # the stubs know no other target than a file
        writer = new(ws, written)
        writer.write()
        ws._rels = writer._rels
        before, after = _ROWS.split(written.getvalue())
        rows = sheet_data(ws, self.stamps.get(ws.title)).encode("utf-8")
        data = b"".join((before, b"<sheetData>", rows, b"</sheetData>", after))
        self._archive.writestr(ws.path[1:], data)
        self.manifest.append(ws)


def packed(workbook: Workbook, stamps: Mapping[str, Stamps]) -> bytes:
    """Return the package of a workbook; `stamps` holds the values of formulas by sheet.

    Raises UnstampedError if a formula cell of these sheets has no finite number or text.
    """
    target = io.BytesIO()
    with _Package(target, "w") as package:
        _Writer(workbook, package, stamps).save()
    return target.getvalue()
