"""YAML as written: every key and value with its line, every value with its own text.

Values are kept as text and read by what their key wants: `14.375` is a length as written and
never a binary float, and no `2:30` turns into a number of base sixty.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from notchbook.base.problems import SourceFile, quoted

DEEPEST = 8
"""Lists and keys inside one another; the syntax needs four."""


@dataclass(frozen=True)
class Scalar:
    """A single value, as written."""

    text: str
    line: int
    quoted: bool = False

    @property
    def empty(self) -> bool:
        """Nothing was written."""
        return not self.quoted and self.text in ("", "~", "null", "Null", "NULL")


@dataclass(frozen=True)
class Items:
    """A list."""

    line: int
    values: tuple[Node, ...]


@dataclass(frozen=True)
class Entry:
    """What stands behind a key, and the key's line."""

    line: int
    value: Node


@dataclass(frozen=True)
class Entries:
    """Keys and their values, in the order written."""

    line: int
    values: Mapping[str, Entry]


Node: TypeAlias = Scalar | Items | Entries


class _FaultError(Exception):
    """A fault that ends the reading of a file."""

    def __init__(self, line: int, message: str) -> None:
        super().__init__(message)
        self.line = line
        self.message = message


def read_yaml(source: SourceFile, text: str) -> Entries | None:
    """The keys and values of a definition file; None, with reasons reported, where it has none."""
    try:
        _refuse_tabs(text)
        node = _document(source, text)
    except _FaultError as fault:
        source.report(fault.line, fault.message)
        return None
    if not isinstance(node, Entries):
        what = "a list" if isinstance(node, Items) else "plain text"
        source.report(
            node.line, f"the file is {what}; write keys with a colon, as in `units: inch`"
        )
        return None
    return node


def _refuse_tabs(text: str) -> None:
    for number, line in enumerate(text.split("\n"), start=1):
        if "\t" in line[: len(line) - len(line.lstrip())]:
            raise _FaultError(number, "a tab stands before the text; indent with spaces only")


def _document(source: SourceFile, text: str) -> Node:
    events = _events(text)
    found: Node | None = None
    for event in events:
        if isinstance(event, DocumentStartEvent) and found is not None:
            raise _FaultError(_line(event), "a second document begins; keep one document in a file")
        if isinstance(event, ScalarEvent | MappingStartEvent | SequenceStartEvent | AliasEvent):
            found = _node(source, events, event, 1)
    if found is None:
        raise _FaultError(1, "the file holds only comments; write its keys, as in `units: inch`")
    return found


def _events(text: str) -> Iterator[Any]:
    """What the YAML parser meets, one event after the other; all its failures become faults."""
    try:
        yield from YAML(typ="safe", pure=True).parse(io.StringIO(text))
    except MarkedYAMLError as error:
        ended = "end of stream" in str(error.problem)  # what was never closed began elsewhere
        marks = (error.problem_mark, error.context_mark)
        mark = next((each for each in marks[:: -1 if ended else 1] if each is not None), None)
        line = mark.line + 1 if mark is not None else 1
        said = error.problem or error.context or "the text breaks off"
        raise _FaultError(line, _told(str(said))) from error
    except YAMLError as error:  # a character that YAML does not admit
        at = getattr(error, "position", 0)
        raise _FaultError(
            text[:at].count("\n") + 1, "a control character stands here; delete it"
        ) from error
    except Exception as error:  # the parser's own slips over odd text are faults of that text
        raise _FaultError(1, _told("it breaks off")) from error


def _told(said: str) -> str:
    return (
        f"this cannot be read as YAML ({said}); look at the colons (a space after each), commas, "
        "brackets, quotation marks and indents here and just above"
    )


def _node(source: SourceFile, events: Iterator[Any], event: Any, depth: int) -> Node:
    line = _line(event)
    if isinstance(event, AliasEvent) or event.anchor:
        raise _FaultError(line, "& and * names are not used here; write the value out in full")
    if isinstance(event, ScalarEvent):
        if event.tag:
            raise _FaultError(line, "a ! tag is not used here; write the value alone")
        return Scalar(event.value, line, quoted=not event.implicit[0])
    if event.tag:
        raise _FaultError(line, "a ! tag is not used here; write the keys or the list alone")
    if depth > DEEPEST:
        raise _FaultError(
            line, f"this is nested more than {DEEPEST} deep; write it as in the reference"
        )
    if isinstance(event, SequenceStartEvent):
        return Items(line, tuple(_items(source, events, depth)))
    return Entries(line, _entries(source, events, depth))


def _items(source: SourceFile, events: Iterator[Any], depth: int) -> Iterator[Node]:
    for event in events:
        if isinstance(event, SequenceEndEvent):
            return
        yield _node(source, events, event, depth + 1)


def _entries(source: SourceFile, events: Iterator[Any], depth: int) -> dict[str, Entry]:
    found: dict[str, Entry] = {}
    for event in events:
        if isinstance(event, MappingEndEvent):
            break
        key = _node(source, events, event, depth + 1)
        if not isinstance(key, Scalar):
            raise _FaultError(key.line, "a key is a single word; put quotation marks or a key here")
        value = _node(source, events, next(events), depth + 1)
        if isinstance(value, Scalar) and value.empty:
            value = Scalar(value.text, key.line)  # the parser places it at whatever comes next
        if key.text in found and key.text[:1].isdigit():
            source.report(key.line, f"a comma stands before {key.text}; write numbers with a point")
            continue
        if key.text in found:
            first = found[key.text].line
            source.report(
                key.line, f"{quoted(key.text)} stands on line {first} already; keep one of the two"
            )
            continue
        found[key.text] = Entry(key.line, value)
    return found


def _line(event: Any) -> int:
    return int(event.start_mark.line) + 1
