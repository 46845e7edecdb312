"""A definition file changed where it stands: comments, order and spelling of all else stay."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from difflib import SequenceMatcher
from typing import Any, TypeAlias

from ruamel.yaml import YAML
from ruamel.yaml.nodes import CollectionNode, MappingNode, Node, ScalarNode, SequenceNode

from notchbook.base.spelling import is_spelled_alike
from notchbook.definitions.editing.block_edits import BlockEdits
from notchbook.definitions.editing.bracket_edits import BracketEdits
from notchbook.definitions.editing.changes import Edit, TextChanges, applied
from notchbook.definitions.editing.node_places import NodePart, NodePlaces

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _/.'()-]*")
_WORDS = {"yes", "no", "on", "off", "y", "n"}  # which older YAML takes for true and false


def quoted_text(text: str) -> str:
    """A text as YAML takes it for text, as a key and within brackets too."""
    plain = _PLAIN.fullmatch(text) and text == text.strip() and text.lower() not in _WORDS
    if plain and YAML(typ="safe", pure=True).load(text) == text:
        return text
    quoted = json.dumps(text, ensure_ascii=False)
    return "".join(each if each.isprintable() else f"\\U{ord(each):08x}" for each in quoted)


class YamlFile:
    """The text of a file and what is to change in it.

    Changes are kept by list and mapping, and all made at once: where the last of several parts
    goes, or the first, what stands around it must go or stay with it.
    """

    def __init__(self, text: str) -> None:
        self.newline = "\r\n" if "\r\n" in text else "\n"
        self.text = text
        self.root: MappingNode = YAML(typ="safe", pure=True).compose(text)
        self._places = NodePlaces(text)
        self._changes: dict[int, TextChanges] = {}
        self._begun: dict[str, list[str]] = {}  # lists of the file that are not there yet
        self._kept: set[int] = set()  # lists and mappings that say something where they are empty

    def changed(self) -> str:
        """The text with all changes made."""
        return applied(self.text, self._edits(self.root))

    @property
    def emptied(self) -> bool:
        """Nothing that the file said is left."""
        return self._emptied(self.root)

    # --- looking ---------------------------------------------------------------------------------

    def value(self, mapping: MappingNode, key: str) -> Any:
        """The node behind a key, None where there is none."""
        number = _number(mapping, key)
        return None if number is None else mapping.value[number][1]

    def entries(self, key: str, within: MappingNode | None = None) -> list[MappingNode]:
        """The entries of a list of the file, or of one within a mapping."""
        found = self.value(within or self.root, key)
        return list(found.value) if isinstance(found, SequenceNode) else []

    def written(self, mapping: MappingNode, key: str) -> str | None:
        """A single value as it stands in the file."""
        node = self.value(mapping, key)
        return str(node.value) if isinstance(node, ScalarNode) else None

    def names(self, mapping: MappingNode, key: str) -> list[str]:
        """The names that a key lists."""
        node = self.value(mapping, key)
        if isinstance(node, SequenceNode):
            return [str(each.value) for each in node.value]
        return [] if node is None else [str(node.value)]

    # --- changing --------------------------------------------------------------------------------

    def set(self, mapping: MappingNode, key: str, new: str | None) -> None:
        """Writes a value behind a key; without a value the key goes.

        Of a list of names that becomes another, those that are in both stay as they are. A mapping
        whose last key goes, goes itself.
        """
        changes, number = self._of(mapping), _number(mapping, key)
        if number is None:
            changes.keys.pop(key, None)
            if new is not None:
                changes.keys[key] = new
            return
        changes.gone.discard(number)
        changes.values.pop(number, None)
        node = mapping.value[number][1]
        if new is None:
            changes.gone.add(number)
        elif new.startswith("[") and (names := _names(node)) and (others := _written_names(new)):
            self._changes[id(node)] = _other_names(names, others)
        else:
            changes.values[number] = new

    def rename(self, mapping: MappingNode, key: str, new: str) -> None:
        """Calls a key otherwise; its value stays as it is written."""
        number = _number(mapping, key)
        if number is not None:
            self._of(mapping).names[number] = new

    def keep(self, node: Node) -> None:
        """Leaves a list or mapping where it is when all goes that it holds."""
        self._kept.add(id(node))

    def append(self, key: str, entry: str, within: MappingNode | None = None) -> None:
        """Puts an entry at the end of a list of the file, which is begun where there is none.

        A list within another mapping must be there.
        """
        node = self.value(within or self.root, key)
        if isinstance(node, SequenceNode):
            self._of(node).behind.setdefault(len(node.value) - 1, []).append(entry)
        else:
            self._begun.setdefault(key, []).append(entry)
            self.set(self.root, key, self._list(key, self._begun[key]))

    def remove(self, key: str, entry: MappingNode, within: MappingNode | None = None) -> None:
        """Takes an entry out of a list; with the last one the list goes."""
        node = self.value(within or self.root, key)
        self._of(node).gone.add(node.value.index(entry))

    def _of(self, node: Node) -> TextChanges:
        return self._changes.setdefault(id(node), TextChanges())

    def _list(self, key: str, entries: list[str]) -> str:
        """A new list, with a line for each entry where the file is written so."""
        if self.root.flow_style or self.value(self.root, key) is not None:
            return f"[{', '.join(entries)}]"
        return "".join(f"{self.newline}  - {entry}" for entry in entries)

    # --- all changes made ------------------------------------------------------------------------

    def _settled(self, node: CollectionNode) -> TextChanges:
        """The changes of a list or mapping, with what happens where parts of it are emptied."""
        asked = self._changes.get(id(node), TextChanges())
        settled = replace(asked, values=dict(asked.values), gone=set(asked.gone))
        for number, part in enumerate(self._places.parts(node)):
            if number in settled.gone or number in settled.values or not self._emptied(part.value):
                continue
            if isinstance(node, MappingNode) and id(part.value) not in self._kept:
                settled.gone.add(number)
            else:
                settled.values[number] = _nothing(part.value)
        return settled

    def _emptied(self, node: Node) -> bool:
        if not isinstance(node, CollectionNode) or not node.value:
            return False
        settled = self._settled(node)
        return len(settled.gone) == len(node.value) and not settled.adds

    def _edits(self, node: Node) -> list[Edit]:
        """All edits of a list or mapping, those inside its parts first."""
        if not isinstance(node, CollectionNode):
            return []
        changes, parts = self._settled(node), self._places.parts(node)
        inner: dict[int, list[Edit]] = {}
        for number, part in enumerate(parts):
            if number in changes.values:
                inner[number] = [self._value(part, changes.values[number])]
            elif number not in changes.gone:
                inner[number] = self._edits(part.value)
            if number in changes.names and number in inner:
                name = node.value[number][0]
                there = (name.start_mark.index, name.end_mark.index)
                inner[number].append((*there, quoted_text(changes.names[number])))
        changes.keys = {key: self._pair(key, text) for key, text in changes.keys.items()}
        if node.flow_style and (changes.gone or changes.adds):
            return [self._within_brackets(node, changes, parts, inner)]
        edits = [edit for each in inner.values() for edit in each]
        if not node.flow_style:
            edits += BlockEdits(self._places, self.newline, node).edits(changes)
        return edits

    def _pair(self, key: str, text: str) -> str:
        return f"{quoted_text(key)}:{'' if text.startswith(self.newline) else ' '}{text}"

    def _within_brackets(
        self,
        node: CollectionNode,
        changes: TextChanges,
        parts: list[NodePart],
        inner: dict[int, list[Edit]],
    ) -> Edit:
        start, stop = int(node.start_mark.index), int(node.end_mark.index)
        bodies = {
            number: applied(self.text, inner[number], part.start, part.end)
            for number, part in enumerate(parts)
            if number not in changes.gone
        }
        bare = self.text[start] not in "{["  # a single pair in a list needs no braces
        inside = (start, stop) if bare else (start + 1, stop - 1)
        text = BracketEdits(self.text, self.newline, *inside, parts).inside(changes, bodies)
        return (*inside, f"{{{text}}}" if bare else text)

    def _value(self, part: NodePart, new: str) -> Edit:
        """Another value for a part."""
        start = int(part.value.start_mark.index)
        gap = self.text[part.behind : start]
        if isinstance(part.value, CollectionNode) and not part.value.flow_style:
            # behind the key, as a value on the list's own lines could stand too far left
            return part.behind, part.end, f" {new}{gap.rstrip()}"
        if part.start < part.behind == part.end:  # there was none
            colon = self.text[part.behind - 1] in ":-"
            return part.behind, part.end, f" {new}" if colon else f": {new}"
        return start, part.end, new


def within_brackets(text: str, node: Node) -> str:
    """What a node of a text says, on one line and within brackets."""
    if isinstance(node, MappingNode):
        pairs = (
            f"{within_brackets(text, name)}: {within_brackets(text, value)}"
            for name, value in node.value
        )
        return "{" + ", ".join(pairs) + "}"
    if isinstance(node, SequenceNode):
        return "[" + ", ".join(within_brackets(text, each) for each in node.value) + "]"
    written = text[int(node.start_mark.index) : int(node.end_mark.index)]
    in_one_piece = written[:1] not in ("|", ">") and not set(written) & set("[]{},\n")
    return written if in_one_piece else quoted_text(str(node.value))


def _number(mapping: MappingNode, key: str) -> int | None:
    """Which of a mapping's pairs has a key, in either spelling."""
    found = (n for n, (name, _) in enumerate(mapping.value) if is_spelled_alike(name.value, key))
    return next(found, None)


