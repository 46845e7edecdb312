"""Values stamped beside the formulas of a saved workbook, and the file made reproducible.

openpyxl writes a formula without its value. Previews, phones and readers show stored values, and
LibreOffice trusts them, so the values that were calculated here are put into the saved package.
"""

from __future__ import annotations

import io
import math
import re
import zipfile
from collections.abc import Mapping
from xml.sax.saxutils import escape

_FORMULA = re.compile(r'<c r="([A-Z]+[0-9]+)"((?: s="[0-9]+")?)><f>([^<]*)</f><v ?/?>(?:</v>)?</c>')
_MODIFIED = re.compile(r"(<dcterms:modified[^>]*>)([^<]*)(</dcterms:modified>)")
_CREATED = re.compile(r"<dcterms:created[^>]*>([^<]*)</")
HANDED_OVER = "notchbook hand-over"
"""What a partner's copy says of itself in its properties."""
_PACKED = (1980, 1, 1, 0, 0, 0)  # a fixed time, so that equal workbooks are equal files


class UnstampedError(Exception):
    """A formula cell has no value to stamp, or one that a cell cannot hold."""


Stamp = float | str | None
"""A value; None leaves a cell to the spreadsheet program, which then calculates it."""
Stamps = Mapping[str, Stamp]
"""Values by address."""


def stamp(package: bytes, values: Mapping[str, Stamps], moment: str) -> bytes:
    """The package with a value in every formula cell; `values` by sheet part, then address.

    `moment` (ISO 8601) is what the file says of its last change, in place of the clock.
    Raises UnstampedError if a formula cell has no finite number or text.
    """
    target = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(package)) as source,
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as result,
    ):
        for name in source.namelist():
            data = source.read(name)
            if name in values:
                data = _stamp_sheet(data.decode("utf-8"), name, values[name]).encode("utf-8")
            elif name == "docProps/core.xml":
                data = _MODIFIED.sub(rf"\g<1>{moment}\g<3>", data.decode("utf-8")).encode("utf-8")
            entry = zipfile.ZipInfo(name, _PACKED)
            entry.compress_type = zipfile.ZIP_DEFLATED
            result.writestr(entry, data)
    return target.getvalue()


def as_stamped(package: bytes, category: str) -> bool:
    """Whether a file of this category stands as it was stamped, and nobody has saved it since."""
    try:
        with zipfile.ZipFile(io.BytesIO(package)) as source:
            said = source.read("docProps/core.xml").decode("utf-8")
    except (zipfile.BadZipFile, KeyError, UnicodeDecodeError):
        return False
    created, changed = _CREATED.search(said), _MODIFIED.search(said)
    if created is None or changed is None or f">{escape(category)}</" not in said:
        return False
    return created.group(1) == changed.group(2)


def _stamp_sheet(xml: str, part: str, values: Stamps) -> str:
    def fill(match: re.Match[str]) -> str:
        address, style, formula = match.groups()
        value = values.get(address, math.nan)
        if value is None:
            return match.group()
        if isinstance(value, str):
            return f'<c r="{address}"{style} t="str"><f>{formula}</f><v>{escape(value)}</v></c>'
        if not math.isfinite(value):
            raise UnstampedError(f"{part} {address}: {formula} has no value ({value})")
        number = repr(float(value)).removesuffix(".0")
        return f'<c r="{address}"{style}><f>{formula}</f><v>{number}</v></c>'

    stamped, count = _FORMULA.subn(fill, xml)
    if count != xml.count("<f>"):
        raise UnstampedError(f"{part}: {xml.count('<f>') - count} formulas were not recognised")
    return stamped
