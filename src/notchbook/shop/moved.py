"""What moved since the last compile: verdicts, prices and unit costs, each with its cause.

The last compile's given cells are worked out again by today's rules, with the plans that it kept;
what the ledgers brought is today's on both sides. A cause is the one changed input (a stock, a
tier, a channel, a tool, a setting, or all of a project's own rows) whose old value, put back
alone, brings what an hour earns nearest to what it was.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import pandas as pd
from pydantic import ValidationError

from notchbook.definitions import TABLES, Definitions
from notchbook.definitions.syntax.columns import LISTED, ROWS
from notchbook.jobs import build_jobs
from notchbook.merging.cells import Cells, cell, same_cells
from notchbook.sheets.kit.calculate import calculate
from notchbook.sheets.kit.shop_settings import GIVEN, ShopSettings
from notchbook.sheets.kit.written import PROJECT
from notchbook.sheets.making.pricing_tiers import BELOW
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.start import MOVED
from notchbook.shop.kept_plans import KeptPlans
from notchbook.shop.kept_use import read_there
from notchbook.shop.laid_surface_rows import count_strips
from notchbook.shop.planned_rows import fill_prices
from notchbook.shop.plans import Plans, highest_units
from notchbook.trade.money import currency_decimals

if TYPE_CHECKING:
    from notchbook.gathering import Gathered
    from notchbook.shop.pipeline import Priced

SEVERAL = "several changes"
NOTHING = "nothing"
OWN_ROWS = "its own rows"
_LOSES, _EARNS = "loses money", "earns"
_SHARED = {"Stock": "stock", "Tiers": "tier", "Channels": "channel", "Tool depreciation": "tool"}
_LISTS = dict.fromkeys(table for (file, _), (table, _) in LISTED.items() if file == PROJECT)
_OWN = ("Projects", "Pricing tiers", *_LISTS)
_WORKED_OUT = {
    "Projects": ("unit_cost", "verdict"),
    "Pricing tiers": ("price", "per_hour", "state"),
}
_NO_PRICE = frozenset({"as_of"})  # settings that no price hangs on
Tables = Mapping[str, Sequence[Cells]]
Price = tuple[str, str]
"""A project and a tier."""


@dataclass(frozen=True)
class Moved:
    """One price, unit cost or verdict that is another one; `because` names the changed input."""

    project: str
    tier: str
    what: str
    before: float | str
    after: float | str
    because: str

    def change(self, digits: int) -> str:
        """What it is and what it was, in words."""
        after, before = (
            each if isinstance(each, str) else f"{each:,.{digits}f}"
            for each in (self.after, self.before)
        )
        return f"{self.what} {after}, {before} before"

    def sentence(self, digits: int) -> str:
        """The move in a line of the terminal."""
        where = f"{self.project} at {self.tier}"
        return f"{where}: {self.change(digits)}, by {self.because}"

    def as_json(self) -> dict[str, object]:
        """The move as `compile --json` prints it."""
        return dict(vars(self))


@dataclass(frozen=True)
class _State:
    """What a project shows at a tier."""

    verdict: str
    price: float
    unit_cost: float
    per_hour: float

    def nearness(self, other: _State) -> float:
        """How far what an hour earns is from another's, or the unit cost where hours are equal."""
        return abs(self.per_hour - other.per_hour) or abs(self.unit_cost - other.unit_cost)


@dataclass(frozen=True)
class _Input:
    """A changed input: its name, and what is as it was with its old value put back alone."""

    name: str
    definitions: Definitions
    project: str = ""  # whose own rows it is


def find_moved(gathered: Gathered, priced: Priced) -> list[Moved]:
    """Compare a shop with its last compile, the worst first; nothing at a first one."""
    if not gathered.before:
        return []
    try:
        return list(_Comparison(gathered, priced).moved())
    except ValidationError:  # a row of before that is none by today's rules
        return []


def show_moved(priced: Priced, moved: Sequence[Moved], before: Sequence[str]) -> None:
    """Say the gravest moves on Start; where nothing moved, what was said there `before` stays."""
    digits = currency_decimals(priced.definitions.settings.currency)
    told = [each.sentence(digits) for each in moved] or before or [NOTHING]
    for name, sentence in zip(MOVED, told, strict=False):
        priced.filled.lines["Start", name] = sentence


