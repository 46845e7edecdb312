"""The offcuts that lie there at the end of a year, as the next one reads them."""

from __future__ import annotations

import csv
import io

from notchbook.definitions import Definitions
from notchbook.definitions.editing.writing import length, number
from notchbook.sheets.making.offcuts import OffcutRow


def write_offcuts(definitions: Definitions) -> str:
    """Write the offcuts that are not used up as the file of a ledger; "" where there is none."""
    rows = [row for row in definitions.table("Offcuts", OffcutRow) if row.count]
    if not rows:
        return ""
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(OffcutRow.model_fields)
    for row in rows:
        sides = [length(float(side)) for side in (row.thickness, row.width, row.length)]
        writer.writerow([row.stock, *sides, number(row.count), row.run or "", row.note or ""])
    return target.getvalue()
