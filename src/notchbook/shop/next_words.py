"""What there is to say of next batches, on the sheet, on Start and at the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import zip_longest
from typing import TYPE_CHECKING, Any

from notchbook.base.sentences import counted, listed, so_many
from notchbook.plan_views.plan_words import PlanWords, make_plan_words
from notchbook.sheets.making.next_limits import LIMITS, SAYS
from notchbook.sheets.start import NEXT
from notchbook.shop.next_batches import Nothing, Proposal

if TYPE_CHECKING:
    from notchbook.shop.pipeline import Priced

_SHORT = {
    Nothing.NO_PRICE: "no project has a price yet",
    Nothing.NO_SALE: "what is finished is all that sells",
    Nothing.NO_PAY: "no price pays for its stock",
    Nothing.NO_TIME: "the hours are too few",
    Nothing.NO_MONEY: "the money buys too little",
    Nothing.NEITHER: "too few hours, too little money",
    Nothing.NO_STOCK: "too little reclaimed stock",
}


def list_made(priced: Priced) -> list[dict[str, Any]]:
    """List the rows of the projects that are made, what brings in most first."""
    rows = priced.filled.tables["Next batches"].to_dict("records")
    return sorted((row for row in rows if row["makes"] > 0), key=lambda row: -row["brings_in"])


def say_proposal(priced: Priced, found: Proposal) -> None:
    """Say on the sheet how good the numbers are, and on Start what to make first."""
    words, lines = make_plan_words(priced.definitions), priced.filled.lines
    for name, text in zip_longest(SAYS, _describe_in_short(found, words), fillvalue=""):
        lines[LIMITS, name] = text
    made = [_say_row(row, words) for row in list_made(priced)] or [
        *_describe_in_short(found, words)
    ][:1]
    for name, text in zip_longest(NEXT, made[: len(NEXT)], fillvalue=""):
        lines["Start", name] = text


def describe(found: Proposal, words: PlanWords) -> Iterator[str]:
    """Say how good the numbers are known to be, and what cutting them together gains."""
    if found.nothing:
        yield f"Nothing to make: {found.nothing.value}."
    elif found.first.is_best:
        yield "Proved: cut project by project, no other numbers bring in more."
    else:
        bound = words.show_money(found.first.bound)
        yield f"Cut project by project, no numbers bring in more than {bound}."
    if found.gained:
        more = words.show_money(found.gained)
        yield f"Cut together they leave money for more: {more} more comes in."
    elif found.saved:
        yield f"Cut together they take {words.show_money(found.saved)} less of boards."
    if found.no_price:
        some = "it has" if len(found.no_price) == 1 else "they have"
        yield f"Left out, because {some} no price yet: {listed(found.no_price)}."


def _describe_in_short(found: Proposal, words: PlanWords) -> Iterator[str]:
    """Say the same in as many letters as there is room for on the sheet."""
    if found.nothing:
        yield f"Nothing: {_SHORT[found.nothing]}."
    elif found.first.is_best:
        yield "Proved: no other numbers bring in more."
    else:
        yield f"No numbers bring in over {words.show_money(found.first.bound)}."
    if found.gained:
        yield f"Cut together, {words.show_money(found.gained)} more comes in."
    elif found.saved:
        yield f"Cut together, boards cost {words.show_money(found.saved)} less."
    if found.no_price:
        yield f"No price yet, left out: {counted(len(found.no_price), 'project')}."


def _say_row(row: dict[str, Any], words: PlanWords) -> str:
    time = say_minutes(row["minutes"])
    money = words.show_money(Fraction(row["brings_in"]))
    said = f"make {so_many(row['makes'], row['project'])}: {time}, brings in {money}"
    if row["per_hour"] >= words.settings.skip_per_hour:
        return said
    return f"{said}, only {words.show_amount(Fraction(row['per_hour']))} an hour"


def say_minutes(minutes: float) -> str:
    """Say how long something takes."""
    if minutes < 90:
        return counted(round(minutes), "minute")
    return f"{minutes / 60:,.1f} hours"
