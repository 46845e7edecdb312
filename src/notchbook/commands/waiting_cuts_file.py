"""Cuts that wait for their runs, written as the file that a shop without a workbook reads."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from notchbook.definitions.editing.writing import number
from notchbook.language.functions import from_serial
from notchbook.sheets.making.stock_used import USED, KeptCut, kept_cuts
from notchbook.sheets.making.waiting_cuts import WaitingCutRow
from notchbook.shop.pipeline import Priced


def list_waiting(priced: Priced) -> list[KeptCut]:
    """List the cuts of a shop that were kept and wait for their runs."""
    cuts = kept_cuts(priced.filled.tables[USED].to_dict("records"))
    return [cut for cut in cuts if cut.run is None]


def write_waiting_cuts(cuts: Sequence[KeptCut]) -> str:
    """Write cuts as the file of a ledger; "" where there is none."""
    if not cuts:
        return ""
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(WaitingCutRow.model_fields)
    for cut in cuts:
        said = cut.name, from_serial(cut.day).isoformat(), cut.project, number(cut.pieces)
        for stock, boards in cut.boards.items():
            writer.writerow([*said, stock, number(boards), cut.offcuts.get(stock, "")])
    return target.getvalue()
