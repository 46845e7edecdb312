"""A definition file changed where it stands: comments, order and spelling of all else stay."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _/.'()-]*")
_WORDS = {"yes", "no", "on", "off", "y", "n"}  # which older YAML takes for true and false


def quoted_text(text: str) -> str:
    """A text as YAML takes it for text, within brackets too."""
    plain = _PLAIN.fullmatch(text) and text == text.strip() and text.lower() not in _WORDS
    if plain and YAML(typ="safe", pure=True).load(text) == text:
        return text
    return json.dumps(text, ensure_ascii=False)


class YamlFile:
    """The text of a file and the edits to be made to it."""

    def __init__(self, text: str) -> None:
        self.newline = "\r\n" if "\r\n" in text else "\n"
        self.text = text if text.endswith("\n") or not text else text + self.newline
        self.root: MappingNode = YAML(pure=True).compose(self.text)
        self._edits: list[tuple[int, int, str]] = []
        self._added: dict[int, list[str]] = {}  # entries put behind a place, in their order

    def changed(self) -> str:
        """The text with all edits made."""
        edits = [*self._edits, *((at, at, "".join(new)) for at, new in self._added.items())]
        result = self.text
        for start, end, new in sorted(edits, key=lambda each: each[:2], reverse=True):
            result = result[:start] + new + result[end:]
        return result

    # --- looking ---------------------------------------------------------------------------------

    def value(self, mapping: MappingNode, key: str) -> Any:
        """The node behind a key, None where there is none."""
        return next((value for name, value in mapping.value if name.value == key), None)

    def entries(self, key: str) -> list[MappingNode]:
        """The entries of a list of the file."""
        found = self.value(self.root, key)
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
        """Writes a value behind a key; without a value the key goes."""
        node = self.value(mapping, key)
        if new is None:
            if node is not None:
                self._remove_key(mapping, key)
        elif node is None:
            self._add_key(mapping, key, new)
        else:
            self._edits.append((node.start_mark.index, self._end(node), new))

    def append(self, key: str, entry: str) -> None:
        """Puts an entry at the end of a list of the file, which is begun where there is none."""
        node = self.value(self.root, key)
        if isinstance(node, SequenceNode) and node.value and not node.flow_style:
            last = node.value[-1]
            indent = " " * (self._dash(last) - self._line_start(self._dash(last)))
            self._put(self._after(self._end(last)), f"{indent}- {entry}{self.newline}")
        elif isinstance(node, SequenceNode):
            at = self._end(node) - 1
            self._put(at, f"{', ' if node.value or at in self._added else ''}{entry}")
        else:
            self._put(
                len(self.text),
                ("" if self._begun(key) else f"{key}:{self.newline}")
                + f"  - {entry}{self.newline}",
            )

    def remove(self, key: str, entry: MappingNode) -> None:
        """Takes an entry out of a list; with the last one the list goes."""
        node = self.value(self.root, key)
        if len(node.value) == 1:
            self._remove_key(self.root, key)
            return
        if not node.flow_style:
            start = self._line_start(self._dash(entry))
            self._edits.append((start, self._after(self._end(entry)), ""))
            return
        self._cut(node, node.value.index(entry), [(each, each) for each in node.value])

    # --- places ----------------------------------------------------------------------------------

    def _begun(self, key: str) -> bool:
        return any(
            each.startswith(f"{key}:{self.newline}") for each in self._added.get(len(self.text), ())
        )

    def _put(self, at: int, text: str) -> None:
        self._added.setdefault(at, []).append(text)

    def _end(self, node: Any) -> int:
        """Behind the last sign of a node; block nodes end where the next begins."""
        if isinstance(node, ScalarNode) or node.flow_style:
            return int(node.end_mark.index)
        last = node.value[-1]
        return self._end(last[1] if isinstance(last, tuple) else last)

    def _line_start(self, at: int) -> int:
        return self.text.rfind("\n", 0, at) + 1

    def _after(self, at: int) -> int:
        """The beginning of the next line."""
        end = self.text.find("\n", at)
        return len(self.text) if end < 0 else end + 1

    def _dash(self, entry: Node) -> int:
        return self.text.rfind("-", 0, entry.start_mark.index)

    def _add_key(self, mapping: MappingNode, key: str, new: str) -> None:
        if mapping.flow_style:
            self._put(
                self._end(mapping) - 1, f", {key}: {new}" if mapping.value else f"{key}: {new}"
            )
            return
        first = mapping.value[0][0].start_mark
        self._put(
            self._after(self._end(mapping)), f"{' ' * first.column}{key}: {new}{self.newline}"
        )

    def _remove_key(self, mapping: MappingNode, key: str) -> None:
        number = next(n for n, (name, _) in enumerate(mapping.value) if name.value == key)
        if mapping.flow_style:
            self._cut(mapping, number, mapping.value)
            return
        name, value = mapping.value[number]
        self._edits.append(
            (self._line_start(name.start_mark.index), self._after(self._end(value)), "")
        )

    def _cut(self, node: Node, number: int, parts: Sequence[tuple[Node, Node]]) -> None:
        """One of the parts within brackets, with its comma."""
        first, last = parts[number]
        if number:
            start, end = self._end(parts[number - 1][1]), self._end(last)
        elif len(parts) > 1:
            start, end = first.start_mark.index, parts[1][0].start_mark.index
        else:
            start, end = first.start_mark.index, self._end(last)
        self._edits.append((int(start), int(end), ""))
