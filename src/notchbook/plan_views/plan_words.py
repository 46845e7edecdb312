"""What a plan says to the one at the saw, in sentences: for the terminal, JSON and the workbook."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from notchbook.base.sentences import counted, listed
from notchbook.definitions import Definitions
from notchbook.jobs import build_saw
from notchbook.measure import Ruler
from notchbook.plan_views.cautions import choose_saw_cautions, read_limits
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Saw
from notchbook.planning.saw.steps import Step, list_steps
from notchbook.sheets.kit.settings import ShopSettings
from notchbook.sheets.making.stock import StockRow
from notchbook.trade.money import currency_decimals, round_money


def make_plan_words(definitions: Definitions) -> PlanWords:
    """Make the words of a shop for its plans."""
    stock = definitions.table("Stock", StockRow)
    reclaimed = frozenset(row.stock for row in stock if row.reclaimed == "yes")
    return PlanWords(definitions.settings, reclaimed)


@dataclass(frozen=True)
class PlanWords:
    """The words of a shop: its ruler, its saw, its money, and which stock is reclaimed."""

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

    def amount(self, amount: Fraction) -> str:
        """An amount of money in the currency's decimals."""
        return f"{round_money(float(amount), self.decimals):,}"

    def money(self, amount: Fraction) -> str:
        """An amount with its currency."""
        return f"{self.amount(amount)} {self.settings.currency}"

    def steps(self, plan: Plan) -> tuple[Step, ...]:
        """The steps at the saw, in order."""
        return list_steps(plan, self.saw, read_limits(self.settings.units), self.ruler)

    def care(self, plan: Plan, steps: tuple[Step, ...]) -> list[str]:
        """What to mind with the steps of a plan."""
        old = any(cut.stock in self.reclaimed for cut in plan.cuts())
        return choose_saw_cautions(steps, self.ruler, old)

    def sentences(self, plan: Plan) -> list[str]:
        """The steps and what to mind, as JSON carries them."""
        steps = self.steps(plan)
        return [*(step.text for step in steps), *self.care(plan, steps)]

    def verdict(self, plan: Plan) -> str:
        """How good the plan is known to be."""
        if plan.short:
            return "Not all can be made: there is not enough of a stock that cannot be bought."
        if plan.cost == plan.cost_bound:
            return "Proved: no cheaper plan exists."
        gap, bound = self.money(plan.cost - plan.cost_bound), self.money(plan.cost_bound)
        said = f"Not proved: within {gap} of the bound; no plan costs less than {bound}."
        return f"{said} The search ran out of time." if plan.out_of_time else said

    def to_get(self, plan: Plan) -> list[str]:
        """What to buy and what to take from stock."""
        bought, there = plan.bought(), plan.from_stock()
        found = []
        if bought:
            boards = listed(f"{count} {stock}" for stock, count in bought.items())
            found.append(f"Buy {boards}, for {self.money(plan.cost)}.")
        if there:
            boards = listed(f"{count} {stock}" for stock, count in there.items())
            found.append(f"Take {boards} from stock.")
        return found or ["No board is cut."]

    def blade(self) -> str:
        """The kerf that a plan counts on: pieces side by side may leave nothing over."""
        kerf = self.ruler.setting(self.saw.kerf)
        return f"Try a cut first: the plan counts on a kerf of {kerf}; a wider one needs a new one."

    def missing(self, plan: Plan) -> list[str]:
        """Pieces that cannot be made."""
        return [
            f"Not enough stock: {counted(short.count, 'piece')} of"
            f" {plan.called(short.part, short.project)} cannot be made."
            for short in plan.short
        ]

    def keep(self, plan: Plan) -> list[str]:
        """The usable offcuts with their sizes."""
        return [
            f"{left.count} of {self.ruler.size(left.thickness, left.width, left.length)}"
            f" ({left.stock})"
            for left in plan.offcuts
        ]
