"""Faults of a row, declared beside its columns.

One declaration is the state column of the sheet, the refusal at a file's line or at a cell, and a
line of the reference. A fault is silent in rows where a column that it reads is blank, unless it
asks `blank()` of it; a column that is only compared with words may be blank.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from typing import get_args

from annotated_types import Ge, Gt
from pydantic.fields import FieldInfo

from notchbook.language.expressions import (
    Compare,
    Expression,
    IsBlank,
    Literal,
    Operand,
    Own,
    SumOwn,
    as_node,
    blank,
    call,
    count,
    look_up,
    this,
    when,
    where,
)
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Column, Role, Row, given_columns

_NEVER = Compare("=", Literal(0), Literal(1))


class Strength(Enum):
    """What comes of a fault."""

    REFUSE = "refused"
    OMIT = "the row is left out"
    LOOK = "the row counts"
    NOTICE = "worth knowing"


@dataclass(frozen=True)
class Fault:
    """What may be wrong with a row: in words, when, what to write instead, at which column.

    `unknown` names columns, as `Stock.stock`, whose names the row's must be one of; `twice` the
    columns that together stand in one row only; `listed` the names that those of a list must be
    of, `among` a column of these and its words.
    """

    words: str
    when: Expression
    write: str
    column: str
    strength: Strength = Strength.REFUSE
    unknown: tuple[str, ...] = ()
    twice: tuple[str, ...] = ()
    listed: str = ""
    among: tuple[str, tuple[str, ...]] | None = None
    meant: tuple[tuple[str, str], ...] = ()  # words often written, and the name that is meant
    blanks_too: bool = False  # also where a column that it reads is blank

    @cached_property
    def rule(self) -> Expression:
        """When the row has the fault, with the columns filled that must be."""
        if self.blanks_too:
            return self.when
        needed = sorted(_needed(self.when) - _asked(self.when))
        return all_of(*(call("NOT", blank(this(name))) for name in needed), self.when)

    @cached_property
    def reads(self) -> frozenset[str]:
        """The columns of its own row that it reads."""
        return frozenset(_needed(self.when, words=True) | _asked(self.when))


def fault(
    words: str, when: Expression, write: str, at: str = "", strength: Strength = Strength.REFUSE
) -> Fault:
    """A fault, told at the first column that its condition names unless `at` names another."""
    return Fault(words, when, write, at or next(_own(when)), strength)


def look(words: str, when: Expression, write: str, at: str = "") -> Fault:
    """A fault of a row that counts all the same."""
    return fault(words, when, write, at, Strength.LOOK)


def text_in(*columns: str) -> Expression:
    """Whether text was typed into any of the row's number columns."""
    return _any(*(call("ISTEXT", this(column)) for column in columns))


def missing(table: str, **key: Operand) -> Compare:
    """Whether no row of a table has the text key: `missing("Stock", stock=this("stock"))`."""
    (column,) = key
    return look_up(table, column, otherwise="", **key).equals("")


def no_number(*columns: str, blank_too: str = "") -> Fault:
    """Text in place of a number, or nothing in the column `blank_too`."""
    stray = text_in(*columns)
    condition = call("OR", blank(this(blank_too)), stray) if blank_too else stray
    write = "write it in plain digits"
    return Fault("no number", condition, write, columns[0], Strength.LOOK, blanks_too=True)


def lacks(column: str, when: Expression, words: str, write: str) -> Fault:
    """A column that must be filled where a condition holds."""
    return fault(words, all_of(blank(this(column)), when), write, column)


def useless(column: str, when: Expression, write: str = "leave it out") -> Fault:
    """A column that must be blank where a condition holds."""
    filled = call("NOT", blank(this(column)))
    return fault("of no use here", all_of(filled, when), write, column)


def unknown(
    column: str,
    *of: str,
    when: Expression | None = None,
    strength: Strength = Strength.REFUSE,
    meant: tuple[tuple[str, str], ...] = (),
    write: str = "",
) -> Fault:
    """A name that no row bears of the tables whose columns `of` names, as `Stock.stock`.

    `when` says it otherwise, for names within a project. `meant` gives for words that are often
    written in their place the name to write.
    """
    table, key = of[0].split(".")
    condition = missing(table, **{key: this(column)}) if when is None else when
    words = f"no {key}" if len(of) == 1 else f"no {column}"
    tables = " or ".join(each.split(".")[0] for each in of)
    instead = write or f"write one of {tables}"
    return Fault(words, condition, instead, column, strength, unknown=of, meant=meant)


def each_of(column: str, of: str, **among: tuple[str, ...]) -> Fault:
    """A name in a list, with semicolons between, that no row bears of another table.

    With `among`, one whose row has none of some words in a column. No formula takes a list apart:
    it is told when the row is read, and the state column says nothing of it.
    """
    table, key = of.split(".")
    if not among:
        return Fault(f"no {key}", _NEVER, f"write one of {table}", column, listed=of, unknown=(of,))
    ((other, words),) = among.items()
    write = f"write {' or '.join(words)}"
    return Fault("cannot be cut into parts", _NEVER, write, column, listed=of, among=(other, words))


