"""The three-way merge of a table: what was, what the files say now, what the workbook says now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from notchbook.merging.cells import Cells, Key, MergedTable, Value, numbered, same
from notchbook.merging.changes import CellChange, Changes, RowChange


@dataclass(frozen=True)
class Before:
    """The last compile: what the files said then, and what the workbook was left with."""

    definitions: Sequence[Cells] = ()
    workbook: Sequence[Cells] = ()


@dataclass(frozen=True)
class MergedRow:
    """A row as it stands after the merge, and its places on both sides where it has any."""

    cells: Cells
    definitions: int | None = None
    workbook: int | None = None
    from_workbook: frozenset[str] = frozenset()  # the columns whose value the workbook gave


@dataclass
class Merged:
    """A merged table, and what was done."""

    rows: list[MergedRow] = field(default_factory=list)
    changes: Changes = field(default_factory=Changes)


def merge(
    grid: MergedTable,
    before: Before | None,
    definitions: Sequence[Cells],
    workbook: Sequence[Cells],
    made_up: frozenset[Key] = frozenset(),
) -> Merged:
    """The rows of both sides as one.

    A cell changed on one side only is taken from there. Changed on both, the workbook's stays and
    the conflict is listed; so it is where an earlier edit of the workbook stands and the files
    change under it. A row deleted in the workbook stays deleted. Without `before` nobody can tell
    who changed what: the workbook's cells stay and every difference is listed.
    `made_up` names rows of `definitions` that no file states; they come and go without a word.
    """
    return _Merge(grid, before, definitions, workbook, made_up).run()


class _Merge:
    def __init__(
        self,
        grid: MergedTable,
        before: Before | None,
        definitions: Sequence[Cells],
        workbook: Sequence[Cells],
        made_up: frozenset[Key],
    ) -> None:
        self.grid, self.made_up = grid, made_up
        self.known = before is not None
        then = before or Before()
        self.then_definitions = _by_key(grid, then.definitions)
        self.then_workbook = _by_key(grid, then.workbook, self.then_definitions)
        old = {**self.then_definitions, **self.then_workbook}
        self.definition_keys = numbered(grid, definitions, self.then_definitions)
        self.workbook_keys = numbered(grid, workbook, old)
        self.definitions, self.workbook = definitions, workbook
        self.at_definitions = {key: n for n, key in enumerate(self.definition_keys)}
        self.at_workbook = {key: n for n, key in enumerate(self.workbook_keys)}
        self.result = Merged()

    def run(self) -> Merged:
        rows: list[tuple[Key, MergedRow]] = []
        for key in self.workbook_keys:
            row = self.from_workbook(key)
            if row is not None:
                rows.append((key, row))
        places = {key: n for n, (key, _) in enumerate(rows)}
        following: dict[Key | None, list[tuple[Key, MergedRow]]] = {}
        after: Key | None = None
        for key in self.definition_keys:
            if key in places:
                after = key
            elif key not in self.at_workbook and self.is_new(key):
                at = self.at_definitions[key]
                following.setdefault(after, []).append(
                    (key, MergedRow(self.definitions[at], at, None))
                )
        for key, row in rows:
            self.result.rows.append(row)
            self.result.rows += [new for _, new in following.get(key, ())]
        self.result.rows += [new for _, new in following.get(None, ())]
        self.gone()
        return self.result

    # --- rows ----------------------------------------------------------------------------------

    def is_new(self, key: Key) -> bool:
        """A row of the files that the workbook has not: added there, or deleted by the maker?"""
        changes = self.result.changes
        if not self.known or (key not in self.then_definitions and key not in self.then_workbook):
            if key not in self.made_up:
                changes.added.append(self.row(key, "definitions"))
            return True
        now, then = self.definitions[self.at_definitions[key]], self.then_definitions.get(key)
        for name in self.grid.columns if then is not None else ():
            if not self.grid.agree(name, now.get(name), (then or {}).get(name)):
                changes.conflicts.append(self.cell(key, name, None, now.get(name)))
        return False

    def from_workbook(self, key: Key) -> MergedRow | None:
        at, cells = self.at_workbook[key], self.workbook[self.at_workbook[key]]
        if key in self.at_definitions:
            return self.both(key)
        if self.known and key in self.then_definitions and not self.edited(key, cells):
            if key not in self.made_up:
                self.result.changes.deleted.append(self.row(key, "definitions"))
            return None
        if self.known and key in self.then_definitions:  # edited here, deleted there: it stays
            for name in self.grid.columns:
                then = self.then_definitions[key].get(name)
                if not self.grid.agree(name, cells.get(name), then):
                    self.result.changes.conflicts.append(
                        self.cell(key, name, cells.get(name), None)
                    )
        elif self.known and key not in self.then_workbook:
            self.result.changes.added.append(self.row(key, "workbook"))
        elif self.known:
            for name in self.grid.columns:
                then = self.then_workbook[key].get(name)
                if not self.grid.agree(name, cells.get(name), then):
                    kept = self.cell(key, name, cells.get(name), then)
                    self.result.changes.kept.append(replace(kept, in_files=False))
        return MergedRow(cells, None, at, frozenset(self.grid.columns))

    def edited(self, key: Key, cells: Cells) -> bool:
        then = self.then_definitions[key]
        return any(
            not self.grid.agree(name, cells.get(name), then.get(name)) for name in self.grid.columns
        )

    def gone(self) -> None:
        """Rows that the maker deleted since the last compile, unless the files did too."""
        for key in self.then_workbook if self.known else ():
            of_both = key in self.then_definitions and key not in self.at_definitions
            if key not in self.at_workbook and key not in self.made_up and not of_both:
                self.result.changes.deleted.append(self.row(key, "workbook"))

    # --- cells ---------------------------------------------------------------------------------

    def both(self, key: Key) -> MergedRow:
        at, there = self.at_workbook[key], self.at_definitions[key]
        here_cells, there_cells = self.workbook[at], self.definitions[there]
        cells: dict[str, Value] = {}
        ours = set()
        for name in self.grid.columns:
            here, said = here_cells.get(name), there_cells.get(name)
            if same(here, said):
                cells[name] = said  # with all its digits
            elif self.grid.agree(name, here, said):
                cells[name] = here
            elif self.stays(key, name, here, said):
                cells[name] = here
                ours.add(name)
            else:
                cells[name] = said
        return MergedRow(cells, there, at, frozenset(ours))

    def stays(self, key: Key, name: str, here: Value, said: Value) -> bool:
        """Whether the workbook's value stays, with what there is to tell about it."""
        changes = self.result.changes
        if not self.known:
            changes.conflicts.append(self.cell(key, name, here, said))
            return True
        was_here = self.then_workbook.get(key, self.then_definitions.get(key, {})).get(name)
        was_said = self.then_definitions.get(key, {}).get(name)
        if key not in self.then_definitions and key not in self.made_up:
            was_said = was_here  # a file that states a row at last may say what it was
        typed = not self.grid.agree(name, here, was_here)
        said_anew = not self.grid.agree(name, said, was_said)
        if (
            said_anew
            and not typed
            and self.grid.agree(name, was_here, was_said)
            and key in self.then_definitions
        ):
            changes.taken.append(self.cell(key, name, here, said))
            return False
        if said_anew:
            changes.conflicts.append(self.cell(key, name, here, said))
        elif typed:
            changes.kept.append(self.cell(key, name, here, said))
        return True

    # --- records -------------------------------------------------------------------------------

    def row(self, key: Key, side: str) -> RowChange:
        return RowChange(self.grid.name, label(key), side)

    def cell(self, key: Key, name: str, workbook: Value, definitions: Value) -> CellChange:
        header = self.grid.headers.get(name, name)
        return CellChange(self.grid.name, label(key), name, workbook, definitions, header=header)


def _by_key(
    grid: MergedTable, rows: Sequence[Cells], like: Mapping[Key, Cells] | None = None
) -> dict[Key, Cells]:
    return dict(zip(numbered(grid, rows, like), rows, strict=True))


def label(key: Key) -> str:
    """A row's name as reports tell it, such as `herb rail, front`."""
    names, number = key
    text = ", ".join(name for name in names if name)
    return f"{text} ({number + 1})" if number else text