def _nothing(node: Node) -> str:
    return "[]" if isinstance(node, SequenceNode) else "{}"


_Name: TypeAlias = tuple[str, str]
"""What a name is for YAML, and its text."""


def _names(node: Node) -> list[_Name]:
    """The names of a list of names; none of anything else."""
    if not isinstance(node, SequenceNode):
        return []
    if not all(isinstance(each, ScalarNode) for each in node.value):
        return []
    return [(str(each.tag), str(each.value)) for each in node.value]


def _written_names(text: str) -> list[tuple[_Name, str]]:
    """The names of a list of names that is to be written, and how each is."""
    node = YAML(typ="safe", pure=True).compose(text)
    return [
        (name, text[each.start_mark.index : each.end_mark.index])
        for name, each in zip(_names(node), node.value, strict=False)
    ]


def _other_names(names: list[_Name], others: list[tuple[_Name, str]]) -> TextChanges:
    """What makes one list of names another, name by name."""
    changes, texts = TextChanges(), [text for _, text in others]
    matcher = SequenceMatcher(None, names, [name for name, _ in others], autojunk=False)
    for what, start, end, first, last in matcher.get_opcodes():
        if what == "equal":
            continue
        both = min(end - start, last - first)
        changes.values.update(zip(range(start, start + both), texts[first:last], strict=False))
        changes.gone.update(range(start + both, end))
        if first + both < last:
            changes.behind[start + both - 1] = texts[first + both : last]
    return changes
