"""Where the panes of a sheet are frozen."""

from __future__ import annotations

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet


def frozen_at(sheet: Worksheet) -> str | None:
    """Return the cell at which panes are frozen, wherever they were scrolled; None without any."""
    pane = sheet.sheet_view.pane
    if pane is None or pane.state not in ("frozen", "frozenSplit"):
        return None
    return f"{get_column_letter(int(pane.xSplit or 0) + 1)}{int(pane.ySplit or 0) + 1}"
