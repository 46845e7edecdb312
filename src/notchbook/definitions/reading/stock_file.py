"""stock.yaml: lumber, panels, hardware and consumables."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.base.problems import SourceFile
from notchbook.definitions.reading.entries import Entries
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.places import Found, read_place
from notchbook.definitions.reading.scalars import Scope
from notchbook.sheets.making.stock import StockRow
from notchbook.trade.nominal import NominalError, actual_size

KINDS: Mapping[str, str] = {each.listed: each.sets["kind"] for each in StockRow.written}
"""By the key of the list: the kind of its rows."""


def read_stock(source: SourceFile, entries: Entries, known: Known) -> None:
    """Makes rows of all stock; every fault is reported."""
    found = read_place(source, entries, "stock.yaml", Scope(known.units))
    if found is None:
        known.stocks.open = True
        return
    for key, kind in KINDS.items():
        known.stocks.open = known.stocks.open or (found.has(key) and key not in found.values)
        for stock in found.each(key):
            _read_one(stock, kind, known)


def _read_one(stock: Found, kind: str, known: Known) -> None:
    name = stock.text("stock")
    if name is None:
        known.stocks.open = True
        return
    if not known.stocks.give(name, stock.source, stock.at("stock")):
        return
    known.stock_kinds[name] = kind
    if stock.has("covers"):
        known.covering.add(name)
    _check_covers(stock)
    values = {**stock.values, **_actual(stock, kind, known), "kind": kind}
    known.row("Stock", StockRow, stock, values)


def _actual(stock: Found, kind: str, known: Known) -> Mapping[str, object]:
    """Thickness and width of lumber from its nominal size, where it gives one."""
    if kind != "lumber":
        return {}
    if not stock.has("nominal"):
        for key in ("thickness", "width"):
            if not stock.has(key):
                stock.report(key, f"it is missing; write {key}, or nominal in place of both")
        return {}
    for key in ("thickness", "width"):
        if stock.has(key):
            stock.report(
                key, "it stands beside nominal; write either nominal or thickness and width"
            )
    nominal = stock.text("nominal")
    if nominal is None:
        return {}
    try:
        thickness, width = actual_size(nominal, known.units)
    except NominalError as error:
        stock.report("nominal", str(error))
        return {}
    return {"thickness": thickness, "width": width}


def _check_covers(stock: Found) -> None:
    for key, other in (("covers", "covers_per"), ("covers_per", "covers")):
        if stock.has(key) and not stock.has(other):
            stock.report(key, f"it stands without {other}; write both, or neither")
