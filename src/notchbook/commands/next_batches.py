"""What to make next and what to buy for it, at the terminal and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import isnan
from pathlib import Path
from typing import Any

from notchbook.base.sentences import counted, wrapped
from notchbook.language.functions import from_serial
from notchbook.plan_views.plan_words import PlanWords, make_plan_words
from notchbook.sheets.making.next_limits import LIMITS
from notchbook.shop.next_batches import Proposal, propose
from notchbook.shop.next_words import describe, list_made
from notchbook.shop.pipeline import Priced, price
from notchbook.shop.plans import Watch
from notchbook.trade.money import round_money

_ROW = "{:>5}  {:<32}{:>6}{:>9}{:>14}{:>12}"
_BUY = "{:>5}  {:<32}{:>9}{:>9}{:>11}{:>12}"


@dataclass(frozen=True)
class Next:
    """A shop with next batches filled in, and what was found."""

    priced: Priced
    proposal: Proposal

    @property
    def words(self) -> PlanWords:
        """The shop's words for its money."""
        return make_plan_words(self.priced.definitions)

    @property
    def bought(self) -> list[dict[str, Any]]:
        """The stocks of which packs are bought."""
        rows = self.priced.filled.tables["Next materials"].to_dict("records")
        return [row for row in rows if row["packs"] > 0]

    @property
    def is_as_proposed(self) -> bool:
        """Whether no other number is typed."""
        return not self.line("instead")

    def line(self, name: str) -> float | None:
        """Return a number of the sheet; None where nothing stands there."""
        value = float(self.priced.filled.lines[LIMITS, name])
        return None if isnan(value) else value


def find_next(
    folder: Path,
    options: Mapping[str, float | date | None],
    as_of: date | None,
    watch: Watch = iter,
) -> Next:
    """Find what to make with the hours and the money there are; options win over typed cells.

    Raises DefinitionError for bad definitions.
    """
    priced = price(folder, as_of, watch)
    given = {name: value for name, value in options.items() if value is not None}
    return Next(priced, propose(priced, given))


def build_next(found: Next) -> dict[str, Any]:
    """Build what `next --json` prints; None: no limit, or not known."""
    first = found.proposal.first
    is_best = first.is_best and not found.proposal.gained and found.is_as_proposed

    def money(value: float | Fraction | None) -> float | None:
        return None if value is None else float(round_money(float(value), found.words.decimals))

    return {
        "hours": found.line("hours"),
        "hours_used": round(found.line("hours_used") or 0.0, 2),
        "money": money(found.line("money")),
        "money_used": money(found.line("money_used")),
        "earns": money(found.line("brings_in")),
        "earns_bound": money(first.bound),
        "status": "optimal" if is_best else "feasible",
        "make": [
            {
                "project": row["project"],
                "units": int(row["makes"]),
                "begun": int(row["begun"]),
                "minutes": round(row["minutes"], 1),
                "outlay": money(row["outlay"]),
                "earns": money(row["brings_in"]),
                "can_sell": int(row["expected"]),
                "counts_on": int(row["counts_on"]),
            }
            for row in list_made(found.priced)
        ],
        "buy": [
            {"stock": row["stock"], "packs": int(row["packs"]), "cost": money(row["cost"])}
            for row in found.bought
        ],
    }


def format_next(found: Next) -> str:
    """Write what to make, what is left, and what to buy, in lines of at most 80 letters."""
    return "\n".join(_lines(found))


def _lines(found: Next) -> Iterator[str]:
    words, made = found.words, list_made(found.priced)
    yield from wrapped(_say_limits(found))
    yield ""
    if made:
        yield _ROW.format("make", "project", "begun", "minutes", "outlay alone", "brings in")
        for row in made:
            yield from _row(row, words)
        yield _ROW.format(
            f"{found.line('pieces') or 0:,.0f}",
            "in all",
            "",
            f"{(found.line('hours_used') or 0) * 60:,.0f}",
            "",
            _amount(found.line("brings_in"), words),
        )
        yield ""
    for text in (*describe(found.proposal, words), *_say_what_is_left(found)):
        yield from wrapped(text)
    if not found.is_as_proposed:
        yield from wrapped("The numbers are those typed under make instead; the rest as proposed.")
    if made:
        yield from ("", *_shopping(found))


def _row(row: dict[str, Any], words: PlanWords) -> Iterator[str]:
    *before, last = wrapped(row["project"], columns=31)
    yield from (f"       {each}" for each in before)
    yield _ROW.format(
        f"{row['makes']:,.0f}",
        last,
        f"{row['begun']:,.0f}",
        f"{row['minutes']:,.0f}",
        _amount(row["outlay"], words),
        _amount(row["brings_in"], words),
    )


def _amount(value: float | None, words: PlanWords) -> str:
    return words.show_amount(Fraction(value or 0.0))


def _say_limits(found: Next) -> str:
    hours, money, until = (found.line(name) for name in ("hours", "money", "until"))
    said = [
        "no limit of hours" if hours is None else f"{hours:g} hours",
        "no limit of money" if money is None else found.words.show_money(Fraction(money)),
    ]
    weeks = f"{found.line('sell_weeks') or 0:.3g} weeks to sell in"
    said.append(weeks if until is None else f"until {from_serial(until)}, {weeks}")
    return f"Next batches: {', '.join(said)}"


def _say_what_is_left(found: Next) -> Iterator[str]:
    said = []
    if found.line("hours") is not None:
        said.append(f"{found.line('hours_left') or 0:,.1f} hours")
    if found.line("money") is not None:
        said.append(found.words.show_money(Fraction(found.line("money_left") or 0)))
    if said:
        yield f"Left: {' and '.join(said)}."


def _shopping(found: Next) -> Iterator[str]:
    words, bought = found.words, found.bought
    if not bought:
        yield "Nothing has to be bought: all that is needed is there."
        return
    yield _BUY.format("buy", "stock", "needed", "there", "each", "cost")
    for row in bought:
        *before, last = wrapped(row["stock"], columns=31)
        yield from (f"       {each}" for each in before)
        yield _BUY.format(
            f"{row['packs']:,.0f}",
            last,
            f"{row['needed']:,.4g}",
            f"{row['there_now']:,.4g}",
            _amount(row["price"], words),
            _amount(row["cost"], words),
        )
    packs = counted(int(sum(row["packs"] for row in bought)), "pack")
    yield _BUY.format("", packs, "", "", "", _amount(found.line("money_used"), words))
