"""The real sizes of lumber that is given by its nominal size."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.definitions.reading.places import Found
from notchbook.measure import Units
from notchbook.merging.cells import Value, cell
from notchbook.trade.nominal import NominalError, actual_size

_SIDES = ("thickness", "width")


def real_sizes(stock: Found, kind: str, units: Units) -> Mapping[str, object]:
    """Return thickness and width of lumber from its nominal size, where it gives one."""
    if kind != "lumber" or not stock.has("nominal"):
        return {}
    for key in _SIDES:
        if stock.has(key):
            stock.report(
                key, "it stands beside nominal; write either nominal or thickness and width"
            )
    nominal = stock.text("nominal")
    try:
        sizes = actual_size(nominal, units) if nominal is not None else ()
    except NominalError as error:
        stock.report("nominal", str(error))
        return {}
    return dict(zip(_SIDES, sizes, strict=False))


def sized(cells: dict[str, Value], units: Units) -> None:
    """Fill in the real size of lumber that was typed by its nominal size alone.

    Raises NominalError where there is no such size.
    """
    nominal = cells.get("nominal")
    wanted = [name for name in _SIDES if cells.get(name) is None]
    if cells.get("kind") == "lumber" and isinstance(nominal, str) and wanted:
        sizes = dict(zip(_SIDES, actual_size(nominal, units), strict=True))
        cells.update({name: cell(sizes[name]) for name in wanted})
