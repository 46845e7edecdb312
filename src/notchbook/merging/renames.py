"""Rows that go by another name: recognised by their other cells, and followed by all that refer."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from notchbook.merging.cells import Cells, MergedTable, Value, name_of, same, same_cells
from notchbook.merging.changes import Renamed

Tables = dict[str, list[dict[str, Value]]]
SEPARATOR = ";"


@dataclass(frozen=True)
class Refers:
    """What names a row of a table, and the columns of other tables that use the name."""

    table: str
    column: str
    used_in: tuple[tuple[str, str], ...]
    within: str | None = None  # the column that must be equal too, for names within a project
    in_ledgers: tuple[tuple[str, str], ...] = ()


@dataclass
class Sides:
    """The planning tables of both sides, then and now; renaming changes them in place."""

    then_definitions: Tables
    then_workbook: Tables
    definitions: Tables
    workbook: Tables


def recognise(
    sides: Sides, grids: Mapping[str, MergedTable], naming: Iterable[Refers]
) -> list[Renamed]:
    """Finds the rows that were renamed on either side, and renames them on the other.

    The workbook's new name wins where both sides renamed the same row; where they say the same
    name, as after `adopt`, the side is "both". Where they say different ones, the files' name
    comes as another record whose side is "conflict".
    """
    found = []
    for refers in naming:
        grid = grids[refers.table]
        workbook = _renamed(grid, refers, sides.then_workbook, sides.workbook, "workbook")
        said = {name for name, _ in _names(grid, sides.definitions.get(grid.name, ()))}
        workbook = [_of_both(refers, each, said) for each in workbook]
        of_files = (sides.then_definitions, sides.definitions, "definitions")
        against = list(_against(workbook, _renamed(grid, refers, *of_files)))
        for each in workbook:
            for tables in (sides.then_definitions, sides.then_workbook, sides.definitions):
                rename(refers, each, tables)
            rename(refers, each, sides.workbook)
        for each in against:
            rename(refers, each, sides.definitions)
        definitions = _renamed(grid, refers, *of_files)
        names = {name for name, _ in _names(grid, sides.workbook.get(grid.name, ()))}
        taken = []
        for each in definitions:
            if _name(refers, each, each.new) in names or _name(refers, each, each.old) not in names:
                continue
            for tables in (sides.then_definitions, sides.then_workbook, sides.workbook):
                rename(refers, each, tables)
            taken.append(each)
        found += [*workbook, *against, *taken]
    return found


def _against(workbook: Iterable[Renamed], files: Sequence[Renamed]) -> Iterator[Renamed]:
    """The names of the files for rows that the workbook calls otherwise, led to the workbook's."""
    for here in workbook:
        for there in files:
            same_row = (here.project, here.old) == (there.project, there.old)
            if same_row and here.new != there.new:
                yield replace(here, old=there.new, side="conflict")


def _of_both(refers: Refers, each: Renamed, said: Container[tuple[str, ...]]) -> Renamed:
    """A new name of the workbook, of both sides where the files have it and no more the old one."""
    if _name(refers, each, each.new) in said and _name(refers, each, each.old) not in said:
        return replace(each, side="both")
    return each


def follow(standing: Iterable[Renamed], tables: Tables, naming: Iterable[Refers]) -> list[Renamed]:
    """Earlier renames of the workbook put upon what the files say; those that still matter."""
    still = []
    for each in standing:
        names = {
            (row.get("project") if each.project else None, row.get(each.column))
            for row in tables.get(each.table, ())
        }
        project = each.project or None
        if (project, each.old) in names and (project, each.new) not in names:
            rename(of_table(naming, each.table), each, tables)
            still.append(each)
    return still


def composed(standing: Iterable[Renamed], new: Iterable[Renamed]) -> list[Renamed]:
    """Earlier renames carried on by new ones: what the files call a row, to what it is called."""
    result = list(standing)
    for each in new:
        if each.side not in ("workbook", "conflict"):
            continue
        for n, old in enumerate(result):
            if (old.table, old.project, old.new) == (each.table, each.project, each.old):
                result[n] = Renamed(old.table, old.column, old.old, each.new, old.side, old.project)
                break
        else:
            result.append(each)
    return [each for each in result if each.old != each.new]


def of_table(naming: Iterable[Refers], table: str) -> Refers:
    """What names a row of the table, and where the names are used."""
    return next(each for each in naming if each.table == table)


