"""Cuts that wait for their runs, written as the file that a shop without a workbook reads."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from notchbook.definitions.editing.writing import number, write_csv
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
    rows = (row for cut in cuts for row in _rows(cut))
    return write_csv(WaitingCutRow.model_fields, rows)


def _rows(cut: KeptCut) -> Iterator[list[str]]:
    said = [cut.name, from_serial(cut.day).isoformat(), cut.project, number(cut.pieces)]
    for stock, boards in cut.boards.items():
        yield [*said, stock, number(boards), cut.offcuts.get(stock, "")]
