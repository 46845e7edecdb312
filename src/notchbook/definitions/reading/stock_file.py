"""stock.yaml: lumber, panels, hardware and consumables."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.base.problems import SourceFile
from notchbook.definitions.reading.entries import Entries
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.places import Found, read_place
from notchbook.definitions.reading.scalars import Scope
from notchbook.measure import Units
from notchbook.merging.cells import Value, cell
from notchbook.sheets.making.stock import StockRow
from notchbook.trade.nominal import NominalError, actual_size

KINDS: Mapping[str, str] = {each.listed: each.sets["kind"] for each in StockRow.written}
"""By the key of the list: the kind of its rows."""


def read_stock(source: SourceFile, entries: Entries, known: Known) -> None:
    """Make rows of all stock."""
    found = read_place(source, entries, "stock.yaml", Scope(known.units))
    if found is None:
        known.gathered.open.add("Stock")
        return
    for key, kind in KINDS.items():
        if found.has(key) and key not in found.values:
            known.gathered.open.add("Stock")
        for stock in found.each(key):
            values = {**stock.values, **_actual(stock, kind, known), "kind": kind}
            known.row("Stock", StockRow, stock, values)


def _actual(stock: Found, kind: str, known: Known) -> Mapping[str, object]:
    """Return thickness and width of lumber from its nominal size, where it gives one."""
    if kind != "lumber" or not stock.has("nominal"):
        return {}
    for key in ("thickness", "width"):
        if stock.has(key):
            stock.report(
                key, "it stands beside nominal; write either nominal or thickness and width"
            )
    nominal = stock.text("nominal")
    try:
        sizes = actual_size(nominal, known.units) if nominal is not None else ()
    except NominalError as error:
        stock.report("nominal", str(error))
        return {}
    return dict(zip(("thickness", "width"), sizes, strict=False))


def sized(cells: dict[str, Value], units: Units) -> None:
    """Fill in the real size of lumber that was typed by its nominal size alone.

    Raises NominalError where there is no such size.
    """
    nominal = cells.get("nominal")
    wanted = [name for name in ("thickness", "width") if cells.get(name) is None]
    if cells.get("kind") == "lumber" and isinstance(nominal, str) and wanted:
        sizes = dict(zip(("thickness", "width"), actual_size(nominal, units), strict=True))
        cells.update({name: cell(sizes[name]) for name in wanted})
