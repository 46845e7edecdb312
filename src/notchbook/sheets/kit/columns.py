"""Columns: what a row model, a rule or a plan says of each."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, ClassVar

from pydantic import BaseModel, ConfigDict
from pydantic.fields import FieldInfo

from notchbook.language.expressions import Expression, Operand, as_node
from notchbook.sheets.kit.show import Look
from notchbook.sheets.kit.values import look_of, reads_of, words_of
from notchbook.sheets.kit.written import Joined, Reads, Written

if TYPE_CHECKING:
    from notchbook.sheets.kit.faults import Fault


class Purpose(Enum):
    """What a column is for: the maker fills it, reads it, or formulas and the next compile do."""

    TYPED = "typed"
    TOLD = "told"
    WORKINGS = "workings"


class Role(Enum):
    """Who fills a cell; the word stands in the header's note."""

    GIVEN = "typed by you"
    COMPUTED = "worked out"
    PLANNED = "planned at compile"
    HANDED = "as handed over"


class Row(BaseModel):
    """A row of given cells: what the maker states."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)
    key: ClassVar[tuple[str, ...]] = ()
    written: ClassVar[tuple[Written, ...]] = ()
    a_row_for: ClassVar[str] = ""
    joined: ClassVar[tuple[Joined, ...]] = ()


@dataclass(frozen=True)
class Given:
    """Beside a row model's field: all that is said of its column where its name and type do not.

    A blank `header` is the name, no `look` that of the type. `choices` names the words to pick
    from, or `Table.column` for a list of keys; left out, they are the words of the type, and
    nothing else is admitted. `refers` names the column whose names are used here, which are then
    the choices unless the names hold `within` equal cells of a column only; `several` says that a
    cell lists them. `strict` lists admit nothing else. `blank` says what a blank cell stands for.

    In files the column is written as `key`, else by its name; `needed` where a cell may be blank
    but the key must be there, and where `files_only` nowhere else changed.
    """

    note: str
    header: str = ""
    look: Look | None = None
    choices: tuple[str, ...] | str = ()
    refers: str = ""
    within: str = ""
    several: bool = False
    strict: bool = False
    blank: str = ""
    key: str = ""
    needed: bool = False
    reads: Reads | None = None
    example: str = ""
    files_only: bool = False


@dataclass(frozen=True)
class Column:
    """One column of a table; `rule` only where it is computed, `faults` in the one of states.

    `in_one` is the rule of a column that is written in steps, before it was. `blank_is_none` says
    that a typed cell left blank holds a 0.
    """

    name: str
    header: str
    look: Look
    note: str
    role: Role
    rule: Expression | None = None
    above: Expression | None = None
    choices: tuple[str, ...] | str = ()
    strict: bool = False
    required: bool = False
    faults: tuple[Fault, ...] = ()
    in_one: Expression | None = None
    blank_is_none: bool = False

    @property
    def whole(self) -> Expression | None:
        """The rule without its steps, for whoever works it out apart."""
        return self.in_one or self.rule


def computed(
    name: str,
    look: Look,
    rule: Operand,
    note: str = "",
    *,
    header: str = "",
    above: Operand | None = None,
) -> Column:
    """A worked-out column, headed by its name; its rule in words is added to its note."""
    stands_above = None if above is None else as_node(above)
    head = header or headed(name, look)
    return Column(name, head, look, note, Role.COMPUTED, as_node(rule), stands_above)


def planned(name: str, look: Look, note: str, *, header: str = "") -> Column:
    """A column that holds what was found at compile."""
    return Column(name, header or headed(name, look), look, note, Role.PLANNED)


IN_UNITS = " ({length})"
"""Ends the headers of lengths."""


def headed(name: str, look: Look) -> str:
    """The header of a column that is headed by its name; a length says its unit."""
    return name.replace("_", " ") + (IN_UNITS if "length" in look.format else "")


def given_of(info: FieldInfo) -> Given:
    """What is said of a model's field."""
    return next(each for each in info.metadata if isinstance(each, Given))


def given_column(name: str, info: FieldInfo) -> Column:
    """The given column that a field declares, its type filling in what it leaves unsaid."""
    given, words = given_of(info), words_of(info)
    names = "" if given.within or given.several else given.refers
    choices = () if given.files_only else given.choices or names or words
    note = f"yes: {given.note}" if reads_of(info) is Reads.YES else given.note
    if given.several:
        note += ", with semicolons between"
    if given.files_only:
        note += "; change it in shop.yaml"
    if given.blank and not info.is_required():
        note += f"; blank: {given.blank}"
    look = given.look or look_of(info)
    return Column(
        name,
        given.header or headed(info.alias or name, look),
        look,
        note,
        Role.GIVEN,
        choices=choices,
        strict=given.strict or bool(words and choices),
        required=info.is_required(),
        blank_is_none=info.default == 0,
    )


def given_columns(row: type[BaseModel]) -> tuple[Column, ...]:
    """The given columns of a row model, from the annotations of its fields."""
    return tuple(given_column(name, info) for name, info in row.model_fields.items())
