"""No formula longer than a person can read: rules that would be are written in steps.

A step is a working column of the same table, or a line below the others of its sheet. It is cut out
of the rule where the rule is largest; what several rules of a sheet share is written once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from typing import TypeVar

from notchbook.language.expressions import (
    Above,
    Call,
    Compare,
    Expression,
    If,
    Line,
    Literal,
    Own,
)
from notchbook.language.formula import formula
from notchbook.language.kinds import kind_of
from notchbook.language.value_kinds import Kind
from notchbook.language.walking import change_children, walk
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Column, computed
from notchbook.sheets.kit.declare import Book, LineCell, LineRow, Lines, Sheet, Table, heading
from notchbook.sheets.kit.faults import all_of
from notchbook.sheets.kit.show import Look

Ruled = TypeVar("Ruled", Column, LineCell)
LONGEST = 780
"""Letters that a rule may take where every cell and range has a usual place."""
_LOOKS: dict[Kind, Look] = {
    Kind.TEXT: show.LABEL,
    Kind.DATE: show.DATE,
    Kind.NUMBER: show.AMOUNT,
    Kind.TRUTH: show.COUNT,
}
_NOTHING = {Kind.TEXT: Literal(""), Kind.DATE: Literal(0), Kind.NUMBER: Literal(0)}


class _UsualPlaces:
    """Cells and ranges about as long as those of a shop's workbook."""

    def own(self, name: str) -> str:
        return "$AA123"

    def above(self) -> str:
        return "AA$97"

    def head(self) -> str:
        return "$A$99"

    def column(self, table: str, name: str) -> str:
        return f"'{table}'!$AA$99:$AA$10450"

    def line(self, sheet: str, name: str) -> str:
        return f"'{sheet}'!$AA$123"

    def lines(self, sheet: str, names: Sequence[str]) -> str:
        return ",".join(["$AA$100:$AA$123"] * (1 + len(names) // 10))

    def is_text(self, node: Expression) -> bool:
        return False

    def may_be_words(self, name: str) -> bool:
        return True

    def unit(self, name: str) -> int:
        return 100


@cache
def _length(rule: Expression) -> int:
    return len(formula(rule, _UsualPlaces()))


@dataclass
class _Steps:
    """The steps of one table, or of one sheet of lines, and the kinds of their values."""

    book: Book
    owner: str
    has_rows: bool
    found: dict[Expression, tuple[str, Kind]] = field(default_factory=dict)

    def column_kind(self, table: str, column: str) -> Kind:
        """The kind of a column, a step among them."""
        kinds = dict(self.found.values())
        own = table == self.owner and column in kinds
        return _shown(kinds[column]) if own else self.book.column_kind(table, column)

    def line_kind(self, sheet: str, line: str) -> Kind:
        """The kind of a line, a step among them."""
        kinds = dict(self.found.values())
        own = sheet == self.owner and line in kinds
        return _shown(kinds[line]) if own else self.book.line_kind(sheet, line)

    def fit(self, name: str, rule: Expression, asked: tuple[Expression, ...] = ()) -> Expression:
        """Give a rule that is short enough, its steps noted; it counts where all asked holds."""
        while _length(rule) > LONGEST:
            inner = max(rule.children, key=_weight)
            if _weight(inner) == 0:
                return rule
            inside = (*asked, *_asked_before(rule, inner))

            def shorter(
                child: Expression,
                inner: Expression = inner,
                inside: tuple[Expression, ...] = inside,
            ) -> Expression:
                if child != inner:
                    return child
                too_long = _length(inner) > LONGEST
                return self.fit(name, inner, inside) if too_long else self.step(name, inner, inside)

            rule = change_children(rule, shorter)
        return rule

    def step(self, name: str, rule: Expression, asked: tuple[Expression, ...]) -> Expression:
        """Note a step, and give what stands in its place."""
        kind = kind_of(rule, self.owner if self.has_rows else None, self)
        rule = _only_where(asked, rule, kind)
        if rule not in self.found:
            number = sum(1 for other, _ in self.found.values() if other.startswith(f"{name}_step_"))
            self.found[rule] = f"{name}_step_{number + 1}", kind
        called, kind = self.found[rule]
        value: Expression = Own(called) if self.has_rows else Line(self.owner, called)
        return Compare("=", value, Literal(1)) if kind is Kind.TRUTH else value

    def rules(self) -> list[tuple[str, Look, Expression]]:
        """Each step by its name, how it is shown, and its rule."""
        return [
            (name, _LOOKS[kind], If(rule, Literal(1), Literal(0)) if kind is Kind.TRUTH else rule)
            for rule, (name, kind) in self.found.items()
        ]


def _asked_before(rule: Expression, inner: Expression) -> tuple[Expression, ...]:
    """What has to hold before a part of a rule counts, as far as this row's cells tell it."""
    match rule:
        case If(condition, then, otherwise) if inner == then and inner != otherwise:
            conditions: tuple[Expression, ...] = (condition,)
        case Call("AND", arguments):
            conditions = tuple(each for each in arguments if each != inner)
        case _:
            return ()
    return tuple(each for each in conditions if not each.reads_columns)


def _only_where(asked: Sequence[Expression], rule: Expression, kind: Kind) -> Expression:
    """A step that goes through a whole table, worked out in those rows alone that need it.

    The shortest of the conditions come first, and as many of them as one formula holds.
    """
    if not rule.reads_columns:
        return rule
    nothing = Compare("=", Literal(0), Literal(1)) if kind is Kind.TRUTH else _NOTHING[kind]
    where: list[Expression] = []
    for condition in sorted(dict.fromkeys(asked), key=_length):
        longer = If(all_of(*where, condition), rule, nothing)
        if _length(longer) <= LONGEST:
            where.append(condition)
    return If(all_of(*where), rule, nothing) if where else rule


def _shown(kind: Kind) -> Kind:
    return Kind.NUMBER if kind is Kind.TRUTH else kind


@cache
def _weight(node: Expression) -> int:
    """How much is gained where a node is written as a step of its own; 0 where it cannot be."""
    if isinstance(node, Own | Line | Literal) or any(
        isinstance(each, Above) for each in walk(node)
    ):
        return 0
    match node:
        case Compare("=", Own() | Line(), Literal()):
            return 0
    return _length(node)


def in_steps(book: Book) -> Book:
    """Give the book with the steps of its longest rules written beside them."""
    return Book(tuple(_sheet(book, sheet) for sheet in book.sheets))


def _sheet(book: Book, sheet: Sheet) -> Sheet:
    blocks = tuple(
        _table(book, block)
        if isinstance(block, Table)
        else _lines(book, block)
        if isinstance(block, Lines)
        else block
        for block in sheet.blocks
    )
    return replace(sheet, blocks=blocks)


def _table(book: Book, table: Table) -> Table:
    if table.grid:  # its columns are those of a printed page
        return table
    steps = _Steps(book, table.name, True)
    columns = [_in_steps(steps, column) for column in table.columns]
    if not steps.found:
        return table
    more = [_column(table, *each) for each in steps.rules()]
    names = (each.name for each in more)
    return replace(table, columns=(*columns, *more), workings=(*table.workings, *names))


def _column(table: Table, name: str, look: Look, rule: Expression) -> Column:
    of, _, number = name.rpartition("_step_")
    head = f"{table.by_name[of].header.split(' (')[0]} {number}"
    return computed(name, look, rule, "A step, so that no formula is too long.", header=head)


def _lines(book: Book, lines: Lines) -> Lines:
    steps = _Steps(book, lines.name, False)
    rows = [
        replace(row, cells=tuple(_in_steps(steps, each) for each in row.cells))
        for row in lines.rows
    ]
    if not steps.found:
        return lines
    labels = {cell.name: row.label for row in lines.rows for cell in row.cells}
    more = [
        LineRow(
            f"{labels[name.rpartition('_step_')[0]]}: step {name.rpartition('_')[2]}",
            (cell,),
            folded=True,
        )
        for name, look, rule in steps.rules()
        for cell in (LineCell(name, look, rule),)
    ]
    over = replace(heading("Steps of the longest lines"), folded=True)
    return replace(lines, rows=(*rows, over, *more))


def _in_steps(steps: _Steps, each: Ruled) -> Ruled:
    if each.rule is None:
        return each
    rule = steps.fit(each.name, each.rule)
    return each if rule is each.rule else replace(each, rule=rule, in_one=each.rule)
