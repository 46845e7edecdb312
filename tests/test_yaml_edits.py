"""Definition files changed in their text: right YAML, and everything else letter by letter."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML
from ruamel.yaml.nodes import CollectionNode, MappingNode

from notchbook.definitions.editing.edits import YamlFile, quoted_text

from .searching import examples
from .yaml_writer import KEYS, WORDS, Path, Writer, items

Change = Callable[[YamlFile], None]


def loaded(text: str) -> Any:
    return YAML(typ="safe", pure=True).load(text)


class Both:
    """The same changes made in a file and in what it says."""

    def __init__(self, text: str, chance: Random) -> None:
        self.file, self.data, self.chance = YamlFile(text), loaded(text), chance
        self.touched: set[Path] = set()
        self.mappings = list(self.nodes(self.file.root, self.data, ()))
        self.parts = dict(self.everything(self.data, ()))
        self.filled = {id(each) for each in self.parts.values() if each}

    def nodes(self, node: Any, data: Any, path: Path) -> Iterator[tuple[MappingNode, Any, Path]]:
        """The mappings of the file, and what they say."""
        if isinstance(node, MappingNode):
            yield node, data, path
            for name, value in node.value:
                yield from self.nodes(value, data[name.value], (*path, name.value))
        elif isinstance(node, CollectionNode):
            for number, value in enumerate(node.value):
                yield from self.nodes(value, data[number], (*path, number))

    def everything(self, data: Any, path: Path) -> Iterator[tuple[Path, Any]]:
        yield path, data
        for key, value in items(data):
            yield from self.everything(value, (*path, key))

    def change(self) -> None:
        """Something that adopting a workbook does, or might."""
        self.chance.choice([self.set, self.set, self.take, self.take, self.append, self.remove])()

    def set(self) -> None:
        """Another word or list of names, or a new key."""
        node, data, path = self.chance.choice(self.mappings)
        key = self.chance.choice([*data, *KEYS, "a, b: c"])
        old = data.get(key)
        if key in data and isinstance(old, list) and all(isinstance(each, str) for each in old):
            self.names(node, data, key, path)
            return
        data[key] = self.chance.choice(WORDS)
        self.file.set(node, key, quoted_text(data[key]))
        self.touched.add((*path, key))

    def names(self, node: MappingNode, data: Any, key: str, path: Path) -> None:
        """Some of the names that were there, in their order, and others."""
        place = (*path, key)
        if any(each[: len(place)] == place for each in self.touched):
            return
        if len(set(data[key])) < len(data[key]):
            return
        kept = [name for name in data[key] if self.chance.randrange(2)]
        new = list(kept)
        for n in range(self.chance.randrange(0 if kept else 1, 3)):
            new.insert(self.chance.randrange(len(new) + 1), f"new, {n}")
        for number, name in enumerate(data[key]):
            self.touched.add((*place, -1))
            if name not in kept:
                self.touched.add((*place, number))
        data[key][:] = new
        self.file.set(node, key, f"[{', '.join(map(quoted_text, new))}]")

    def take(self) -> None:
        """A key less."""
        node, data, path = self.chance.choice(self.mappings)
        if data:
            key = self.chance.choice(list(data))
            del data[key]
            self.file.set(node, key, None)
            self.touched.add((*path, key))

    def lists(self) -> list[str]:
        """The lists of the file that stand as they stood."""
        return [
            key
            for key, value in self.data.items()
            if isinstance(value, list) and not {(key,), (key, -1)} & self.touched
        ]

    def append(self) -> None:
        key = self.chance.choice([*self.lists(), "new list"])
        if key == "new list" and (key,) in self.touched:
            return
        self.data.setdefault(key, []).append({"stock": "oak, 1x4"})
        self.file.append(key, '{stock: "oak, 1x4"}')

    def remove(self) -> None:
        """An entry less that was there from the first."""
        for key in self.lists():
            nodes = self.file.entries(key)
            numbers = [n for n in range(len(nodes)) if (key, n) not in self.touched]
            if not numbers:
                continue
            number = self.chance.choice(numbers)
            gone = sum(1 for n in range(number) if (key, n) in self.touched)
            del self.data[key][number - gone]
            self.file.remove(key, nodes[number])
            self.touched.add((key, number))
            return

    def wanted(self) -> Any:
        """What the file must say: nothing that was emptied, unless all was."""
        self._empty(self.data, ())
        return self.data

    def stays(self, path: Path) -> bool:
        """Nothing touched a part, and all that it is in is still there."""
        around = [path[:count] for count in range(len(path) + 1)]
        there = {id(each) for _, each in self.everything(self.data, ())}
        held = [self.parts[each] for each in around if not isinstance(self.parts[each], str | None)]
        return not self.touched & {*around} and all(each and id(each) in there for each in held)

    def _empty(self, data: Any, path: Path) -> None:
        for key, value in items(data):
            self._empty(value, (*path, key))
            if not value and id(value) in self.filled and isinstance(data, dict):
                del data[key]


@examples(400)
@given(st.randoms(use_true_random=False), st.sampled_from(["\n", "\r\n"]))
def test_random_changes(chance: Random, newline: str) -> None:
    """The file says what was meant, with every comment of what was not touched."""
    changes_agree(chance, newline)


def changes_agree(chance: Random, newline: str) -> None:
    writer = Writer(chance, newline)
    text = writer.document()
    both = Both(text, chance)
    for _ in range(chance.randrange(1, 5)):
        both.change()
    after, wanted = both.file.changed(), both.wanted()
    if not wanted:
        return  # no file loses all its keys
    assert loaded(after) == wanted, (text, after)
    lost = [path for comment, path in writer.comments.items() if comment not in after]
    assert [path for path in lost if both.stays(path)] == [], (text, after)
    assert "\r\n" not in text or "\n" not in after.replace("\r\n", "")


def without(file: YamlFile, key: str, *numbers: int) -> None:
    """Takes entries out of a list."""
    entries = file.entries(key)
    for number in numbers:
        file.remove(key, entries[number])


def another_tier(file: YamlFile) -> None:
    asked = file.value(file.root, "asked")
    file.set(asked, "stall, large", "32.00")
    file.set(asked, "stall", None)


def another_step(file: YamlFile) -> None:
    without(file, "steps", 0)
    file.append("steps", "{step: saw}")


def setting(key: str, value: str | None) -> Change:
    return lambda file: file.set(file.root, key, value)


def without_vendors(file: YamlFile) -> None:
    for entry in file.entries("lumber"):
        file.set(entry, "vendor", None)


def another_step_and_tool(file: YamlFile) -> None:
    file.append("steps", "{step: saw}")
    file.append("tools", "{tool: x}")


def other_from(*names: str) -> Change:
    return lambda file: file.set(file.entries("parts")[0], "from", f"[{', '.join(names)}]")


EDITS: dict[str, tuple[str, Change, str]] = {
    "the only entry for another": (
        "steps:  # all\n  - {step: rip}  # slow\nbatch: 1\n",
        another_step,
        "steps:  # all\n  - {step: saw}\nbatch: 1\n",
    ),
    "the only entry for another, in brackets": (
        "steps: [{step: rip}]\nbatch: 1\n",
        another_step,
        "steps: [{step: saw}]\nbatch: 1\n",
    ),
    "the only key for another": (
        "asked: {stall: 32}  # as ever\n",
        another_tier,
        'asked: {"stall, large": 32.00}  # as ever\n',
    ),
    "all entries": (
        "a: 1\nsteps:\n  - {step: rip}\n  # then\n  - {step: saw}\nbatch: 1\n",
        lambda file: without(file, "steps", 1, 0),
        "a: 1\nbatch: 1\n",
    ),
    "all entries in brackets": (
        "a: 1\ntools: [{tool: x}, {tool: y}]\nbatch: 1\n",
        lambda file: without(file, "tools", 0, 1),
        "a: 1\nbatch: 1\n",
    ),
    "all that a file says": (
        "# my tools\ntools:\n  - {tool: x}\n  - {tool: y}\n",
        lambda file: without(file, "tools", 0, 1),
        "# my tools\n",
    ),
    "the first two in brackets": (
        "tools: [{tool: x},   # one\n    {tool: y}, {tool: z}]\nbatch: 1\n",
        lambda file: without(file, "tools", 0, 1),
        "tools: [{tool: z}]\nbatch: 1\n",
    ),
    "one of two before a comment": (
        "tools: [{tool: x}, {tool: y},  # both\n  {tool: z}]\n",
        lambda file: without(file, "tools", 1),
        "tools: [{tool: x},  # both\n  {tool: z}]\n",
    ),
    "behind a comma at the end": (
        "tools: [\n  {tool: x},  # one\n]\n",
        lambda file: file.append("tools", "{tool: y}"),
        "tools: [\n  {tool: x},  # one\n  {tool: y},\n]\n",
    ),
    "into empty brackets": (
        "tools: []  # none yet\n",
        lambda file: file.append("tools", "{tool: y}"),
        "tools: [{tool: y}]  # none yet\n",
    ),
    "a folded text": (
        "title: >\n  Windowsill\n  rail\n\nbatch: 6\n",
        setting("title", "Rail"),
        "title: Rail\n\nbatch: 6\n",
    ),
    "a text of lines goes": (
        "note: |\n  # no\n\n  more\nbatch: 6\n",
        setting("note", None),
        "batch: 6\n",
    ),
    "nothing becomes something": (
        "title:   # later\n\nbatch: 6\n",
        setting("title", "Rail"),
        "title: Rail   # later\n\nbatch: 6\n",
    ),
    "the key behind a dash": (
        "lumber:\n  - vendor: Yard\n    # nice\n    stock: b\n  - vendor: Yard\n    stock: c\n",
        without_vendors,
        "lumber:\n  - # nice\n    stock: b\n  - stock: c\n",
    ),
    "names beside comments": (
        "parts:\n  - from:\n      - pine   # cheap\n      - oak    # for Ann\n    make: 1\n",
        other_from("pine", "white oak", "fir"),
        "parts:\n  - from:\n      - pine   # cheap\n      - white oak    # for Ann\n      - fir\n"
        "    make: 1\n",
    ),
    "names before others": (
        "parts:\n  - {part: a, from: [pine, oak]}  # soft\n",
        other_from("fir", "pine"),
        "parts:\n  - {part: a, from: [fir, pine]}  # soft\n",
    ),
    "a list below its key for one word": (
        "parts:\n- part: a\n  on:  # sides\n  - x\n  - y\n  make: 1\n",
        lambda file: file.set(file.entries("parts")[0], "on", "x"),
        "parts:\n- part: a\n  on: x  # sides\n  make: 1\n",
    ),
    "a comment under the last entry": (
        "steps:\n  - {step: rip}\n    # with care\n",
        another_step_and_tool,
        "steps:\n  - {step: rip}\n    # with care\n  - {step: saw}\ntools:\n  - {tool: x}\n",
    ),
    "no line end": (
        "a: 1",
        lambda file: file.append("tools", "{tool: x}"),
        "a: 1\ntools:\n  - {tool: x}",
    ),
    "a mark of the end": ("---\na: 1\n...\n", setting("b", "2"), "---\na: 1\nb: 2\n...\n"),
    "a file within brackets": (
        "{a: 1}\n",
        lambda file: file.append("b", "{c: 2}"),
        "{a: 1, b: [{c: 2}]}\n",
    ),
    "a mark of the beginning": ("\ufeffa: 1\nb: 2\n", setting("a", None), "\ufeffb: 2\n"),
}
"""By what happens: the file before, what is done, the file after."""


@pytest.mark.parametrize("name", EDITS)
def test_changes(name: str) -> None:
    """What stands around a change stays, and nothing is left over of what went."""
    before, change, after = EDITS[name]
    file = YamlFile(before)
    change(file)

    assert file.changed() == after
    loaded(after)


TEXTS = (
    *("a, b", "yes", "12", "0o7", "1_000", "1e3", "2026-01-02", "null", "", " a", "a: b", "a #b"),
    *("[a", "- a", "?", "<<", "a\nb", "a\tb", 'say "so"', "it's", "é", "½", "a\u00a0b", "a\u2028b"),
    *("\x85", "\x7f", "\U0001f600"),
)


@pytest.mark.parametrize("text", TEXTS)
def test_texts_are_read_as_they_are(text: str) -> None:
    """As a value, as a key and within brackets."""
    written = quoted_text(text)

    assert loaded(f"k: {written}\n{written}: [{written}, {{{written}: 1}}]\n") == {
        "k": text,
        text: [text, {text: 1}],
    }