class _Comparison:
    def __init__(self, gathered: Gathered, priced: Priced) -> None:
        self.now, self.priced = priced.definitions, priced
        self.kept = KeptPlans(gathered.plans)
        self.there = read_there(gathered)
        before = {name: gathered.before[name] for name in TABLES if name in gathered.before}
        projects = {str(row["project"]) for row in before["Projects"]}
        self.before = _of_projects(before, projects)  # rows of deleted ones did not count
        self.old = _with_rows(self.now, self.before, _settings(self.now, gathered.before))
        columns = [(table, name) for table, names in _WORKED_OUT.items() for name in names]
        book = priced.book
        self.needed = {*columns}.union(
            *(
                book.reach(rule, table)
                for table, name in columns
                if (rule := book.tables[table].by_name[name].rule) is not None
            )
        )
        self.digits = currency_decimals(self.now.settings.currency)

    def moved(self) -> Iterator[Moved]:
        """Yield all moves, losses first, then by what they do to an hour."""
        inputs = list(self.changed())
        if not inputs:
            return
        after = self.states(self.priced.filled.tables)
        plans = self.old_plans()
        rows = _of_projects(self.before, plans.cuts)
        before = self.worked_out(_with_rows(self.now, rows, self.old.settings), plans)
        both = {at: (before[at], after[at]) for at in after if at in before}
        found = {at: its for at, each in both.items() if (its := self.what(at, *each))}
        known = [each for each in inputs if each.project in ("", *plans.cuts)]
        alone = [(each, self.put_back(each, plans)) for each in known] if found else []

        def gravity(at: Price) -> tuple[bool, float]:
            before, after = both[at]
            return after.verdict != _LOSES or before.verdict == _LOSES, -before.nearness(after)

        for at in sorted(found, key=gravity):
            change, old, new = found[at]
            yield Moved(*at, change, old, new, self.because(at, *both[at], alone))

    # --- what is compared ------------------------------------------------------------------------

    def what(
        self, at: Price, before: _State, after: _State
    ) -> tuple[str, float | str, float | str] | None:
        """What moved most of a project at a tier; its unit cost is told at the main one."""
        if before.verdict != after.verdict:
            return "verdict", before.verdict, after.verdict
        amounts = {"price": (before.price, after.price)}
        if at[1] == self.now.settings.main_tier:
            amounts["unit cost"] = (before.unit_cost, after.unit_cost)
        for name, (old, new) in amounts.items():
            told = round(old, self.digits), round(new, self.digits)
            if told[0] != told[1] and abs(old - new) >= 0.5 * 10.0**-self.digits:
                return name, *told
        return None

    def because(
        self,
        at: Price,
        before: _State,
        after: _State,
        alone: Sequence[tuple[_Input, Mapping[Price, _State]]],
    ) -> str:
        """The changed input that brings most of it back; several where none brings half."""
        left = [
            (its[at].nearness(before), each.name)
            for each, its in alone
            if at in its and each.project in ("", at[0])
        ]
        nearest, name = min(left, default=(0.0, SEVERAL), key=lambda each: each[0])
        return name if nearest <= before.nearness(after) / 2 else SEVERAL

    # --- what was --------------------------------------------------------------------------------

    def old_plans(self) -> Plans:
        """The plans of the last compile, of those projects for which they are known."""
        now = self.priced.plans
        jobs = build_jobs(self.old, count_strips(self.old, self.priced.book), self.there)
        cuts, yields = {}, {}
        for row in self.old.table("Projects", ProjectRow):
            name, job = row.project, jobs[row.project]
            its = self.kept.find_project(job, row.batch, highest_units(row.batch), name)
            if its is not None:
                cuts[name], yields[name] = its.batch, its.rows
            elif name in now.jobs and now.jobs[name].parts == job.parts:
                cuts[name], yields[name] = now.cuts[name], tuple(now.yields[name])
        known = {name: jobs[name] for name in cuts}
        nothing: dict[str, Any] = {name: {} for name in cuts}
        return Plans(known, cuts, yields, now.together, nothing, nothing)

    def changed(self) -> Iterator[_Input]:
        """Yield the inputs that changed, each with its old value put back alone."""
        for table, key in _SHARED.items():
            columns = [n for n in ROWS[table].model_fields if (table, n) in self.needed]
            now = {str(row[key]): row for row in _rows(self.now, table)}
            for old in _rows(self.old, table):
                name = str(old[key])
                if name in now and not same_cells(old, now[name], columns):
                    rows = [old if each == name else row for each, row in now.items()]
                    yield _Input(name, _with_rows(self.now, {table: rows}))
        for project in self.now.projects:
            if project not in self.old.projects:
                continue
            put_back = {}
            for table in _OWN:
                now_rows = _rows(self.now, table)
                own = [row for row in _rows(self.old, table) if row["project"] == project]
                mine = [row for row in now_rows if row["project"] == project]
                if not _same_rows(own, mine):
                    others = [row for row in now_rows if row["project"] != project]
                    put_back[table] = [*others, *own]
            if put_back:
                yield _Input(OWN_ROWS, _with_rows(self.now, put_back), project)
        said = self.now.settings
        for name in ShopSettings.model_fields:
            old = getattr(self.old.settings, name)
            if name not in _NO_PRICE and old != getattr(said, name) and name in GIVEN:
                settings = said.model_copy(update={name: old})
                yield _Input(GIVEN[name].header, replace(self.now, settings=settings))

    def put_back(self, each: _Input, plans: Plans) -> Mapping[Price, _State]:
        """What all prices are with one input as it was."""
        now, own = self.priced.plans, each.project
        if own:
            now = replace(
                now,
                cuts={**now.cuts, own: plans.cuts[own]},
                yields={**now.yields, own: plans.yields[own]},
                jobs={**now.jobs, own: plans.jobs[own]},
            )
        return self.worked_out(each.definitions, now)

    def worked_out(self, definitions: Definitions, plans: Plans) -> Mapping[Price, _State]:
        filled = fill_prices(definitions, self.priced.book, plans)
        calculate(self.priced.book, filled, self.priced.units, needed=self.needed)
        return self.states(filled.tables)

    def states(self, tables: Mapping[str, pd.DataFrame]) -> dict[Price, _State]:
        projects = {row["project"]: row for row in tables["Projects"].to_dict("records")}
        main = self.now.settings.main_tier
        return {
            (row["project"], row["tier"]): _state(row, projects[row["project"]], main)
            for row in tables["Pricing tiers"].to_dict("records")
            if row["project"] in projects
        }