def rename(refers: Refers, each: Renamed, tables: Tables) -> None:
    """Names one row anew, and all that refer to it."""
    for row in tables.get(each.table, ()):
        if row.get(each.column) == each.old and _within(refers, each, row):
            row[each.column] = each.new
            if row.get("title") == each.old:  # as compile fills it in where nobody typed one
                row["title"] = each.new
    for table, column in refers.used_in:
        for row in tables.get(table, ()):
            value = row.get(column)
            if isinstance(value, str) and _within(refers, each, row):
                names = [name.strip() for name in value.split(SEPARATOR)]
                if each.old in names:
                    new = [each.new if name == each.old else name for name in names]
                    row[column] = f"{SEPARATOR} ".join(new)


@dataclass(frozen=True)
class Followed:
    """Rows of a ledger that go by a new name now."""

    table: str
    column: str
    rows: int
    new: str
    old: str

    def __str__(self) -> str:
        rows = "1 row says" if self.rows == 1 else f"{self.rows} rows say"
        return f"{self.table}: {rows} {self.new} now, {self.old} before"


def follow_in_ledger(
    renamed: Iterable[Renamed],
    table: str,
    rows: Sequence[dict[str, Value]],
    naming: Iterable[Refers],
    formulas: Container[tuple[int, str]] = (),
) -> list[Followed]:
    """Puts new names into the rows of a ledger; spreadsheets take no heed of capitals, nor do we.

    A ledger has no memory, so a new name of this compile is all that it can follow. Cells that
    hold `formulas`, by row and column, follow by themselves or not at all.
    """
    found = []
    for each in renamed:
        for ledger, column in of_table(naming, each.table).in_ledgers:
            if ledger != table:
                continue
            old = each.old.casefold()
            named = [
                row
                for n, row in enumerate(rows)
                if str(row.get(column) or "").casefold() == old and (n, column) not in formulas
            ]
            for row in named:
                row[column] = each.new
            if named:
                found.append(Followed(table, column, len(named), each.new, each.old))
    return found


def _within(refers: Refers, each: Renamed, row: Cells) -> bool:
    return refers.within is None or row.get(refers.within) == each.project


def _name(refers: Refers, each: Renamed, text: str) -> tuple[str, ...]:
    return (each.project, text) if refers.within else (text,)


def _names(grid: MergedTable, rows: Sequence[Cells]) -> list[tuple[tuple[str, ...], Cells]]:
    return [(name_of(row, grid.key), row) for row in rows]


def lookalikes(
    sides: Sides, grids: Mapping[str, MergedTable], naming: Iterable[Refers]
) -> list[Renamed]:
    """Return rows of the workbook that look like one that is gone, but are changed otherwise, too.

    Nobody can tell such a row from a new one, so nothing follows its name.
    """
    return [
        each
        for refers in naming
        for each in _renamed(
            grids[refers.table],
            refers,
            sides.then_workbook,
            sides.workbook,
            "workbook",
            _much_alike,
        )
    ]


def _much_alike(one: Cells, other: Cells, names: Iterable[str]) -> bool:
    """Tell whether at least half of the cells that two rows have are equal."""
    both = [(one.get(name), other.get(name)) for name in names]
    filled = [pair for pair in both if pair != (None, None)]
    return 2 * sum(same(*pair) for pair in filled) >= len(filled)


def _renamed(
    grid: MergedTable,
    refers: Refers,
    then: Tables,
    now: Tables,
    side: str,
    are_alike: Callable[[Cells, Cells, Iterable[str]], bool] = same_cells,
) -> list[Renamed]:
    """Names gone and names come whose other cells are alike, where there is just one match."""
    before, after = _names(grid, then.get(grid.name, ())), _names(grid, now.get(grid.name, ()))
    old_names, new_names = {name for name, _ in before}, {name for name, _ in after}
    gone = [(name, row) for name, row in before if name not in new_names]
    come = [(name, row) for name, row in after if name not in old_names and all(name)]
    rest = [name for name in grid.columns if name != refers.column]
    telling = [name for name in rest if name not in grid.key]
    pairs = [
        (old, new)
        for old, old_row in gone
        if any(old_row.get(name) is not None for name in telling)
        for new, new_row in come
        if are_alike(old_row, new_row, rest)
    ]
    olds, news = [old for old, _ in pairs], [new for _, new in pairs]
    return [
        Renamed(
            grid.name,
            refers.column,
            old[-1],
            new[-1],
            side,
            old[0] if refers.within else "",
        )
        for old, new in pairs
        if olds.count(old) == 1 and news.count(new) == 1
    ]
