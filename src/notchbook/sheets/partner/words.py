"""What a partner's copy says of itself: its Start sheet, and a line on top of each sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from notchbook.base.spelling import Spelling, spell
from notchbook.sheets.kit.declare import Book, LineRow, Lines, Sheet, heading
from notchbook.sheets.kit.sheet_names import title_pieces

_NAMES = {"Tool depreciation": "Tool wear"}
"""Sheets of which so little goes along that their name would promise too much."""
_SAYS = {
    "Start": ("What is made, what it costs and what it brings.", ""),
    "Settings": ("What the prices are worked out with.", ""),
    "Stock": (
        "What is bought, with the price of a whole pack.",
        "Type another price, and every cost and price that holds it follows.",
    ),
    "Projects": (
        "What is made, and what makes up its cost.",
        "Type another batch, and it follows from Yield.",
    ),
    "Cut list": (
        "Every part at its finished size.",
        "A changed size makes the plan stale: the boards must be planned anew by the shop.",
    ),
    "Laid surfaces": ("Faces laid with strips.", ""),
    "Material takeoff": (
        "What each project needs of each stock at its batch size.",
        "Costs value boards at the Stock price; only what to buy looks at what is there now.",
    ),
    "Consumables": (
        "What one unit uses: by the piece, along a part, by coated area, and the wear of tools.",
        "",
    ),
    "Work steps": ("Minutes once a batch and for each unit.", ""),
    "Pricing tiers": (
        "What each kind of price must be, is, and leaves.",
        "Type a price under asked to use it instead of the suggested one.",
    ),
    "Tool depreciation": ("What the wear of a tool costs a use and an hour.", ""),
    "Yield": ("What a piece costs in batches of other sizes, by the boards that they take.", ""),
    "Marks": ("Where to mark, notch, drill or stamp, as read on a tape.", ""),
}
"""What a sheet shows, and what its reader can do there where formulas are live."""
_LIVE = (
    ("type", "Into boxed cells, cream with blue letters; all that hangs on them follows at once."),
    ("read", "Grey cells, open at the sides, are worked out; notes on headers say how."),
    ("stale", "A size changed since the boards were planned: ask for a new copy."),
)
_FROZEN = (("read", "Every cell is a value as it stood that day; nothing is worked out here."),)
_ROUND = ("not here", "Ledgers, customers, other projects; and nothing is hidden.")
SHOP_SHEET = "Shop sheet"


@dataclass(frozen=True)
class CopyWords:
    """What a copy speaks of: the shop, the day of its prices, its projects, and whether frozen."""

    shop: str
    day: str
    projects: Sequence[str]
    frozen: bool
    spelling: Spelling


def worded(book: Book, told: CopyWords) -> Book:
    """The sheets of a copy under their names and instructions in it, with the copy's own Start."""
    sheets = tuple(_worded(sheet, told.frozen) for sheet in book.sheets)
    start = _start(told, sheets)
    return Book(
        tuple(
            replace(sheet, blocks=(start, *sheet.blocks)) if sheet.name == start.name else sheet
            for sheet in sheets
        )
    )


def _worded(sheet: Sheet, frozen: bool) -> Sheet:
    shows, does = _SAYS.get(sheet.name, (sheet.instruction, ""))
    says = shows if frozen or not does else f"{shows} {does}"
    return replace(sheet, name=_NAMES.get(sheet.name, sheet.name), instruction=says)


def _start(told: CopyWords, sheets: Sequence[Sheet]) -> Lines:
    """What the copy is, and a link to each of its sheets."""
    links = [
        LineRow(sheet.name, note=shows(sheet), link=sheet.name)
        for sheet in sheets
        if sheet.name not in ("Start", SHOP_SHEET)
    ]
    titles = title_pieces(told.projects, [sheet.name for sheet in sheets])
    links += [
        LineRow(name, note="its shop sheet, to print", link=title) for name, title in titles.items()
    ]
    says = _FROZEN if told.frozen else _LIVE
    rows = (
        heading("What this copy holds"),
        LineRow("from", note=told.shop),
        LineRow("of", note=", ".join(told.projects)),
        LineRow("prices of", note=told.day),
        LineRow(_ROUND[0], note=_ROUND[1]),
        heading("How to use it"),
        *(LineRow(label, note=spell(says, told.spelling)) for label, says in says),
        heading("Sheets"),
        *links,
    )
    return Lines("Start", ("what", "what is there"), rows)


def shows(sheet: Sheet) -> str:
    """What a sheet shows: the first sentence of its instruction."""
    return sheet.instruction.split(". ")[0].rstrip(".")
