"""The defined names by which tables, headers and sheets are found wherever they were moved."""

from __future__ import annotations

SHEET_ANCHOR = "nb_sheet_"
Place = tuple[str, int, int]
"""Sheet, row and column."""


def identifier(name: str) -> str:
    """A table's name as a spreadsheet takes it."""
    return "".join(sign if sign.isalnum() else "_" for sign in name)


def list_name(choices: str) -> str:
    """The defined name of a list of keys, such as `list_Stock_stock`."""
    return "list_" + identifier(choices)