NO_PROJECT = unknown("project", "Projects.project", strength=Strength.OMIT)
"""In all that belongs to a project: the row is left out, and named."""


def twice(table: str, *columns: str, strength: Strength = Strength.REFUSE) -> Fault:
    """Columns that together stand in one row of their own table only; told at the last of them."""
    same = (where(name, "=", this(name)) for name in columns)
    again = count(table, columns[-1], *same) > 1
    write = "write another name"
    return Fault("twice", again, write, columns[-1], strength, twice=columns)


def names_header(column: str) -> Fault:
    """A name by which look-ups would find the header of its column.

    It comes before `twice`, as a sheet's ranges begin with the header.
    """
    return fault(
        "named like its column",
        this(column).equals(column),
        "look-ups would find the header; write another name",
    )


def of_values(row: type[Row]) -> tuple[Fault, ...]:
    """What the kinds of a row's cells exclude, as far as a sheet can tell; the row counts."""
    fields = row.model_fields.items()
    lacking = [blank(this(name)) for name, info in fields if info.is_required()]
    found = [look("incomplete", _any(*lacking), "fill it in")]
    for name, words in _words(row):
        other = (this(name).differs(word) for word in words)
        condition = all_of(call("NOT", blank(this(name))), *other)
        found.append(look(f"no such {name}", condition, f"write {' or '.join(words)}"))
    for how, column_names in _least(row).items():
        lowest = call("MIN", *(this(name) for name in column_names))
        low = lowest < 0 if how is Ge else lowest <= 0
        at = column_names[0]
        found.append(Fault("too low", low, "write more", at, Strength.LOOK, blanks_too=how is Ge))
    return tuple(found)


def state(*faults: Fault, otherwise: Operand = "", note: str = "") -> Column:
    """The column that shows the first fault of a row, else what `otherwise` gives."""
    rule = as_node(otherwise)
    for each in reversed(faults):
        if not each.listed:
            rule = when(each.rule, each.words, rule)
    looks = show.LABEL if any(len(each.words) > show.WORD.width for each in faults) else show.WORD
    return Column("state", "state", looks, note, Role.COMPUTED, rule, faults=faults)


def _words(row: type[Row]) -> Iterator[tuple[str, tuple[str, ...]]]:
    for column in given_columns(row):
        if column.strict and isinstance(column.choices, tuple) and column.choices:
            yield column.name, column.choices


def _least(row: type[Row]) -> dict[type[Ge] | type[Gt], list[str]]:
    """The columns that must not be below 0, or not even at it; other bounds stay in the model."""
    found: dict[type[Ge] | type[Gt], list[str]] = {}
    for name, info in row.model_fields.items():
        for bound in _bounds(info):
            if isinstance(bound, Ge) and bound.ge == 0:
                found.setdefault(Ge, []).append(name)
            if isinstance(bound, Gt) and bound.gt == 0:
                found.setdefault(Gt, []).append(name)
    return found


def _bounds(info: FieldInfo) -> Iterator[object]:
    """All that a field's annotation says of its values, that of `... | None` too."""
    inner = [
        part for each in get_args(info.annotation) for part in getattr(each, "__metadata__", ())
    ]
    for each in (*info.metadata, *inner):
        yield from _bounds(each) if isinstance(each, FieldInfo) else (each,)


def all_of(*conditions: Expression) -> Expression:
    """Return a condition that holds where all of some do; a single one as it is."""
    return conditions[0] if len(conditions) == 1 else call("AND", *conditions)


def _any(*conditions: Expression) -> Expression:
    return conditions[0] if len(conditions) == 1 else call("OR", *conditions)


def _own(node: Expression) -> Iterator[str]:
    """The columns of the row that an expression names, in their order."""
    if isinstance(node, Own):
        yield node.name
    if isinstance(node, SumOwn):
        yield from node.names
    for child in node.children:
        yield from _own(child)


def _needed(node: Expression, words: bool = False) -> set[str]:
    """The columns of the row whose value an expression calculates with.

    With `words`, also those that it only compares with words.
    """
    match node:
        case IsBlank():
            return set()
        case Compare(_, Own(), Literal(str() as word)) if word and not words:
            return set()
        case Own(name):
            return {name}
        case SumOwn(names):
            return set(names)
    return {name for child in node.children for name in _needed(child, words)}


def _asked(node: Expression) -> set[str]:
    """The columns of the row that an expression asks whether they are blank."""
    if isinstance(node, IsBlank) and isinstance(node.value, Own):
        return {node.value.name}
    return {name for child in node.children for name in _asked(child)}