def _state(row: Mapping[Any, Any], project: Mapping[Any, Any], main: str) -> _State:
    """What a row of Pricing tiers shows, as a verdict in words."""
    verdict = project["verdict"] if row["tier"] == main else _EARNS
    if row["state"] == BELOW:
        verdict = _LOSES
    return _State(verdict, row["price"], project["unit_cost"], row["per_hour"])


def _of_projects(before: Tables, projects: Container[str]) -> Tables:
    """The rows of the last compile of some projects, and those that are of none."""
    return {
        name: [row for row in rows if row.get("project") is None or row["project"] in projects]
        for name, rows in before.items()
    }


def _settings(now: Definitions, before: Tables) -> ShopSettings:
    """The settings of the last compile, read as they are read from a workbook."""
    said = before.get("Settings", [{}])[0]
    known = {
        name: value
        for name, value in said.items()
        if name in ShopSettings.model_fields and value != cell(getattr(now.settings, name))
    }
    whole = {name: getattr(now.settings, name) for name in ShopSettings.model_fields}
    return ShopSettings.model_validate({**whole, **known})


def _rows(definitions: Definitions, table: str) -> list[Cells]:
    """The given cells of a table, as a workbook holds them."""
    rows = (dict(row) for row in definitions.rows[table])
    return [{name: cell(value) for name, value in row.items()} for row in rows]


def _same_rows(one: Sequence[Cells], other: Sequence[Cells]) -> bool:
    return len(one) == len(other) and all(map(_same_row, one, other))


def _same_row(one: Cells, other: Cells) -> bool:
    return same_cells(one, other, one.keys() | other.keys())


def _with_rows(
    now: Definitions, tables: Tables, settings: ShopSettings | None = None
) -> Definitions:
    """A shop with the rows of some tables in place of its own."""
    rows = {
        name: tuple(
            ROWS[name].model_validate({key: each for key, each in row.items() if each is not None})
            for row in cells
        )
        for name, cells in tables.items()
    }
    return replace(
        now,
        settings=settings or now.settings,
        rows={**now.rows, **rows},
        shown={**now.shown, **{name: [dict(row) for row in its] for name, its in rows.items()}},
    )
