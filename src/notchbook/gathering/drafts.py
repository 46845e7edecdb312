"""An idea drafted as a project: the rows that its guesses make, each with what to look at.

Decisions:

- What was reckoned by eye becomes one placeholder: that share of a board's section, as long as the
  board leaves after end trims and a kerf, so that the plan takes about what was guessed. Whole
  boards, and what cannot be ripped, become lengths of the full section.
- Only the price in the idea's own row is copied: those on Seen prices bear its name already.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from math import floor, isnan
from typing import Any

from notchbook.definitions import Definitions
from notchbook.gathering.sides import MODELS
from notchbook.language.order import Name
from notchbook.measure import CONVERSIONS
from notchbook.merging.cells import Value, cell
from notchbook.sheets.kit.calculate import Filled, calculate, frame, plain
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.kit.shop_settings import ShopSettings
from notchbook.sheets.ledgers.channels import TierRow
from notchbook.sheets.making.idea_cuts import SIZE
from notchbook.sheets.making.ideas import PAIRS
from notchbook.sheets.making.wood_kinds import WOOD

_FINEST = {"inch": 64, "mm": 10}
_READS: tuple[Name, ...] = (("Idea cuts", "layers"), ("Ideas", "own_price"))
_SOME_PLACE = "a shop"
Cells = dict[str, Value]


@dataclass
class Draft:
    """The rows of a new project by table; `guesses` says by table and row what to look at."""

    project: str
    rows: dict[str, list[Cells]] = field(default_factory=dict)
    guesses: dict[tuple[str, int], str] = field(default_factory=dict)
    left_out: list[str] = field(default_factory=list)

    def add(self, table: str, guess: str = "", **cells: Any) -> None:
        """Add a row, with the cells that nothing was said of as a file would leave them."""
        rows = self.rows.setdefault(table, [])
        given = {"project": self.project} | cells
        whole = {
            name: cell(given.get(name, None if info.is_required() else info.default))
            for name, info in MODELS[table].model_fields.items()
        }
        if guess:
            self.guesses[table, len(rows)] = guess
        rows.append(whole)


def draft_project(definitions: Definitions, book: Book, idea: str) -> Draft:
    """Draft one of the ideas as a project of the same name."""
    filled = _worked_out(definitions, book)
    (row,) = (each for each in _records(filled, "Ideas") if each["idea"] == idea)
    found = Draft(idea)
    local = None if isnan(row["local_factor"]) else row["local_factor"]
    batch = 1 if isnan(row["batch"]) else int(row["batch"])
    title = idea[:1].upper() + idea[1:]
    found.add("Projects", "a guess" * (batch > 1), title=title, batch=batch, local_factor=local)
    if row["own_price"]:
        where = row["seen_at"] or _SOME_PLACE
        day = definitions.settings.as_of
        found.add("Seen prices", "the day is a guess", where=where, price=row["price"], on=day)
    _Parts(definitions, found).add(_taken(row), _cuts(filled, idea))
    minutes, setup = row["minutes"], 0.0 if isnan(row["setup"]) else row["setup"]
    told = "not guessed yet" if isnan(minutes) else "a guess; write the steps"
    minutes = 0.0 if isnan(minutes) else minutes
    found.add("Work steps", told, step="make it", setup=setup, minutes=minutes)
    if row["other"] > 0:
        found.left_out.append(
            f"{row['other']:.2f} a piece for what is not in stock yet: add it to Stock and to what"
            " the project uses"
        )
    for tier in definitions.table("Tiers", TierRow):
        found.add("Pricing tiers", tier=tier.tier)
    return found


def _worked_out(definitions: Definitions, book: Book) -> Filled:
    """Ideas and what they read, as far as a draft needs them worked out."""
    rules = {name: book.tables[name[0]].by_name[name[1]].rule for name in _READS}
    reached = {
        read for name, rule in rules.items() if rule for read in book.reach(rule, name[0])
    } | set(_READS)
    tables = {
        name: frame(table, definitions.cells(name))
        for name, table in book.tables.items()
        if any(name == owner for owner, _ in reached)
    }
    settings = definitions.settings
    lines: dict[Name, float | str] = {
        ("Settings", name): plain(getattr(settings, name)) for name in ShopSettings.model_fields
    }
    filled = Filled(tables, lines, {})
    units = {name: by_unit[settings.units] for name, by_unit in CONVERSIONS.items()}
    calculate(book, filled, units, needed=reached)
    return filled


def _records(filled: Filled, table: str) -> list[dict[str, Any]]:
    records: list[dict[str, Any]] = filled.tables[table].to_dict("records")
    return records


def _taken(row: dict[str, Any]) -> list[tuple[str, float]]:
    """What one piece takes by eye, stock by stock."""
    return [(row[stock], row[amount]) for stock, amount in PAIRS if row[stock]]


def _cuts(filled: Filled, idea: str) -> list[dict[str, Any]]:
    return [each for each in _records(filled, "Idea cuts") if each["idea"] == idea]


class _Parts:
    """Parts and uses of a draft."""

    def __init__(self, definitions: Definitions, draft: Draft) -> None:
        self.settings, self.draft = definitions.settings, draft
        self.stock = {row["stock"]: row for row in definitions.cells("Stock")}
        self.finest = _FINEST[self.settings.units]
        self.number = 0

    def add(self, by_eye: list[tuple[str, float]], cuts: list[dict[str, Any]]) -> None:
        """Add what is cut, pieces with their size first, and what is used up."""
        for each in cuts:
            if isnan(each["length"]):
                by_eye.append((each["stock"], each["amount"]))
            else:
                self.pieces(each)
        uses: dict[str, float] = {}
        for stock, amount in by_eye:
            if self.stock[stock]["kind"] in WOOD:
                self.placeholders(stock, Fraction(amount).limit_denominator(10_000))
            else:
                uses[stock] = uses.get(stock, 0) + amount
        for stock, amount in uses.items():
            self.draft.add("Consumables", "a guess", stock=stock, basis="piece", amount=amount)

    def pieces(self, cut: dict[str, Any]) -> None:
        """Add pieces of one size, in layers where the stock is thinner."""
        layers = int(cut["layers"])
        size = [self.exact(cut[name]) for name in SIZE]
        glued = layers if layers > 1 else None
        self.part(-floor(-cut["amount"]), size, cut["stock"], "a guess", layers=glued)

    def placeholders(self, stock: str, share: Fraction) -> None:
        """Add a placeholder for whole boards, and one for a share of a board."""
        guess = f"a placeholder for {share} of a board, by eye; write the real parts"
        whole, rest = divmod(share, 1)
        size = self.section(stock)
        if whole:
            self.part(int(whole), size, stock, guess)
        if rest:
            self.part(1, self.share_of(size, stock, rest), stock, guess)

    def section(self, stock: str) -> list[Fraction]:
        """The size of the longest piece of a board's full section."""
        row, settings = self.stock[stock], self.settings
        thickness, width, length = (self.exact(row[name]) for name in SIZE)
        if row["kind"] == "lumber":
            length -= 2 * settings.end_trim + settings.kerf
        return [thickness, width, length]

    def share_of(self, size: list[Fraction], stock: str, share: Fraction) -> list[Fraction]:
        """So large a share of a board as fits it as often as the share says."""
        thickness, width, length = size
        settings, often = self.settings, floor(1 / share)
        lost = (often - 1) * settings.kerf
        is_lumber = self.stock[stock]["kind"] == "lumber"
        deepest = settings.deepest_cut
        if is_lumber and (length < settings.shortest_rip or (deepest and thickness > deepest)):
            return [thickness, width, self.fine(min(share * length, (length - lost) / often))]
        inside = width - 2 * settings.squaring if is_lumber else width
        return [thickness, self.fine(min(share * inside, (inside - lost) / often)), length]

    def part(
        self, make: int, size: list[Fraction], stock: str, guess: str, **more: int | None
    ) -> None:
        """Add a part."""
        self.number += 1
        cells: dict[str, Any] = dict(zip(SIZE, size, strict=True))
        cells |= {"part": f"part {self.number}", "make": make, "stocks": stock}
        self.draft.add("Cut list", guess, **cells, **more)

    def exact(self, value: Any) -> Fraction:
        """A length as the shop states it."""
        return Fraction(str(value)) if isinstance(value, float) else Fraction(value)

    def fine(self, length: Fraction) -> Fraction:
        """A length as fine as a tape shows, never longer, and never nothing."""
        return Fraction(max(floor(length * self.finest), 1), self.finest)
