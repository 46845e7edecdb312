"""The ledgers and their columns, as the row models declare them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from notchbook.definitions.syntax.keys import Key, Reads
from notchbook.language.expressions import Kind
from notchbook.sheets.kit.declare import Row, given_of
from notchbook.sheets.kit.values import look_of, words_of
from notchbook.sheets.ledgers.counts import CountRow
from notchbook.sheets.ledgers.mileage import MileageRow
from notchbook.sheets.ledgers.production_log import ProductionRow
from notchbook.sheets.ledgers.purchases import PurchaseRow
from notchbook.sheets.ledgers.sales_ledger import SaleRow
from notchbook.sheets.ledgers.statements import StatementRow

LEDGERS: Mapping[str, tuple[str, type[Row]]] = {
    "sales.csv": ("Sales ledger", SaleRow),
    "purchases.csv": ("Purchases", PurchaseRow),
    "production.csv": ("Production log", ProductionRow),
    "mileage.csv": ("Mileage", MileageRow),
    "counts.csv": ("Counts", CountRow),
    "statements.csv": ("Statements", StatementRow),
}
"""By file: the table it fills, and what a row of it is."""

_EXAMPLES: Mapping[str, str] = {
    "receipt": "2026-014",
    "return_of": "2026-014",
    "project": "herb rail",
    "tier": "market stall",
    "channel": "web shop",
    "stock": "spruce 2x4 8ft",
    "tool": "branding iron",
    "vendor": "Yard A",
    "what": "boards",
    "category": "materials",
    "purpose": "market and back",
    "note": "blue paper",
}
_OTHER_EXAMPLES = {Reads.DATE: "2026-03-02", Reads.NUMBER: "12.50"}
_READS = {Kind.DATE: Reads.DATE, Kind.NUMBER: Reads.NUMBER}


def _columns(row: type[Row]) -> Iterator[Key]:
    for name, info in row.model_fields.items():
        given, words = given_of(info), words_of(info)
        look = given.look or look_of(info)
        reads = Reads.WORD if words else _READS.get(look.kind, Reads.TEXT)
        example = words[0] if words else _OTHER_EXAMPLES.get(reads) or _EXAMPLES[name]
        yield Key(info.alias or name, reads, given.note, example, info.is_required(), words)


LEDGER_SYNTAX: Mapping[str, tuple[Key, ...]] = {
    file: tuple(_columns(row)) for file, (_, row) in LEDGERS.items()
}
"""The columns of each ledger, in the order of its sheet."""
