"""A book in the spelling of its shop: headers, labels, notes and what rules say."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from notchbook.base.spelling import Spelling, spell
from notchbook.language.expressions import Expression, If, Join, Literal
from notchbook.sheets.kit.columns import Column
from notchbook.sheets.kit.declare import (
    Book,
    Drawings,
    LineCell,
    LineRow,
    Lines,
    Sheet,
    Table,
)


def spell_book(book: Book, spelling: Spelling) -> Book:
    """Return a book with our words as the shop spells them; names and what was typed stay."""
    return Book(tuple(_Speller(spelling).sheet(each) for each in book.sheets))


class _Speller:
    def __init__(self, spelling: Spelling) -> None:
        self.spell = partial(spell, spelling=spelling)

    def sheet(self, sheet: Sheet) -> Sheet:
        return replace(
            sheet,
            instruction=self.spell(sheet.instruction),
            blocks=tuple(self.block(block) for block in sheet.blocks),
            charts=tuple(
                replace(
                    each,
                    title=self.spell(each.title),
                    along_title=self.spell(each.along_title),
                    drawn_title=self.spell(each.drawn_title),
                    says=self.spell(each.says),
                )
                for each in sheet.charts
            ),
        )

    def block(self, block: Table | Lines | Drawings) -> Table | Lines | Drawings:
        match block:
            case Table():
                return replace(block, columns=tuple(map(self.column, block.columns)))
            case Lines():
                heads = tuple(map(self.spell, block.heads))
                return replace(block, heads=heads, rows=tuple(map(self.row, block.rows)))
            case Drawings():
                return block

    def column(self, column: Column) -> Column:
        return replace(
            column,
            header=self.spell(column.header),
            note=self.spell(column.note),
            rule=None if column.rule is None else self.said(column.rule),
            choices=self.choices(column.choices),
        )

    def row(self, row: LineRow) -> LineRow:
        return replace(
            row,
            label=row.label if row.link else self.spell(row.label),
            note=self.spell(row.note),
            cells=tuple(map(self.cell, row.cells)),
        )

    def cell(self, cell: LineCell) -> LineCell:
        rule = None if cell.rule is None else self.said(cell.rule)
        return replace(cell, rule=rule, choices=self.choices(cell.choices))

    def choices(self, choices: tuple[str, ...] | str) -> tuple[str, ...] | str:
        """The words to pick from, each once; a list of names is the maker's."""
        if isinstance(choices, str):
            return choices
        return tuple(dict.fromkeys(map(self.spell, choices)))

    def said(self, rule: Expression) -> Expression:
        """The words that a rule gives; those that it looks for stay, for makers type either."""
        match rule:
            case Literal(str(text)):
                return Literal(self.spell(text))
            case If(condition, then, otherwise):
                return If(condition, self.said(then), self.said(otherwise))
            case Join(parts):
                return Join(tuple(map(self.said, parts)))
        return rule
