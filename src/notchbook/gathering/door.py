"""The one door for rows: made of what files or workbook say, and looked through for faults.

A row that cannot be made, or has a fault that is refused, is a problem at its place. In a ledger
nothing is refused; there the row counts as it was typed and is named.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from notchbook.base.problems import Problem, Problems, nearest, quoted
from notchbook.definitions import LEDGER_TABLES
from notchbook.definitions.reading.names import sheet_name_fault
from notchbook.definitions.reading.rows import Candidate, checked
from notchbook.language.evaluate import Values, evaluate
from notchbook.language.order import Name
from notchbook.language.value_kinds import Kind
from notchbook.measure import CONVERSIONS, Units
from notchbook.sheets.kit.calculate import Filled, calculate, frame, plain
from notchbook.sheets.kit.columns import Row
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.kit.faults import Fault, Strength
from notchbook.sheets.kit.setting_faults import SETTING_FAULTS
from notchbook.sheets.kit.shop_settings import GIVEN, ShopSettings
from notchbook.sheets.ledgers.months_and_channels import period_rows
from notchbook.sheets.tax.tax_tables import figure_rows

SETTINGS = "Settings"
SEPARATOR = ";"
_PROJECT = "Projects.project"
_OF_PLANS = "Yield"  # what it holds is found when the shop is planned
_MOST = 5  # rows with the same fault that are named


@dataclass
class Entered:
    """The rows of a shop, and what is to be told of those that count all the same."""

    rows: dict[str, tuple[Row, ...]] = field(default_factory=dict)
    look: list[str] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)


def enter(
    book: Book,
    settings: Candidate,
    candidates: Mapping[str, Sequence[Candidate]],
    problems: Problems,
    open_tables: Collection[str] = (),
    deleted: Collection[str] = (),
) -> Entered:
    """Make rows of candidates, and note every fault at its place.

    Of `open_tables` not all rows are known, so that no name is missed there; `deleted` are the
    projects whose rows the maker took out, which other rows may still name.
    """
    door = _Door(book, settings, candidates, problems, frozenset(open_tables), frozenset(deleted))
    return door.enter()


class _Door:
    def __init__(
        self,
        book: Book,
        settings: Candidate,
        candidates: Mapping[str, Sequence[Candidate]],
        problems: Problems,
        open_tables: frozenset[str],
        deleted: frozenset[str],
    ) -> None:
        self.book, self.settings, self.candidates = book, settings, candidates
        self.problems, self.open, self.deleted = problems, open_tables, deleted
        self.bad: dict[str, list[set[str]]] = {}  # fields of each row that hold no value
        self.entered = Entered()
        self.told: Counter[tuple[str, str]] = Counter()

    def enter(self) -> Entered:
        """Return the rows without those that belong to nothing."""
        made = {name: self.made(name) for name in self.candidates}
        for name, rows in made.items():
            left_out: set[int] = set()
            for fault in self.book.tables[name].faults:
                for n in self.rows_with(name, fault):
                    if n not in left_out:
                        self.tell(name, fault, n)
                    if fault.strength is Strength.OMIT:
                        left_out.add(n)
            kept = (row for n, row in enumerate(rows) if n not in left_out)
            self.entered.rows[name] = tuple(row for row in kept if row is not None)
        self.look_at_settings()
        for (name, words), number in self.told.items():
            if number > _MOST:
                self.entered.look.append(f"{name}: {number - _MOST} more rows: {words}")
        return self.entered

    # --- values ----------------------------------------------------------------------------------

    def made(self, name: str) -> list[Row | None]:
        """Return the row of each candidate; None, with its faults told, where it makes none."""
        candidates = self.candidates[name]
        self.bad[name] = [set(each.unread) for each in candidates]
        return [self.row(name, n, each) for n, each in enumerate(candidates)]

    def row(self, name: str, n: int, candidate: Candidate) -> Row | None:
        """Return the row of a candidate; None, with its faults told, where it makes none."""
        model, bad = self.book.tables[name].row, self.bad[name][n]
        assert model is not None
        strength = Strength.LOOK if name in LEDGER_TABLES else Strength.REFUSE

        def report(column: str, message: str) -> None:
            if column not in bad and not self.is_named_elsewhere(name, column, candidate):
                self.say(candidate, column, message, strength, (name, message))
            bad.add(column)

        row = checked(model, candidate.values, report)
        if name in ("Projects", "Ideas") and not bad:  # an idea may become a project
            key = model.key[0]
            fault = sheet_name_fault(str(candidate.values[key]))
            if fault is not None:
                self.say(candidate, key, fault, Strength.REFUSE, (name, fault))
        return row

    def is_named_elsewhere(self, name: str, column: str, candidate: Candidate) -> bool:
        """Whether a name is that of another table's row, where what is wrong with it is told."""
        table, dot, _ = str(self.book.tables[name].by_name[column].choices).partition(".")
        return (
            bool(dot)
            and table != name
            and table in self.candidates
            and (str(candidate.values.get(column)) in self.names(table))
        )

    # --- faults ----------------------------------------------------------------------------------

    @cached_property
    def filled(self) -> Filled:
        """What is given, with all worked out that the faults read of it."""
        said = self.settings.values
        names = (self.names("Channels"), self.names("Projects"), self.names("Tiers"))
        form = "us" if said.get("tax") == "us" else "none"
        year = said.get("year")
        year = int(year) if isinstance(year, int | float) and 1950 <= year <= 2150 else 2026
        rows: dict[str, Sequence[Mapping[str, object]]] = {
            name: [each.values for each in its] for name, its in self.candidates.items()
        }
        rows["Months and channels"] = period_rows(form, year, *names)
        rows["Tax tables"] = figure_rows(form)
        tables = {
            name: frame(table, rows.get(name, ())) for name, table in self.book.tables.items()
        }
        lines: dict[Name, float | str] = {
            (SETTINGS, name): _single(
                name, said.get(name, None if info.is_required() else info.default)
            )
            for name, info in ShopSettings.model_fields.items()
        }
        filled = Filled(tables, lines, {})
        calculate(self.book, filled, self.units, needed=self.reads)
        return filled

    @cached_property
    def values(self) -> Values:
        """What the rules of all faults see; what is sorted out of a table for one serves all."""
        return Values(self.filled.tables, self.filled.lines, self.units)

    @cached_property
    def units(self) -> dict[str, int]:
        """The conversions of the shop's unit."""
        unit: Units = "mm" if self.settings.values.get("units") == "mm" else "inch"
        return {name: by_unit[unit] for name, by_unit in CONVERSIONS.items()}

    @cached_property
    def reads(self) -> set[Name]:
        """All columns and lines that any fault reads."""
        rules = [
            (each.rule, name) for name in self.candidates for each in self.book.tables[name].faults
        ]
        rules += [(each.when, "") for each in SETTING_FAULTS]
        return {read for rule, name in rules for read in self.book.reach(rule, name or None)}

    def names(self, table: str) -> list[str]:
        """The names that a table's rows bear."""
        model = self.book.tables[table].row
        assert model is not None
        return [str(each.values.get(model.key[0], "")) for each in self.candidates[table]]

    def rows_with(self, name: str, fault: Fault) -> Iterator[int]:
        """Yield the rows that have a fault, without those in which a cell is bad that it reads."""
        candidates = self.candidates[name]
        if not candidates or self.is_unsure(name, fault):
            return
        silent = self.book.tables[name].silent
        found = self.listed(name, fault) if fault.listed else self.holding(name, fault)
        met: set[tuple[str, ...]] = set()
        for n in found:
            values, bad = candidates[n].values, self.bad[name][n]
            if silent is not None and values.get(silent) is None:
                continue
            if fault.twice:  # the first of them is told by the others
                key = tuple(str(values.get(each)).casefold() for each in fault.twice)
                if key not in met:
                    met.add(key)
                    continue
            if not bad & (fault.reads | {fault.column}):
                yield n

    def holding(self, name: str, fault: Fault) -> list[int]:
        """Return the rows in which a fault's rule holds; for a plan, names are exact."""
        values = replace(self.values, own=self.filled.tables[name])
        candidates = self.candidates[name]
        holds: Any = np.broadcast_to(evaluate(fault.rule, values), len(candidates))
        found = set(np.flatnonzero(holds).tolist())
        if fault.unknown and not self.within(name, fault) and name not in LEDGER_TABLES:
            known = set(self.pool(name, fault, {}))
            words = (each.values.get(fault.column) for each in candidates)
            found |= {n for n, word in enumerate(words) if word is not None and word not in known}
        return sorted(found)

    def listed(self, name: str, fault: Fault) -> list[int]:
        """Return the rows whose list holds a name with a fault."""
        return [
            n
            for n, each in enumerate(self.candidates[name])
            if any(True for _ in self.of_list(fault, each.values))
        ]

    def of_list(self, fault: Fault, values: Mapping[str, object]) -> Iterator[str]:
        """Yield what is wrong with each name of a list."""
        table, key = fault.listed.split(".")
        rows = {each.values.get(key): each.values for each in self.candidates[table]}
        names = [name.strip() for name in str(values.get(fault.column, "")).split(SEPARATOR)]
        for name in names if fault.column in values else ():
            if fault.among is None and name not in rows and "," in name:
                apart = "; ".join(each.strip() for each in name.split(","))
                yield (
                    f"there is no {key} {quoted(name)}; semicolons stand between names; "
                    f"write {apart}"
                )
            elif fault.among is None and name not in rows:
                near = nearest(name, map(str, rows))
                yield f"there is no {key} {quoted(name)}{near}; {fault.write}"
            elif fault.among is not None and name in rows:
                column, words = fault.among
                word = rows[name].get(column)
                if word is not None and word not in words:
                    yield f"{quoted(name)} is {word} and {fault.words}; {fault.write}"

    def is_unsure(self, name: str, fault: Fault) -> bool:
        """Return whether it reads what could not be read elsewhere, which was told already."""
        named = (each.split(".") for each in (*fault.unknown, fault.listed) if each)
        read = self.book.reach(fault.rule, name) | {(table, column) for table, column in named}
        if any(table == _OF_PLANS for table, _ in read):  # there is no plan yet; the sheet tells it
            return True
        unread = {(SETTINGS, each) for each in self.settings.unread} | self.bad_columns
        return any(
            table != name and (table in self.open or (table, column) in unread)
            for table, column in read
        )

    @cached_property
    def bad_columns(self) -> set[Name]:
        """The columns in which any row holds no value."""
        rows = ((name, row) for name, its in self.bad.items() for row in its)
        return {(name, column) for name, row in rows for column in row}

    def within(self, name: str, fault: Fault) -> bool:
        """Whether the names that a fault asks for are those of the row's own project."""
        return fault.column != "project" and any(
            "project" in self.book.tables[each.split(".")[0]].by_name
            and "project" in self.book.tables[name].by_name
            for each in fault.unknown
        )

    def pool(self, name: str, fault: Fault, values: Mapping[str, object]) -> Iterator[str]:
        """Yield the names that a row may use."""
        for each in fault.unknown:
            table, key = each.split(".")
            if table not in self.candidates:  # such as the categories of the form
                yield from (str(word) for word in self.filled.tables[table][key] if word)
                continue
            for other in self.candidates[table]:
                same = other.values.get("project") == values.get("project")
                if key in other.values and (same or not self.within(name, fault)):
                    yield str(other.values[key])

    # --- telling ---------------------------------------------------------------------------------

    def tell(self, name: str, fault: Fault, n: int) -> None:
        """Name a row with a fault."""
        candidate = self.candidates[name][n]
        for sentence in self.sentences(name, fault, candidate):
            self.say(candidate, fault.column, sentence, fault.strength, (name, fault.words))

    def sentences(self, name: str, fault: Fault, candidate: Candidate) -> Iterator[str]:
        """Yield what is wrong, with the name that is known or stands elsewhere."""
        values = candidate.values
        word = quoted(str(values.get(fault.column, "")))
        if fault.listed:
            yield from self.of_list(fault, values)
        elif fault.unknown:
            pool = list(self.pool(name, fault, values))
            listed = [each.strip() for each in re.split("[,;]", str(values.get(fault.column, "")))]
            if len(listed) > 1 and set(listed) <= set(pool):
                yield f"{word} is a list; write a row for each of them"
                return
            written = str(values.get(fault.column, ""))
            meant = next((n for w, n in fault.meant if w == written.casefold() and n in pool), None)
            if meant is not None:
                yield f"there {fault.words.replace('no ', 'is no ', 1)} {word}; write {meant}"
                return
            if fault.unknown == (_PROJECT,) and written in self.deleted:
                back = "bring that row back"
                instead = f"{back}, or {fault.write}"
                if fault.strength is Strength.OMIT:
                    instead = f"delete this one, too, {back}, or write the project that it is for"
                yield f"the row of {word} on Projects was deleted; {instead}"
                return
            near = nearest(written, pool)
            yield f"there {fault.words.replace('no ', 'is no ', 1)} {word}{near}; {fault.write}"
        elif fault.twice:
            yield f"{word} stands at {self.first(name, fault, values)} already; {fault.write}"
        else:
            yield f"{fault.words}; {fault.write}"

    def first(self, name: str, fault: Fault, values: Mapping[str, object]) -> str:
        """Return where the first row with the same names stands."""

        def key(of: Mapping[str, object]) -> list[str]:
            return [str(of.get(each)).casefold() for each in fault.twice]

        row = next(each for each in self.candidates[name] if key(each.values) == key(values))
        file, line = row.where(fault.column)
        return f"{file}:{line}" if line else file

    def say(
        self,
        candidate: Candidate,
        column: str,
        message: str,
        strength: Strength,
        kind: tuple[str, str],
    ) -> None:
        """Tell of a column, as strongly as it needs."""
        file, line = candidate.where(column)
        told = f"{candidate.label(column)}: {message}"
        if strength is Strength.REFUSE:
            self.problems.add(file, line, told)
            return
        self.told[kind] += 1
        if self.told[kind] <= _MOST:
            notice = strength is Strength.NOTICE
            (self.entered.notices if notice else self.entered.look).append(
                str(Problem(file, line, told))
            )

    def look_at_settings(self) -> None:
        """Refuse single values that do not go together."""
        for fault in SETTING_FAULTS:
            broken = {table for table, _ in self.book.reach(fault.when, None)} & self.open
            if not broken and not self.settings.unread and bool(evaluate(fault.when, self.values)):
                for sentence in self.sentences("Tiers", fault, self.settings):
                    self.say(self.settings, fault.column, sentence, fault.strength, (SETTINGS, ""))


def _single(name: str, value: object) -> float | str:
    """Give a single value as rules take it; a word that nobody said is a blank one."""
    return "" if value is None and GIVEN[name].look.kind is Kind.TEXT else plain(value)
