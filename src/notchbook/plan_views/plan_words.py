"""What a plan says to the one at the saw, in sentences: for the terminal, JSON and the workbook."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from notchbook.base.sentences import counted, listed, so_many
from notchbook.definitions import Definitions
from notchbook.jobs import build_offcuts, build_saw
from notchbook.measure import Ruler
from notchbook.plan_views.cautions import choose_saw_cautions, read_limits
from notchbook.planning.model.leeway import NearMiss
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Saw
from notchbook.planning.saw.effort import measure_saw_work
from notchbook.planning.saw.steps import Step, list_steps
from notchbook.sheets.kit.shop_settings import ShopSettings
from notchbook.sheets.making.stock import StockRow
from notchbook.trade.money import currency_decimals, round_money


def make_plan_words(definitions: Definitions) -> PlanWords:
    """Make the words of a shop for its plans."""
    stock = definitions.table("Stock", StockRow)
    old = {row.stock for row in stock if row.reclaimed == "yes"}
    left = (each.name for each in build_offcuts(definitions) if each.stock in old)
    return PlanWords(definitions.settings, frozenset((*old, *left)))


@dataclass(frozen=True)
class PlanWords:
    """The words of a shop: its ruler, its saw, its money, and which wood is reclaimed."""

    settings: ShopSettings
    reclaimed: frozenset[str]

    @cached_property
    def ruler(self) -> Ruler:
        """How the shop reads lengths."""
        return Ruler(self.settings.units, self.settings.show_fractions_to)

    @cached_property
    def saw(self) -> Saw:
        """The shop's saw."""
        return build_saw(self.settings)

    @cached_property
    def decimals(self) -> int:
        """Of the shop's currency."""
        return currency_decimals(self.settings.currency)

    def show_amount(self, amount: Fraction) -> str:
        """Show an amount of money in the currency's decimals."""
        return f"{round_money(float(amount), self.decimals):,}"

    def show_money(self, amount: Fraction) -> str:
        """Show an amount with its currency."""
        return f"{self.show_amount(amount)} {self.settings.currency}"

    def list_steps(self, plan: Plan) -> tuple[Step, ...]:
        """List the steps at the saw, in order."""
        limits = read_limits(self.settings.units, self.settings.fence_reach)
        return list_steps(plan, self.saw, limits, self.ruler)

    def list_cautions(self, plan: Plan, steps: tuple[Step, ...]) -> list[str]:
        """List what to mind with the steps of a plan."""
        old = any(cut.stock in self.reclaimed for cut in plan.cuts())
        return choose_saw_cautions(
            steps, self.ruler, old, self.settings.fence_reach, self.settings.spelling
        )

    def list_sentences(self, plan: Plan) -> list[str]:
        """List the steps and what to mind, as JSON carries them."""
        steps = self.list_steps(plan)
        return [*(step.text for step in steps), *self.list_cautions(plan, steps)]

    def say_verdict(self, plan: Plan) -> str:
        """Say how good the plan is known to be."""
        if plan.short:
            return "Not all can be made: there is not enough of a stock that cannot be bought."
        if plan.cost == plan.cost_bound:
            return "Proved: no cheaper plan exists."
        gap, bound = self.show_money(plan.cost - plan.cost_bound), self.show_money(plan.cost_bound)
        least = f", but none less than {bound}" if plan.cost_bound else ""
        said = f"Not proved: another plan may cost up to {gap} less{least}."
        return f"{said} The search ran out of time." if plan.out_of_time else said

    def say_what_to_get(self, plan: Plan, priced: bool = True) -> list[str]:
        """Say what to buy, with what it comes to where that is `priced`, and what is there."""
        bought, there = plan.count_bought(), plan.count_from_stock()
        found = []
        if bought:
            boards = listed(so_many(count, stock) for stock, count in bought.items())
            comes_to = f", for {self.show_money(plan.cost)}" if priced else ""
            found.append(f"Buy {boards}{comes_to}.")
        if there:
            boards = listed(so_many(count, stock) for stock, count in there.items())
            found.append(f"Take {boards} from stock.")
        return found or ["No board is cut."]

    def say_saw_work(self, plan: Plan) -> str:
        """Say how many minutes the plan takes at the saw, by settings and passes."""
        work = measure_saw_work(plan, self.saw)
        done = f"{counted(work.settings, 'setting')} and {counted(work.passes, 'cut')}"
        return f"At the saw: about {round(work.minutes):,} min, {done}."

    def say_kerf(self) -> str:
        """Say the kerf that a plan counts on: pieces side by side may leave nothing over."""
        kerf = self.ruler.setting(self.saw.kerf)
        return (
            f"Make a test cut: this plan assumes a kerf of {kerf}. If yours is wider, change it on"
            " Settings and compile again."
        )

    def say_shortages(self, plan: Plan) -> list[str]:
        """Say which pieces cannot be made."""
        return [
            f"Not enough stock: {counted(short.count, 'piece')} of"
            f" {plan.name_part(short.part, short.project)} cannot be made."
            for short in plan.short
        ]

    def list_near_misses(self, near: Iterable[NearMiss]) -> list[str]:
        """List what a little less wood in a part would save."""
        return [
            f"{miss.part} {self.ruler.setting(miss.by)}"
            f" {'narrower' if miss.side == 'width' else 'shorter'}:"
            f" {listed(self._say_change(*each) for each in miss.boards.items())},"
            f" {self.show_money(miss.saves)} saved."
            for miss in near
        ]

    def _say_change(self, stock: str, fewer: int) -> str:
        return f"{so_many(abs(fewer), stock)} {'less' if fewer > 0 else 'more'}"

    def list_offcuts(self, plan: Plan) -> list[str]:
        """List the usable offcuts with their sizes."""
        return [
            f"{left.count} of {self.ruler.size(left.thickness, left.width, left.length)}"
            f" ({left.stock})"
            for left in plan.offcuts
        ]
