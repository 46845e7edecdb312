"""Ideas of the workbook written into their file: a row with its pairs, its cuts and seen prices.

A list of an entry in which anything changed is written anew, on one line; all else stays.
"""

from __future__ import annotations

from collections.abc import Iterator

from notchbook.commands.adopting.entries import EntryEdits
from notchbook.commands.adopting.pairing import paired
from notchbook.definitions.editing.edits import YamlFile, quoted_text
from notchbook.definitions.editing.entries_of import Spot
from notchbook.definitions.editing.writing import entry, money, number, size
from notchbook.definitions.syntax.ideas import LISTS
from notchbook.gathering import Gathered, Sided
from notchbook.merging.cells import Cells, Value
from notchbook.sheets.kit.written import IDEAS_FILE
from notchbook.sheets.making.idea_cuts import SIZE
from notchbook.sheets.making.ideas import PAIRS
from notchbook.sheets.making.wood_kinds import WOOD


def stands_in_ideas(gathered: Gathered, table: str, at: int | None) -> bool:
    """Whether the file of ideas says a row of a table, `at` being its number in the files."""
    if at is None or table != "Seen prices":
        return False
    return gathered.files.rows[table][at].where("where")[0] == IDEAS_FILE


def edit_ideas(file: YamlFile, gathered: Gathered, entries: EntryEdits) -> None:
    """Write all ideas into their file."""
    sided, nodes = gathered.sides_by_side["Ideas"], file.entries("ideas")
    table, lists = entries.book.tables["Ideas"], _Lists(gathered, entries)
    for (said, cells), at in paired(table, list(zip(sided.pairs, sided.at, strict=True))):
        if cells is None:
            if at is not None:
                file.remove("ideas", nodes[at])
            continue
        now = lists.of(cells, new=True)
        if at is None or said is None:
            own = entries.new(table, cells).removeprefix("{").removesuffix("}")
            more = (f"{key}: {text}" for key, text in now.items() if text is not None)
            file.append("ideas", "{" + ", ".join((own, *more)) + "}")
            continue
        then = lists.of(said, new=False)
        changes = entries.changes(file, table, Spot("ideas", nodes[at]), said, cells)
        changes |= {key: text for key, text in now.items() if text != then[key]}
        for key, text in changes.items():
            file.set(nodes[at], key, text)


class _Lists:
    """The lists of ideas, as the files say them and as they are now."""

    def __init__(self, gathered: Gathered, entries: EntryEdits) -> None:
        self.gathered, self.entries = gathered, entries
        sides = (*self._side("Stock", new=False).values(), *self._side("Stock", new=True).values())
        self.kinds = {cells["stock"]: cells["kind"] for cells in sides}
        self.projects = {cells["project"] for cells in self._side("Projects", new=True).values()}

    def of(self, idea: Cells, new: bool) -> dict[str, str | None]:
        """The lists of an idea by key, None for one that is empty."""
        found: dict[str, list[str]] = {key: [] for key in LISTS}
        found["seen"] += self._seen(idea, new)
        for key, text in self._taken(idea, new):
            found[key].append(text)
        return {key: f"[{', '.join(texts)}]" if texts else None for key, texts in found.items()}

    def _side(self, table: str, new: bool) -> dict[int, Cells]:
        """The rows of a table on one side, by their number among all pairs."""
        sided: Sided = self.gathered.sides_by_side[table]
        rows = (pair[1] if new else pair[0] for pair in sided.pairs)
        return {n: cells for n, cells in enumerate(rows) if cells is not None}

    def _seen(self, idea: Cells, new: bool) -> Iterator[str]:
        if idea.get("price") is not None or idea.get("seen_at") is not None:
            yield entry({"where": _text(idea.get("seen_at")), "price": _money(idea.get("price"))})
        at = self.gathered.sides_by_side["Seen prices"].at
        for n, cells in self._side("Seen prices", new).items():
            is_mine = stands_in_ideas(self.gathered, "Seen prices", at[n])
            is_new = at[n] is None and idea["idea"] not in self.projects
            if cells.get("project") == idea["idea"] and (is_mine or is_new):
                yield self.entries.new(self.entries.book.tables["Seen prices"], cells)

    def _taken(self, idea: Cells, new: bool) -> Iterator[tuple[str, str]]:
        """What one piece takes: the key of its list, and the entry."""
        for stock, amount in PAIRS:
            if idea.get(stock) is not None:
                yield self._by_eye(idea[stock], idea.get(amount))
        for cells in self._side("Idea cuts", new).values():
            if cells.get("idea") != idea["idea"]:
                continue
            if cells.get("length") is None:
                yield self._by_eye(cells.get("stock"), cells.get("amount"), apart="true")
                continue
            keys = {"from": _text(cells.get("stock")), "make": _number(cells.get("amount"))}
            yield "cuts", entry({**keys, "size": size(cells, SIZE, {}, None)})

    def _by_eye(self, stock: Value, amount: Value, apart: str | None = None) -> tuple[str, str]:
        key, *names = ("uses", "stock", "each")
        if self.kinds.get(stock) in WOOD:
            key, *names = ("cuts", "from", "boards")
        texts = zip(names, (_text(stock), _number(amount)), strict=True)
        return key, entry(dict(texts) | {"apart": apart})


def _text(value: Value) -> str | None:
    return None if value is None else quoted_text(str(value))


def _number(value: Value) -> str | None:
    return number(value) if isinstance(value, int | float) else None


def _money(value: Value) -> str | None:
    return money(value) if isinstance(value, int | float) else None
