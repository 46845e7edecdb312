"""Random small YAML documents in every style that a maker may write, with comments."""

from __future__ import annotations

from random import Random
from typing import Any

Path = tuple[str | int, ...]
"""Keys and numbers that lead to a part."""

KEYS = ("stock", "price", "from", "note", "on hand", "asked", "steps", "tools")
WORDS = ("pine", "oak 1x4", "3/4 x 2", "12", "a, b", "yes", "#1", "it's: so", "wax & oil")
PLAIN = ("pine", "oak 1x4", "3/4 x 2", "wax & oil", "birch")


class Writer:
    """Writes a document; `comments` tells on which part each comment is."""

    def __init__(self, chance: Random, newline: str) -> None:
        self.chance, self.newline = chance, newline
        self.comments: dict[str, Path] = {}

    def document(self) -> str:
        """A mapping of values, lists and mappings, at times within brackets altogether."""
        if not self.chance.randrange(8):
            text = self.brackets((), self.data(3, {}), 2) + "\n"
        else:
            text = self.block((), self.data(3, {}), 0).removeprefix("\n") + "\n"
            text = text + self.chance.choice(["", "", "...\n", "# the end\n"])
            text = self.chance.choice(["", "", "---\n", "# a file\n"]) + text
        if self.chance.randrange(4) == 0:
            text = text.removesuffix("\n")
        return text.replace("\n", self.newline)

    def data(self, depth: int, kind: Any) -> Any:
        """What a part says; lists and mappings have something in them."""
        if isinstance(kind, str):
            return self.chance.choice(WORDS) if self.chance.randrange(10) else None
        kinds: list[Any] = ["", "", [], {}] if depth > 1 else [""]
        count = self.chance.randrange(1, 4)
        if isinstance(kind, list):
            one = self.chance.choice(kinds)  # lists of names, of entries, of lists
            return [self.data(depth - 1, one) for _ in range(count)]
        keys = self.chance.sample(KEYS, count)
        return {key: self.data(depth - 1, self.chance.choice(kinds)) for key in keys}

    # --- a line for each part ---------------------------------------------------------------------

    def block(self, path: Path, data: Any, column: int) -> str:
        """Parts on lines of their own; the text begins with a line end."""
        lines: list[str] = []
        for key, value in items(data):
            inside = (*path, key)
            indent = "\n" + " " * column
            if lines and not self.chance.randrange(5):
                lines.append("\n")
            if not self.chance.randrange(4):
                lines.append(indent + self.comment(path))
            name = f"{self.text(key)}:" if isinstance(data, dict) else "-"
            lines.append(indent + name + self.behind(inside, value, column, name))
        return "".join(lines)

    def behind(self, path: Path, value: Any, column: int, name: str) -> str:
        """A value behind its key or dash."""
        deeper = column + self.chance.choice([2, 2, 4])
        note = self.note(path)
        if value is None:
            return note
        if isinstance(value, str):
            return self.scalar(value, deeper, note, name)
        if self.chance.randrange(2):
            return f" {self.brackets(path, value, deeper)}{note}"
        if name == "-" and not note:
            below = self.block(path, value, column + 2)
            return below if "#" in below.split("\n")[1] else " " + below.lstrip()
        if isinstance(value, list) and name != "-" and self.chance.randrange(2):
            deeper = column  # as a list may stand below its key
        return note + self.block(path, value, deeper)

    def scalar(self, value: str, column: int, note: str, name: str) -> str:
        style = self.chance.randrange(8)
        indent = "\n" + " " * column
        if style == 0 and name != "-":
            sign = self.chance.choice([">-", "|-"])
            return f" {sign}{note}{indent}{value}" + self.chance.choice(["", "\n"])
        if style == 1 and value in PLAIN and name != "-":
            return note + indent + value
        return f" {self.text(value)}{note}"

    # --- within brackets --------------------------------------------------------------------------

    def brackets(self, path: Path, data: Any, column: int) -> str:
        """Parts and commas, on one line or on many."""
        signs = "{}" if isinstance(data, dict) else "[]"
        lines = self.chance.choice([0, 0, 1, 2])  # none, all, some
        text, parts = signs[0], items(data)
        indent = "\n" + " " * column
        for number, (key, value) in enumerate(parts):
            inside = (*path, key)
            broken = lines == 1 or (lines == 2 and not self.chance.randrange(2))
            if broken and not self.chance.randrange(4):
                text += indent + self.comment(path)
            text += indent if broken else " " if number else ""
            if isinstance(data, dict):
                text += self.text(key) + ("" if value is None else ": ")
            if isinstance(value, str) or (value is None and isinstance(data, list)):
                text += self.text(value or "none")
            elif value is not None:
                text += self.brackets(inside, value, column)
            if number < len(parts) - 1 or not self.chance.randrange(4):
                text += ","
            if lines and not self.chance.randrange(3):
                text += self.chance.choice(["  ", " "]) + self.comment(inside) + indent
        return text + self.chance.choice(["", "\n" + " " * column if lines else ""]) + signs[1]

    # --- the same for both ------------------------------------------------------------------------

    def text(self, value: str | int) -> str:
        """A word, in quotation marks where it must be and at times where it need not."""
        if value in PLAIN or (value in KEYS and self.chance.randrange(4)):
            return str(value)
        return '"' + str(value) + '"'

    def note(self, path: Path) -> str:
        return "" if self.chance.randrange(3) else "  " + self.comment(path)

    def comment(self, path: Path) -> str:
        word = f"# c{len(self.comments)}."
        self.comments[word] = path
        return word


def items(data: Any) -> list[tuple[Any, Any]]:
    """The parts of a list or mapping by number or key; none of anything else."""
    if isinstance(data, dict):
        return list(data.items())
    return list(enumerate(data)) if isinstance(data, list) else []
