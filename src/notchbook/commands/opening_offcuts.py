"""The offcuts that lie there at the end of a year, as the next one reads them."""

from __future__ import annotations

from notchbook.definitions import Definitions
from notchbook.definitions.editing.writing import length, number, write_csv
from notchbook.sheets.making.offcuts import OffcutRow


def write_offcuts(definitions: Definitions) -> str:
    """Write the offcuts that are not used up as the file of a ledger; "" where there is none."""
    rows = [row for row in definitions.table("Offcuts", OffcutRow) if row.count]
    if not rows:
        return ""
    return write_csv(OffcutRow.model_fields, map(_cells, rows))


def _cells(row: OffcutRow) -> list[str]:
    sides = [length(float(side)) for side in (row.thickness, row.width, row.length)]
    return [row.stock, *sides, number(row.count), row.run or "", row.note or ""]
