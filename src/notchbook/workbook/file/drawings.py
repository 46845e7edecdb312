"""Drawings and charts of ours, known again by their names whichever program saved them."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Collection, Iterator
from pathlib import PurePosixPath
from xml.etree import ElementTree
from xml.sax.saxutils import unescape

from openpyxl.drawing.fill import Blip
from openpyxl.drawing.geometry import PresetGeometry2D
from openpyxl.drawing.image import Image
from openpyxl.drawing.picture import PictureFrame
from openpyxl.drawing.spreadsheet_drawing import AnchorMarker, OneCellAnchor
from openpyxl.drawing.xdr import XDRPositiveSize2D
from openpyxl.worksheet.worksheet import Worksheet

from notchbook.base.picture import Picture

DRAWING, CHART = "notchbook drawing", "notchbook chart"
"""What our objects are called, each with a number of its own in the workbook."""
_OURS = re.compile(rf"({DRAWING}|{CHART}) [0-9]+")
_FORMULA = re.compile(r"<(?:c:)?f>([^<]*)</(?:c:)?f>")
_COLUMN = re.compile(r"(.+)!\$?([A-Z]{1,3})\$?[0-9]+(?::.*)?")
_EMU = 914_400  # to a printed inch
_DRAWN = "{http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing}"
_REFERS = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
_PART = re.compile(r"xl/drawings/drawing[^/]*\.xml")
_FILES = {"xl/media/": "pictures", "xl/charts/chart": "charts"}


def put_picture(
    ws: Worksheet, picture: Picture, number: int, row: int, away: tuple[float, float]
) -> None:
    """A picture at its printed size, so many inches right of and below the corner of a row."""
    frame = PictureFrame()
    frame.nvPicPr.cNvPr.id = number
    frame.nvPicPr.cNvPr.name = f"{DRAWING} {number}"
    frame.nvPicPr.cNvPr.descr = picture.alt
    frame.blipFill.blip = Blip(cstate="print")
    frame.spPr.prstGeom = PresetGeometry2D(prst="rect")
    frame.spPr.ln = None
    across, down = (round(each * _EMU) for each in away)
    image = Image(io.BytesIO(picture.png))
    image.anchor = OneCellAnchor(
        _from=AnchorMarker(col=0, row=row - 1, colOff=across, rowOff=down),
        ext=XDRPositiveSize2D(round(picture.width * _EMU), round(picture.height * _EMU)),
        pic=frame,
    )
    ws.add_image(image)


def drawn_by_others(package: zipfile.ZipFile, charts: Collection[frozenset[str]] = ()) -> list[str]:
    """Pictures and charts that are not ours, in a maker's words; ours go and are drawn anew.

    `charts` are the columns that each chart of ours draws, by which it is known again where a
    program has given it another name. A second one is a copy that the maker made.
    """
    names = package.namelist()
    ours: set[str] = set()
    seen: set[str | frozenset[str]] = set()
    found: dict[str, None] = {}
    for part in sorted(name for name in names if _PART.fullmatch(name)):
        targets = _targets(part, package)
        for name, what, refers in _objects(package.read(part)):
            parts = [targets[each] for each in refers if each in targets]
            drawn = next((_columns_drawn(package, each) for each in parts), frozenset[str]())
            if name not in seen and _OURS.fullmatch(name):
                seen |= {name, drawn}
                ours |= set(parts)
            elif drawn and drawn in charts and drawn not in seen:
                seen.add(drawn)
                ours |= set(parts)
            else:
                found[what] = None
    for name in names:
        for start, what in _FILES.items():
            if name.startswith(start) and name not in ours:
                found[what] = None
    return list(found)


def _columns_drawn(package: zipfile.ZipFile, part: str) -> frozenset[str]:
    """The columns that a chart draws, as `Start!J`."""
    if not part.startswith("xl/charts/") or part not in package.namelist():
        return frozenset()
    texts = _FORMULA.findall(package.read(part).decode("utf-8", "replace"))
    found = (_COLUMN.fullmatch(unescape(text)) for text in texts)
    return frozenset(each[1].strip("'") + "!" + each[2] for each in found if each)


def _objects(xml: bytes) -> Iterator[tuple[str, str, list[str]]]:
    """The pictures and charts of a part: name, what it is, and the relations it uses."""
    try:
        root = ElementTree.fromstring(xml)
    except ElementTree.ParseError:
        yield "", "drawings that cannot be read", []
        return
    for tag, what in (("pic", "pictures"), ("graphicFrame", "charts")):
        for each in root.iter(_DRAWN + tag):
            named = each.find(f".//{_DRAWN}cNvPr")
            refers = [
                value
                for inner in each.iter()
                for key, value in inner.attrib.items()
                if key.startswith(_REFERS)
            ]
            yield ("" if named is None else named.get("name", "")), what, refers


def _targets(part: str, package: zipfile.ZipFile) -> dict[str, str]:
    """The parts that a part refers to, by the relation's id."""
    at = PurePosixPath(part)
    relations = str(at.parent / "_rels" / f"{at.name}.rels")
    if relations not in package.namelist():
        return {}
    root = ElementTree.fromstring(package.read(relations))
    return {
        str(each.get("Id")): _resolved(at.parent, str(each.get("Target")))
        for each in root
        if each.get("TargetMode") != "External"
    }


def _resolved(folder: PurePosixPath, target: str) -> str:
    if target.startswith("/"):
        return target[1:]
    steps: list[str] = list(folder.parts)
    for step in PurePosixPath(target).parts:
        if step == "..":
            steps.pop()
        else:
            steps.append(step)
    return "/".join(steps)
