"""Rows of given cells, made of what was read, with pydantic's refusals in a maker's words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from notchbook.base.problems import Problems, quoted
from notchbook.merging.cells import Value, cell
from notchbook.sheets.kit.columns import Row

M = TypeVar("M", bound=BaseModel)
Report = Callable[[str, str], None]
"""Told a field of a row, and what is wrong with it."""

_SENTENCES: Mapping[str, str] = {
    "greater_than": "{value} is too low; write more than {gt}",
    "greater_than_equal": "{value} is too low; write {ge} or more",
    "less_than": "{value} is too high; write less than {lt}",
    "less_than_equal": "{value} is too high; write at most {le}",
    "string_too_long": "the text is {length} characters long; write at most {max_length}",
    "string_too_short": "the text is empty; write at least a word",
    "finite_number": "{value} is not a number; write it in plain digits",
    "missing": "a value is missing; write one",
    "literal_error": "{value} is not known; write {expected}",
    "int_from_float": "{value} is not a whole number; write one",
    "float_parsing": "{value} is not a number; write it in plain digits",
    "int_parsing": "{value} is not a whole number; write one",
    "value_error": "{error}",
}
"""By pydantic's kind of error; its context fills the braces."""


@dataclass(frozen=True)
class Candidate:
    """A row before it is checked: exact values by field, and for each its place and its name there.

    Of `unread` fields it was told already that they cannot be read.
    """

    values: Mapping[str, object]
    where: Callable[[str], tuple[str, int]]
    label: Callable[[str], str]
    unread: frozenset[str] = frozenset()

    def cells(self, model: type[BaseModel]) -> dict[str, Value]:
        """Return the row as a sheet shows it, with what a blank one stands for filled in."""
        return {
            name: cell(self.values.get(name, None if info.is_required() else info.default))
            for name, info in model.model_fields.items()
        }


@dataclass
class ReadRows:
    """All rows by table, where each was written, the tables of which some cannot be read.

    `notices` are worth knowing, and no fault.
    """

    problems: Problems
    rows: dict[str, list[Candidate]] = field(default_factory=dict)
    places: dict[tuple[str, ...], tuple[str, int]] = field(default_factory=dict)
    open: set[str] = field(default_factory=set)
    notices: list[str] = field(default_factory=list)
    met: dict[tuple[str, ...], int] = field(default_factory=dict)

    def add(self, table: str, model: type[Row], row: Candidate, file: str, line: int) -> None:
        """Take a row in; its place is noted by its key, or by its number where it has none.

        Of rows with one key, the second is noted by the key and a 2, and so on.
        """
        rows = self.rows.setdefault(table, [])
        rows.append(row)
        if row.unread.intersection(model.key):
            self.open.add(table)
        key = tuple(str(row.values.get(name) or "") for name in model.key) or (str(len(rows)),)
        place = (table, *key)
        if place in self.places:
            met = self.met[place] = self.met.get(place, 1) + 1
            place = (*place, str(met))
        self.places[place] = (file, line)


def checked(model: type[M], values: Mapping[str, object], report: Report) -> M | None:
    """The row that the values make; None, with every fault reported, where they make none."""
    try:
        return model.model_validate(dict(values))
    except ValidationError as error:
        told: set[str] = set()
        names = {info.alias: name for name, info in model.model_fields.items() if info.alias}
        for fault in error.errors():
            name = names.get(str(fault["loc"][0]), str(fault["loc"][0]))
            if name not in told:
                told.add(name)
                report(name, _sentence(fault))
        return None


def _sentence(fault: ErrorDetails) -> str:
    context: dict[str, Any] = dict(fault.get("ctx", {}))
    given = fault["input"]
    length = len(given) if isinstance(given, str) else 0
    words = _SENTENCES.get(fault["type"], "{value} does not fit; write it as in the reference")
    return words.format(value=_shown(given), length=length, **_plain(context))


def _shown(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.12g}"
    return quoted(value) if isinstance(value, str) else str(value)[:40]


def _plain(context: Mapping[str, Any]) -> dict[str, str]:
    return {
        name: f"{value:.12g}" if isinstance(value, float) else str(value)
        for name, value in context.items()
    }
