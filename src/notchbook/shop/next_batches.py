"""Next batches: what each number of each project takes, the best numbers, and one plan for them.

The sheet's own rules tell what a number takes: it is put under *make*, and minutes, stock and money
are read off. Decisions:

- The program knows each project cut by itself. Its numbers are then cut together, and what that
  saves of the money is given to the program once more, until the plan for its numbers does not
  stay within hours and money, or brings in no more than the one before.
- A proof or a bound holds for projects cut one by one; cut together, more may come in.
- At a compile with neither hours nor money typed all is made that is counted on, and cutting
  together would change no number: it is left to `next`, `cuts --next` and `print --next`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from fractions import Fraction
from math import isnan, nan
from typing import TYPE_CHECKING, Any

from notchbook.language.order import Name
from notchbook.planning.next_batches import (
    PossibleBatch,
    Selection,
    ShelfStock,
    TimeAndMoney,
    choose_batches,
)
from notchbook.planning.whole_shop import WholeShop
from notchbook.sheets.kit.calculate import calculate, plain
from notchbook.sheets.making.next_batches import NO_PRICE
from notchbook.sheets.making.next_limits import LIMITS, NextLimits
from notchbook.shop.plans import plan_batches_from_stock

if TYPE_CHECKING:
    import pandas as pd

    from notchbook.shop.pipeline import Priced

_NEXT, _MATERIALS, _TAKEOFF = "Next batches", "Next materials", "Material takeoff"
_READ = {
    *((_NEXT, name) for name in ("minutes", "brings_in", "begun", "makes", "counts_on", "state")),
    (_TAKEOFF, "next_need"),
    *((LIMITS, name) for name in ("hours_used", "money_used", "brings_in")),
}
_PUT = {(_NEXT, "make"), (_MATERIALS, "together")}
"""What is put on the sheet to see what follows from it."""
_MINUTES = 60


class Nothing(Enum):
    """Why nothing is made."""

    NO_PRICE = "no project has a price yet"
    NO_SALE = (
        "the finished pieces on the shelf are all that is expected to sell; where more will sell,"
        " type it under can sell on Next batches"
    )
    NO_PAY = "no price pays for the stock and the wear of what would be sold"
    NO_TIME = "the hours are too few for any of it"
    NO_MONEY = "the money does not buy what any of it takes"
    NEITHER = "neither the hours nor the money are enough for any of it"
    NO_STOCK = "there is not enough reclaimed stock for any of it"


@dataclass(frozen=True)
class Proposal:
    """The numbers proposed, what proves them, their one plan, and what cutting together gained.

    `rounds` counts how often the program was asked; `nothing` says why nothing is made, `no_price`
    names the projects that no price is known of.
    """

    found: Selection
    first: Selection
    whole: WholeShop | None
    rounds: int
    saved: Fraction  # of the packs, by cutting together
    nothing: Nothing | None
    no_price: tuple[str, ...]

    @property
    def gained(self) -> Fraction:
        """What more comes in than cut one by one."""
        return self.found.earns - self.first.earns


def propose(
    priced: Priced,
    options: Mapping[str, float | date | None] | None = None,
    cut_together: bool = True,
) -> Proposal:
    """Fill in the numbers that bring in most, and all that follows from them.

    `options` are hours, money and until that win over the typed ones. With options, what is typed
    to be made instead is left aside.
    """
    rows = priced.filled.tables[_NEXT]
    for name, value in (options or {}).items():
        if value is not None:
            priced.filled.lines[LIMITS, name] = plain(value)
    instead = rows["make_instead"].copy()
    rows["make_instead"] = nan
    found = _Rounds(priced).run(cut_together)
    if not options:
        rows["make_instead"] = instead
    _note_inputs(priced)
    _calculate(priced)
    return found


def find_limits(priced: Priced) -> TimeAndMoney:
    """Find how many minutes and how much money there are."""
    lines = priced.filled.lines
    hours, money = float(lines[LIMITS, "hours"]), float(lines[LIMITS, "money"])
    return TimeAndMoney(
        None if isnan(hours) else _exact(hours) * _MINUTES, None if isnan(money) else _exact(money)
    )


def count_begun(priced: Priced) -> dict[str, int]:
    """Count how many are begun of each project that is made."""
    rows = [row for row in _rows(priced) if row["project"] in priced.plans.jobs]
    return {row["project"]: int(row["begun"]) for row in rows if row["begun"] > 0}


def _rows(priced: Priced) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = priced.filled.tables[_NEXT].to_dict("records")
    return found


def _exact(value: float) -> Fraction:
    """Return a number as it was typed, without the noise of binary fractions."""
    return Fraction(str(round(value, 6)))


def _calculate(priced: Priced) -> None:
    """Work out what the numbers come to, on every sheet that shows it."""
    shown = (_NEXT, _MATERIALS, _TAKEOFF, LIMITS, "Start")
    calculate(priced.book, priced.filled, priced.units, only=shown)


class _Rounds:
    """The program and one plan for its numbers, in turns."""

    def __init__(self, priced: Priced) -> None:
        self.priced, self.filled = priced, priced.filled
        self.rows: pd.DataFrame = self.filled.tables[_NEXT]
        self.materials: pd.DataFrame = self.filled.tables[_MATERIALS]
        reach = {each for name in _READ for each in priced.book.needs.get(name, ())}
        while more := {each for name in reach for each in priced.book.needs.get(name, ())} - reach:
            reach |= more
        shown = (_NEXT, _MATERIALS, _TAKEOFF, LIMITS)
        self.needed = {each for each in reach | _READ if each[0] in shown}
        self.limits = find_limits(priced)

    def run(self, cut_together: bool) -> Proposal:
        """Choose, cut together, and choose again with what that saves, while it pays."""
        shelf = self.read_shelf()
        batches = self.list_batches()
        first = best = choose_batches(batches, shelf, self.limits)
        whole, saved = self.cut(best, cut_together)
        saving = saved
        rounds = 1
        while saved > 0 and self.limits.money is not None:
            more = TimeAndMoney(self.limits.minutes, self.limits.money + saved)
            tried = choose_batches(batches, shelf, more)
            rounds += 1
            if tried.earns <= best.earns:
                break
            joint, saved = self.cut(tried, cut_together)
            if not self.is_within():
                break
            best, whole, saving = tried, joint, saved
        self.put(best, whole)
        nothing = None if best.units else self.find_why(batches, shelf)
        return Proposal(best, first, whole, rounds, saving, nothing, self.list_without_price())

    def list_without_price(self) -> tuple[str, ...]:
        """List the projects that nobody knows a price of."""
        return tuple(row["project"] for row in _rows(self.priced) if row["state"] == NO_PRICE)

    def find_why(
        self, batches: Mapping[str, list[PossibleBatch]], shelf: list[ShelfStock]
    ) -> Nothing:
        """Find what keeps every project from being made."""
        limits, some = self.limits, [each for its in batches.values() for each in its]

        def is_made(minutes: Fraction | None, money: Fraction | None) -> bool:
            return bool(choose_batches(batches, shelf, TimeAndMoney(minutes, money)).units)

        if not batches:
            return Nothing.NO_PRICE
        if not some:
            return Nothing.NO_SALE
        if max(each.earns for each in some) <= 0:
            return Nothing.NO_PAY
        if is_made(None, limits.money):
            return Nothing.NO_TIME
        if is_made(limits.minutes, None):
            return Nothing.NO_MONEY
        return Nothing.NEITHER if is_made(None, None) else Nothing.NO_STOCK

    def work_out(self, changed: Collection[Name] | None = None) -> None:
        """Calculate what follows from the numbers, and no other cell; of what changed alone."""
        book, units = self.priced.book, self.priced.units
        calculate(book, self.filled, units, needed=self.needed, changed=changed)

    def read_shelf(self) -> list[ShelfStock]:
        """Read what is there of each stock, and what a pack holds and costs."""
        stocks = self.filled.tables["Stock"].set_index("stock").to_dict("index")
        found = []
        self.work_out()
        for stock, there in zip(self.materials["stock"], self.materials["there_now"], strict=True):
            row = stocks[stock]
            pack = 1.0 if isnan(row["pack"]) else float(row["pack"])
            price = None if row["reclaimed"] == "yes" else _exact(float(row["price"]))
            found.append(ShelfStock(stock, _exact(max(float(there), 0.0)), _exact(pack), price))
        return found

    def list_batches(self) -> dict[str, list[PossibleBatch]]:
        """List every number of each project up to what it counts on, as the sheet tells it."""
        self.materials["together"] = nan
        self.rows["make"] = 0.0
        self.work_out(_PUT)
        open_to = {
            row["project"]: int(row["counts_on"])
            for row in _rows(self.priced)
            if row["state"] != NO_PRICE and row["project"] in self.priced.plans.jobs
        }
        found: dict[str, list[PossibleBatch]] = {project: [] for project in open_to}
        for units in range(1, max(open_to.values(), default=0) + 1):
            self.rows["make"] = float(units)
            self.work_out(_PUT)
            takes = self.read_takes()
            for row in _rows(self.priced):
                project = row["project"]
                if units <= open_to.get(project, 0):
                    minutes, earns = _exact(row["minutes"]), _exact(round(row["brings_in"], 4))
                    its = takes.get(project, {})
                    found[project].append(PossibleBatch(units, minutes, earns, its))
        return found

    def read_takes(self) -> dict[str, dict[str, Fraction]]:
        """Read what each project takes of each stock."""
        found: dict[str, dict[str, Fraction]] = {}
        takeoff = self.filled.tables[_TAKEOFF]
        columns = (takeoff[name].tolist() for name in ("project", "stock", "next_need"))
        for project, stock, need in zip(*columns, strict=True):
            found.setdefault(project, {})[stock] = _exact(need)
        return found

    def put(self, chosen: Selection, whole: WholeShop | None) -> None:
        """Put numbers on the sheet, and the boards that one plan for all takes."""
        self.rows["make"] = [float(chosen.units.get(name, 0)) for name in self.rows["project"]]
        boards = [nan] * len(self.materials)
        if whole is not None:
            plan = whole.plan
            cut = {board.stock for name in chosen.units for board in self.boards(name)}
            boards = [
                float(plan.count_boards(stock)) if stock in cut else nan
                for stock in self.materials["stock"]
            ]
        self.materials["together"] = boards
        self.work_out(_PUT)

    def boards(self, project: str) -> Iterator[Any]:
        """Yield the boards that a project may be cut from."""
        yield from self.priced.plans.jobs[project].boards

    def cut(self, chosen: Selection, cut_together: bool) -> tuple[WholeShop | None, Fraction]:
        """Cut the numbers together; give the plan, where it is no dearer, and what it saves."""
        self.put(chosen, None)
        apart = self.money_used
        jobs = self.priced.plans.jobs
        sizes = {name: n for name, n in count_begun(self.priced).items() if jobs[name].parts}
        if not sizes or not cut_together:
            return None, Fraction(0)
        chosen_jobs = {name: jobs[name] for name in sizes}
        _, whole = plan_batches_from_stock(chosen_jobs, sizes, self.priced.kept, self.priced.there)
        self.put(chosen, whole)
        saved = apart - self.money_used
        if whole.plan.short or saved < 0:
            self.put(chosen, None)
            return None, Fraction(0)
        return whole, saved

    @property
    def money_used(self) -> Fraction:
        """The packs that the numbers on the sheet take."""
        return _exact(float(self.filled.lines[LIMITS, "money_used"]))

    def is_within(self) -> bool:
        """Tell whether the numbers on the sheet stay within hours and money."""
        minutes = _exact(float(self.filled.lines[LIMITS, "hours_used"]) * _MINUTES)
        return (self.limits.minutes is None or minutes <= self.limits.minutes) and (
            self.limits.money is None or self.money_used <= self.limits.money
        )


def _note_inputs(priced: Priced) -> None:
    """Note with what the numbers were found, so that the sheet tells when they are old."""
    lines, tables = priced.filled.lines, priced.filled.tables
    for name in NextLimits.model_fields:
        lines[LIMITS, f"planned_{name}"] = lines[LIMITS, name]
    tables[_NEXT]["planned_on"] = tables[_NEXT]["counts_on"]
    tables[_NEXT]["planned_proceeds"] = tables[_NEXT]["proceeds"]
    tables[_MATERIALS]["planned_price"] = tables[_MATERIALS]["price"]
