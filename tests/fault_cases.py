"""Rows with a fault each: as cells of a sheet and, where files can say it, as a line of a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

DAY = date(2026, 5, 5)
P = "faulty"  # the project that all parts, uses and steps below belong to
PROJECT = """\
project: faulty
title: Faulty
batch: 1
asked: {}
parts:
  - {part: ok, make: 1, size: 3/4 x 5 1/2 x 20, from: [pine 1x6 8ft]}
  # Cut list
laid:
  - {surface: face, pattern: straight, width: 8, height: 8, strip: 1/2 x 2 x 8, from: [barn board]}
  # Laid surfaces
marks:
  - {on: ok, mark: fine, count: 1, first: 1}
  # Marks
uses:
  - {stock: wood glue, each: 1}
  # Consumables
steps:
  - {step: cut, setup: 1, minutes: 1}
  # Work steps
tools:
  - {tool: branding iron, uses: 1}
  # tools
"""
FILES: Mapping[str, tuple[str, str]] = {
    # by table: its file, and the line below which an entry is written
    "Channels": ("shop.yaml", "channels:"),
    "Tiers": ("shop.yaml", "tiers:"),
    "Ideas": ("ideas.yaml", "ideas:"),
    "Seen prices": ("projects/faulty.yaml", "seen:"),
    "Tool depreciation": ("tools.yaml", "tools:"),
    "Sales ledger": ("ledgers/sales.csv", ""),
    "Purchases": ("ledgers/purchases.csv", ""),
    "Next batches": ("ledgers/next_batches.csv", ""),
    "Production log": ("ledgers/production.csv", ""),
    "Selling days": ("ledgers/selling_days.csv", ""),
    "Mileage": ("ledgers/mileage.csv", ""),
    "Counts": ("ledgers/counts.csv", ""),
    "Money": ("ledgers/money.csv", ""),
    "Offcuts": ("ledgers/offcuts.csv", ""),
    "Statements": ("ledgers/statements.csv", ""),
    **{
        name: ("projects/faulty.yaml", f"  # {name}")
        for name in ("Cut list", "Laid surfaces", "Marks", "Consumables", "Work steps")
    },
}
BASE: Mapping[str, Mapping[str, Any]] = {
    "Channels": {"fee": 0.0, "fixed_fee": 0.0, "packaging": 0.0, "postage": 0.0},
    "Tiers": {"channel": "saturday market", "margin": 0.2, "least_quantity": 1.0},
    "Stock": {"kind": "hardware", "price": 1.0},
    "Ideas": {"batch": 1.0, "other": 1.0},
    "Idea cuts": {"idea": "key shelf", "stock": "pine 1x6 8ft", "amount": 1.0},
    "Projects": {"batch": 1.0},
    "Seen prices": {"where": "fair", "price": 9.0},
    "Cut list": {"project": P, "make": 1.0, "thickness": 0.75, "width": 2.0, "length": 9.0}
    | {"stocks": "pine 1x6 8ft"},
    "Laid surfaces": {"project": P, "pattern": "straight", "width": 8.0, "height": 8.0}
    | {"strip_thickness": 0.5, "strip_width": 2.0, "strip_length": 8.0, "stocks": "barn board"},
    "Consumables": {"project": P, "amount": 1.0},
    "Work steps": {"project": P, "setup": 1.0, "minutes": 1.0},
    "Pricing tiers": {"project": P, "asked": 3.0},
    "Marks": {"project": P, "part": "ok", "count": 1.0},
    "Tool depreciation": {"cost": 90.0, "in_service": date(2026, 3, 3), "wear": "per use"}
    | {"expected_uses": 9.0, "tax_method": "expensed", "business_share": 1.0},
    "Sales ledger": {"date": DAY, "project": "herb rail", "tier": "online", "quantity": 1.0}
    | {"price": 30.0},
    "Next batches": {"project": "peg board small", "can_sell": 4.0},
    "Purchases": {"date": DAY, "vendor": "v", "what": "w", "category": "supplies", "amount": 1.0}
    | {"ok": "yes"},
    "Production log": {"date": DAY, "project": "herb rail", "made": 1.0, "ok": "yes"},
    "Selling days": {"date": DAY, "channel": "web shop", "hours": 4.0},
    "Mileage": {"date": DAY, "purpose": "fair", "miles": 1.0, "ok": "yes"},
    "Counts": {"date": DAY, "stock": "wood glue", "quantity": 1.0, "value": 1.0},
    "Money": {"date": DAY, "account": "till", "what": "owner in", "amount": 9.0, "ok": "yes"},
    "Offcuts": {"stock": "pine 1x6 8ft", "thickness": 0.75, "width": 5.5, "length": 20.0}
    | {"count": 2.0},
    "Statements": {"channel": "web shop", "first": DAY, "last": DAY, "gross": 1.0, "ok": "yes"},
}


@dataclass(frozen=True)
class Case:
    """A row that has a fault: what differs from a good one, and how a file writes it."""

    table: str
    words: str
    column: str
    cells: Mapping[str, Any]
    written: str = ""
    says: str = ""  # in place of the words, where the values themselves are refused
    shows: str = ""  # a graver fault that the row has, too

    @property
    def row(self) -> dict[str, Any]:
        """The row's cells."""
        return {**BASE[self.table], **self.cells}

    def __str__(self) -> str:
        return f"{self.table}: {self.words} at {self.column}"


def case(
    table: str,
    words: str,
    column: str,
    written: str = "",
    says: str = "",
    shows: str = "",
    **cells: Any,
) -> Case:
    """A case, its cells by name."""
    return Case(table, words, column, cells, written, says, shows)


_WAYS = "fee: 0%, fixed_fee: 0, packaging: 0, postage: 0, collects_sales_tax: self}"
_BOARD = "size: 3/4 x 2 x 9, from: [pine 1x6 8ft]}"
_LAID = "pattern: straight, width: 8, height: 8, strip: 1/2 x 2 x 8, from: [barn board]}"
_TOOL = "{tool: %s, cost: 90, in_service: 2026-03-03, wear: per use, expected_uses: 9, "
_EXPENSED = _TOOL + "tax_method: expensed"
_SALE = "2026-05-05,%s,%s,%s,%s,%s,%s"
_SLIP = "2026-05-05,v,w,supplies,1"


_PEGS: Mapping[str, Any] = {"project": "peg board small", "tier": "trade"}
_BACK: Mapping[str, Any] = {"kind": "return", "quantity": -1.0, "return_of": "101"}


def _sale(words: str, column: str, written: str = "", **cells: Any) -> Case:
    return case("Sales ledger", words, column, written, **cells)


def _slip(words: str, column: str, written: str = "", **cells: Any) -> Case:
    return case("Purchases", words, column, written, **{"ok": None, **cells})


def _tool(words: str, column: str, name: str, more: str, **cells: Any) -> Case:
    written = f"{_EXPENSED % name}, {more}}}" if more else ""
    return case("Tool depreciation", words, column, written, tool=name, **cells)


def _all_but(size: str) -> dict[str, Any]:
    return {"length": 96.0} if size != "length" else {"thickness": 1.0, "width": 1.0}


def _packed(name: str, value: object) -> Case:
    cells: dict[str, Any] = {"stock": f"h-{name}", name: value}
    return case("Stock", "of no use here", name, **cells)


CASES: tuple[Case, ...] = (
    case("Channels", "twice", "channel", f"{{channel: web shop, {_WAYS}", channel="web shop"),
    case(
        "Channels",
        "named like its column",
        "channel",
        f"{{channel: Channel, {_WAYS}",
        channel="Channel",
    ),
    case("Tiers", "twice", "tier", "{tier: Online, channel: saturday market}", tier="Online"),
    case(
        "Tiers",
        "named like its column",
        "tier",
        "{tier: tier, channel: saturday market}",
        tier="tier",
    ),
    case(
        "Tiers",
        "no channel",
        "channel",
        "{tier: t1, channel: saturday markt}",
        tier="t1",
        channel="saturday markt",
    ),
    case("Tiers", "less than one", "least_quantity", tier="t2", least_quantity=0.5),
    case(
        "Tiers",
        "no margin left",
        "margin",
        "{tier: t3, channel: web shop, margin: 95%}",
        tier="t3",
        channel="web shop",
        margin=0.95,
    ),
    case(
        "Stock",
        "twice",
        "stock",
        "{stock: Wood glue, price: 1, pack: 1, unit: l}",
        stock="Wood glue",
    ),
    case("Ideas", "named like its column", "idea", "{idea: IDEA, other: 1}", idea="IDEA"),
    case("Ideas", "twice", "idea", "{idea: KEY SHELF, other: 1}", idea="KEY SHELF"),
    case(
        "Ideas",
        "no stock",
        "stock_1",
        "{idea: rail, cuts: [{from: pine 1x7, boards: 1}]}",
        idea="rail",
        stock_1="pine 1x7",
        amount_1=1.0,
    ),
    case("Ideas", "no amount", "amount_2", idea="peg", stock_2="wood glue"),
    case("Ideas", "of no use here", "amount_3", idea="sill", amount_3=1.0),
    case("Ideas", "no material", "idea", "{idea: nothing}", idea="nothing", other=None),
    case("Idea cuts", "no idea", "idea", idea="key shelves"),
    case("Idea cuts", "no stock", "stock", stock="pine 1x7"),
    case("Idea cuts", "no size", "width", thickness=0.5, length=9.0),
    case(
        "Idea cuts",
        "of no use here",
        "length",
        stock="wood glue",
        thickness=0.5,
        width=2.0,
        length=9.0,
    ),
    case("Stock", "named like its column", "stock", "{stock: STOCK, price: 1}", stock="STOCK"),
    *(
        case(
            "Stock",
            "no size",
            size,
            "" if size == "length" else f"{{stock: w-{size}, length: 96, price: 1}}",
            stock=f"w-{size}",
            kind="lumber",
            **_all_but(size),
        )
        for size in ("thickness", "width", "length")
    ),
    *(
        _packed(name, value)
        for name, value in (
            *(("thickness", 1.0), ("width", 1.0), ("length", 1.0), ("reclaimed", "yes")),
            *(("prep_minutes", 3.0), ("nominal", "2x4"), ("grain", "yes")),
        )
    ),
    case(
        "Stock",
        "of no use here",
        "covers",
        stock="b-covers",
        kind="panel",
        covers=1.0,
        covers_per=1.0,
        thickness=1.0,
        width=1.0,
        length=1.0,
    ),
    case(
        "Stock",
        "no covers per",
        "covers_per",
        "{stock: c1, price: 1, pack: 1, unit: l, covers: 5}",
        stock="c1",
        kind="consumable",
        covers=5.0,
    ),
    case(
        "Stock",
        "no covers",
        "covers",
        "{stock: c2, price: 1, pack: 1, unit: l, covers_per: 5}",
        stock="c2",
        kind="consumable",
        covers_per=5.0,
    ),
    case(
        "Projects",
        "twice",
        "project",
        "project: Peg board small\ntitle: T\nbatch: 1\nsteps: [{step: s, setup: 1, minutes: 1}]\n",
        project="Peg board small",
    ),
    case(
        "Projects",
        "named like its column",
        "project",
        "project: PROJECT\ntitle: T\nbatch: 1\nsteps: [{step: s, setup: 1, minutes: 1}]\n",
        project="PROJECT",
    ),
    case(
        "Projects",
        "no parts",
        "project",
        "project: bare\ntitle: T\nbatch: 1\nsteps: [{step: s, setup: 1, minutes: 1}]\n",
        project="bare",
    ),
    case("Projects", "no project", "made_from", project="copied", made_from="faulti"),
    case("Projects", "no steps", "project", shows="no parts", project="idle"),
    case("Seen prices", "no project", "project", project="strange"),
    case("Cut list", "no project", "project", project="strange", part="a"),
    case("Cut list", "twice", "part", f"{{part: Ok, make: 1, {_BOARD}", part="Ok"),
    case(
        "Cut list",
        "no stock",
        "stocks",
        "{part: p1, make: 1, size: 3/4 x 2 x 9, from: [pine 1x6]}",
        part="p1",
        stocks="pine 1x6",
    ),
    case(
        "Cut list",
        "no stock",
        "stocks",
        says="there is no stock 'pine 1x6 8ft, barn board'; semicolons stand between names;"
        " write pine 1x6 8ft; barn board",
        part="p3",
        stocks="pine 1x6 8ft, barn board",
    ),
    case(
        "Cut list",
        "cannot be cut into parts",
        "stocks",
        "{part: p2, make: 1, size: 3/4 x 2 x 9, from: [brass cup pull]}",
        part="p2",
        stocks="brass cup pull",
    ),
    case("Laid surfaces", "no project", "project", project="strange", surface="s"),
    case("Laid surfaces", "twice", "surface", f"{{surface: Face, {_LAID}", surface="Face"),
    case("Laid surfaces", "a part too", "surface", f"{{surface: ok, {_LAID}", surface="ok"),
    *(
        case(
            "Laid surfaces",
            words,
            "stocks",
            f"{{surface: {name}, {_LAID}".replace("barn board", stock),
            surface=name,
            stocks=stock,
        )
        for words, name, stock in (
            ("no stock", "s1", "barn bord"),
            ("cannot be cut into parts", "s2", "wood glue"),
        )
    ),
    case(
        "Consumables",
        "no project",
        "project",
        project="strange",
        stock="wood glue",
        basis="piece",
    ),
    case(
        "Consumables",
        "no stock",
        "stock",
        "{stock: wood glu, each: 1}",
        says="there is no stock 'wood glu'",
        stock="wood glu",
        basis="piece",
    ),
    case(
        "Consumables",
        "no tool",
        "tool",
        "tools {tool: brandin iron, uses: 1}",
        says="there is no tool 'brandin iron'",
        tool="brandin iron",
        basis="use",
    ),
    case("Consumables", "no stock", "stock", says="no stock; write one", basis="piece"),
    case(
        "Consumables",
        "stock and tool",
        "tool",
        stock="wood glue",
        tool="branding iron",
        basis="use",
    ),
    case(
        "Consumables",
        "wood is cut",
        "stock",
        "{stock: barn board, each: 1}",
        stock="barn board",
        basis="piece",
    ),
    case("Consumables", "no tool", "basis", stock="wood glue", basis="use"),
    case("Consumables", "not by a tool", "basis", tool="branding iron", basis="piece"),
    case(
        "Consumables",
        "other wear",
        "basis",
        "tools {tool: branding iron, hours: 1}",
        tool="branding iron",
        basis="hour",
    ),
    case(
        "Consumables",
        "no layers",
        "part",
        "{stock: clear coat, coats: 1, on: [ok], faces: glue}",
        stock="clear coat",
        basis="glue",
        part="ok",
    ),
    case(
        "Consumables",
        "no covers",
        "stock",
        "{stock: brass cup pull, coats: 1, on: [ok]}",
        stock="brass cup pull",
        basis="area",
        part="ok",
    ),
    case(
        "Consumables",
        "no part",
        "part",
        "{stock: clear coat, coats: 1}",
        says="no part; write the part",
        stock="clear coat",
        basis="area",
    ),
    case(
        "Consumables",
        "no part",
        "part",
        "{stock: wood glue, per_length: 1, along: [face]}",
        says="there is no part 'face'",
        stock="wood glue",
        basis="length",
        part="face",
    ),
    case(
        "Consumables",
        "no part",
        "part",
        "{stock: clear coat, coats: 1, on: [fase]}",
        says="there is no part 'fase'",
        stock="clear coat",
        basis="area",
        part="fase",
    ),
    case(
        "Consumables",
        "no part",
        "part",
        says="'ok, face' is a list; write a row for each of them",
        stock="clear coat",
        basis="area",
        part="ok, face",
    ),
    case("Consumables", "of no use here", "part", stock="brass cup pull", basis="piece", part="ok"),
    case(
        "Consumables",
        "of no use here",
        "faces",
        "{stock: brass cup pull, each: 1, faces: 1}",
        stock="brass cup pull",
        basis="piece",
        faces=1.0,
    ),
    case("Work steps", "no project", "project", project="strange", step="a"),
    case("Work steps", "twice", "step", "{step: Cut, setup: 1, minutes: 1}", step="Cut"),
    case("Pricing tiers", "no project", "project", project="strange", tier="online"),
    case("Pricing tiers", "no tier", "tier", "onlin", tier="onlin"),
    case("Pricing tiers", "twice", "tier", project="herb rail", tier="Online"),
    case("Marks", "no project", "project", project="strange", mark="m", first=1.0),
    case(
        "Marks",
        "no part",
        "part",
        "{on: okk, mark: m1, count: 1, first: 1}",
        says="there is no part 'okk'",
        mark="m1",
        part="okk",
        first=1.0,
    ),
    case(
        "Marks",
        "a single mark",
        "spread",
        "{on: ok, mark: m2, count: 1, spread: even, margin: 1}",
        mark="m2",
        spread="even",
        margin=1.0,
    ),
    case(
        "Marks",
        "no margin",
        "margin",
        "{on: ok, mark: m3, count: 2, spread: even}",
        mark="m3",
        count=2.0,
        spread="even",
    ),
    case("Marks", "no first", "first", "{on: ok, mark: m4, count: 1}", mark="m4"),
    case(
        "Marks",
        "no gap",
        "gap",
        "{on: ok, mark: m5, count: 2, first: 1}",
        mark="m5",
        count=2.0,
        first=1.0,
    ),
    case(
        "Marks",
        "of no use here",
        "margin",
        "{on: ok, mark: m6, count: 1, first: 1, margin: 1}",
        mark="m6",
        first=1.0,
        margin=1.0,
    ),
    case(
        "Marks",
        "of no use here",
        "first",
        "{on: ok, mark: m7, count: 2, spread: even, margin: 1, first: 1}",
        mark="m7",
        count=2.0,
        spread="even",
        margin=1.0,
        first=1.0,
    ),
    case(
        "Marks",
        "of no use here",
        "gap",
        "{on: ok, mark: m8, count: 2, spread: even, margin: 1, gap: 1}",
        mark="m8",
        count=2.0,
        spread="even",
        margin=1.0,
        gap=1.0,
    ),
    case(
        "Tool depreciation",
        "twice",
        "tool",
        _EXPENSED % "Branding iron" + "}",
        tool="Branding iron",
    ),
    case(
        "Tool depreciation", "named like its column", "tool", _EXPENSED % "tool" + "}", tool="tool"
    ),
    case(
        "Tool depreciation",
        "no uses",
        "expected_uses",
        (_EXPENSED % "t-uses").replace("expected_uses: 9, ", "") + "}",
        tool="t-uses",
        expected_uses=None,
    ),
    case(
        "Tool depreciation",
        "no hours",
        "life_hours",
        (_EXPENSED % "t-hours").replace("per use", "hours") + "}",
        tool="t-hours",
        wear="hours",
    ),
    *(
        _tool("more than it cost", amount, f"t-{amount}", f"{amount}: 99", **{amount: 99.0})
        for amount in ("salvage", "taken_before")
    ),
    case(
        "Tool depreciation",
        "more than it cost",
        "elected_179",
        _TOOL % "t-much" + "tax_method: section 179, elected_179: 99}",
        tool="t-much",
        tax_method="section 179",
        elected_179=99.0,
    ),
    _tool(
        "in service before it was acquired",
        "in_service",
        "t-early",
        "acquired: 2026-04-04",
        acquired=date(2026, 4, 4),
    ),
    _tool(
        "disposed before it was in service",
        "disposed",
        "t-gone",
        "disposed: 2026-02-02",
        disposed=date(2026, 2, 2),
    ),
    _tool("not under section 179", "elected_179", "t-elected", "elected_179: 9", elected_179=9.0),
    _tool("no day", "disposed", "t-sold", "disposed_for: 9", disposed_for=9.0),
    case(
        "Tool depreciation",
        "no life",
        "wear",
        tool="t-worn",
        tax_method="units of use",
        wear=None,
        expected_uses=None,
    ),
    case(
        "Tool depreciation",
        "no life",
        "life_years",
        _TOOL % "t-years" + "tax_method: straight line}",
        tool="t-years",
        tax_method="straight line",
    ),
    case(
        "Tool depreciation",
        "no class",
        "life_years",
        _TOOL % "t-class" + "tax_method: section 179, life_years: 4}",
        tool="t-class",
        tax_method="section 179",
        life_years=4.0,
    ),
    case(
        "Tool depreciation",
        "no rate",
        "tax_method",
        _TOOL % "t-rate" + "tax_method: bonus, acquired: 1990-01-01}",
        tool="t-rate",
        tax_method="bonus",
        acquired=date(1990, 1, 1),
    ),
    case(
        "Tool depreciation",
        "convention",
        "convention",
        _TOOL % "t-quarter" + "tax_method: macrs 7, convention: mid-quarter}",
        tool="t-quarter",
        tax_method="macrs 7",
        convention="mid-quarter",
    ),
    _tool(
        "in the mileage rate",
        "road_vehicle",
        "t-van",
        "road_vehicle: yes",
        road_vehicle="yes",
    ),
    _tool(
        "listed property",
        "road_vehicle",
        "t-van-sold",
        "road_vehicle: yes, disposed: 2026-10-10, disposed_for: 9",
        road_vehicle="yes",
        disposed=date(2026, 10, 10),
        disposed_for=9.0,
    ),
    case(
        "Tool depreciation",
        "road vehicle?",
        "road_vehicle",
        (_TOOL % "t-dear").replace("cost: 90", "cost: 9000") + "tax_method: macrs 5}",
        tool="t-dear",
        cost=9000.0,
        tax_method="macrs 5",
    ),
    case(
        "Tool depreciation",
        "no class of the form",
        "class_for_form",
        _TOOL % "t-life" + "tax_method: straight line, life_years: 5}",
        tool="t-life",
        tax_method="straight line",
        life_years=5.0,
    ),
    case("Sales ledger", "no number", "price", says="", receipt="n", price=None),
    case(
        "Sales ledger",
        "other year",
        "date",
        "2025-12-31,c1,herb rail,online,1,30",
        receipt="c1",
        date=date(2025, 12, 31),
    ),
    case(
        "Sales ledger",
        "no project",
        "project",
        "2026-05-05,c2,herb rial,online,1,30",
        receipt="c2",
        project="herb rial",
    ),
    case(
        "Sales ledger",
        "no tier",
        "tier",
        "2026-05-05,c3,herb rail,onlin,1,30",
        receipt="c3",
        tier="onlin",
    ),
    case(
        "Sales ledger",
        "wrong sign",
        "quantity",
        "2026-05-05,c4,herb rail,online,0,30",
        receipt="c4",
        quantity=0.0,
    ),
    case(
        "Sales ledger",
        "twice",
        "receipt",
        "2026-05-02,101,herb rail,market stall,1,32",
        receipt="101",
        tier="market stall",
    ),
    case(
        "Sales ledger",
        "before sale",
        "date",
        "2026-04-04,c5,herb rail,online,-1,30,return,,,101",
        receipt="c5",
        kind="return",
        quantity=-1.0,
        return_of="101",
        date=date(2026, 4, 4),
    ),
    case(
        "Sales ledger",
        "not so sold",
        "return_of",
        "2026-05-05,c6,peg board small,online,-9,30,return,,,102",
        receipt="c6",
        project="peg board small",
        kind="return",
        quantity=-9.0,
        return_of="102",
    ),
    case("Sales ledger", "incomplete", "receipt", says="a value is missing"),
    case(
        "Sales ledger",
        "no such kind",
        "kind",
        says="'gift' is not known",
        receipt="c7",
        kind="gift",
    ),
    case(
        "Sales ledger",
        "too low",
        "price",
        "2026-05-05,c8,herb rail,online,1,-5",
        says="-5 is too low; write 0 or more",
        receipt="c8",
        price=-5.0,
    ),
    case(
        "Sales ledger",
        "too much off",
        "discount",
        "2026-05-05,c9,herb rail,online,1,30,,,,,99",
        receipt="c9",
        discount=99.0,
    ),
    _sale("no price", "price", "2026-05-05,l1,herb rail,online,1,0", receipt="l1", price=0.0),
    _sale(
        "far above usual",
        "price",
        "2026-05-05,l2,herb rail,market stall,1,320",
        receipt="l2",
        tier="market stall",
        price=320.0,
    ),
    _sale(
        "far below usual",
        "price",
        "2026-05-05,l3,herb rail,market stall,1,3.2",
        receipt="l3",
        tier="market stall",
        price=3.2,
    ),
    _sale(
        "part of a piece",
        "quantity",
        "2026-05-06,l4,peg board small,trade,1.5,50",
        receipt="l4",
        **_PEGS,
        quantity=1.5,
        price=50.0,
        date=date(2026, 5, 6),
    ),
    _sale("no tax", "sales_tax", receipt="l5", tier="market stall", price=31.0),
    _sale("much tax", "sales_tax", receipt="l6", tier="market stall", sales_tax=28.0),
    _sale("tax has other sign", "sales_tax", receipt="l7", tier="trade", sales_tax=-1.0),
    _sale("fee below zero", "fee", receipt="l13", tier="trade", fee=-1.0, postage=3.0),
    _sale("fee above price", "fee", receipt="l8", tier="trade", fee=99.0, postage=3.0),
    _sale("refund too high", "price", receipt="l9", **_BACK, price=300.0),
    _sale(
        "tax refund too high",
        "sales_tax",
        receipt="l10",
        **{**_BACK, "return_of": "l5"},
        price=31.0,
        sales_tax=-2.0,
    ),
    _sale("deposit paid twice", "receipt", receipt="l11", **_PEGS, kind="deposit", price=10.0),
    *(
        case(table, "no such ok", "ok", says="'maybe' is not known", **{"ok": "maybe", **cells})
        for table, cells in (
            ("Sales ledger", {"receipt": "l12"}),
            *((name, dict[str, Any]()) for name in ("Purchases", "Production log", "Mileage")),
        )
    ),
    _slip("no amount", "amount", "2026-05-05,v,w,supplies,0", amount=0.0),
    _slip("typed twice", "amount"),
    _slip("fees twice", "category", "", category="fees", amount=7.0),
    _slip("postage twice", "category", "", category="postage", amount=7.5),
    _slip(
        "stock of no goods",
        "category",
        "2026-05-05,v,w,supplies,8.90,wood glue",
        stock="wood glue",
        amount=8.9,
    ),
    _slip("packs of what", "stock", "2026-05-05,v,w,supplies,6,,2", packs=2.0, amount=6.0),
    _slip(
        "other pack price",
        "packs",
        "2026-05-05,v,w,consumables,99,wood glue,1",
        category="consumables",
        stock="wood glue",
        packs=1.0,
        amount=99.0,
    ),
    _slip("whose cost", "tool", "2026-05-05,v,w,tools,5", category="tools", amount=5.0),
    case(
        "Production log",
        "none made",
        "made",
        "2026-05-05,herb rail,0",
        made=0.0,
        ok=None,
    ),
    case("Production log", "typed twice", "made", ok=None),
    case("Mileage", "no distance", "miles", "2026-05-05,fair,0", miles=0.0, ok=None),
    case(
        "Mileage",
        "far above usual",
        "miles",
        "2026-05-05,market and back,185",
        purpose="market and back",
        miles=185.0,
        ok=None,
    ),
    case("Mileage", "typed twice", "miles", ok=None),
    case("Counts", "other year", "date", "2025-05-05,wood glue,,1,1", date=date(2025, 5, 5)),
    *[case("Counts", "counted twice", "quantity", quantity=3.0, value=2.0, date=date(2026, 12, 31))]
    * 2,
    case(
        "Counts",
        "quantity off",
        "quantity",
        "2026-12-31,spruce 2x4 8ft,,99,99",
        stock="spruce 2x4 8ft",
        quantity=99.0,
        value=410.0,
        date=date(2026, 12, 31),
    ),
    case("Counts", "value off", "value", "2026-05-05,wood glue,,10,99", quantity=10.0, value=99.0),
    case("Purchases", "other year", "date", f"2025-05-05{_SLIP[10:]}", date=date(2025, 5, 5)),
    case(
        "Purchases",
        "no category",
        "category",
        _SLIP.replace("supplies", "lumber"),
        category="lumber",
    ),
    case("Purchases", "no stock", "stock", _SLIP + ",glue", stock="glue"),
    case("Purchases", "no tool", "tool", _SLIP + ",,,iron", tool="iron"),
    case("Purchases", "incomplete", "what", says="a value is missing", what=None),
    case(
        "Purchases",
        "too low",
        "packs",
        _SLIP + ",wood glue,-1",
        says="-1 is too low",
        stock="wood glue",
        packs=-1.0,
    ),
    case(
        "Production log",
        "other year",
        "date",
        "2025-05-05,herb rail,1",
        date=date(2025, 5, 5),
    ),
    case("Production log", "no project", "project", "2026-05-05,herb,1", project="herb"),
    case("Production log", "too many", "spoiled", "2026-05-05,herb rail,1,2", spoiled=2.0),
    case("Production log", "incomplete", "made", says="a value is missing", made=None),
    case("Production log", "no such offcuts", "offcuts", says="'yes' is not known", offcuts="yes"),
    case(
        "Production log",
        "too low",
        "minutes",
        "2026-05-05,herb rail,1,0,-3",
        says="-3 is too low",
        minutes=-3.0,
    ),
    case(
        "Selling days",
        "other year",
        "date",
        "2025-05-05,web shop,4",
        date=date(2025, 5, 5),
    ),
    case("Selling days", "no channel", "channel", "2026-05-06,webshop,4", channel="webshop"),
    case(
        "Selling days",
        "twice",
        "channel",
        "2026-05-02,saturday market,6",
        date=date(2026, 5, 2),
        channel="saturday market",
    ),
    case("Selling days", "incomplete", "channel", says="a value is missing", channel=None),
    case(
        "Selling days",
        "too low",
        "hours",
        "2026-05-07,web shop,-3",
        says="-3 is too low",
        date=date(2026, 5, 7),
        hours=-3.0,
    ),
    case(
        "Purchases",
        "no channel",
        "channel",
        channel="webshop",
    ),
    case("Mileage", "no channel", "channel", channel="webshop"),
    case("Mileage", "other year", "date", "2025-05-05,fair,1", date=date(2025, 5, 5)),
    case(
        "Mileage",
        "no rate",
        "date",
        "1990-05-05,fair,1",
        shows="other year",
        date=date(1990, 5, 5),
    ),
    case("Mileage", "incomplete", "purpose", says="a value is missing", purpose=None),
    case("Mileage", "too low", "miles", "2026-05-05,fair,-2", says="-2 is too low", miles=-2.0),
    case("Next batches", "no project", "project", "herb,4,", project="herb"),
    case("Next batches", "twice", "project", "herb rail,4,", project="herb rail"),
    case("Counts", "no stock", "stock", "2026-05-05,glue,,1,1", stock="glue"),
    case("Counts", "no project", "project", "2026-05-05,,herb,1,1", stock=None, project="herb"),
    case("Counts", "stock or project", "stock", "2026-05-05,,,1,1", stock=None),
    case(
        "Counts",
        "other stage",
        "stage",
        "2026-05-05,wood glue,,1,1,finished",
        stage="finished",
    ),
    case("Counts", "incomplete", "quantity", says="a value is missing", quantity=None),
    case("Counts", "no such stage", "stage", says="'cut' is not known", stage="cut"),
    case(
        "Counts",
        "too low",
        "quantity",
        "2026-05-05,wood glue,,-1,1",
        says="-1 is too low",
        quantity=-1.0,
    ),
    case("Offcuts", "no stock", "stock", "pine 1x6,3/4,5 1/2,20,2", stock="pine 1x6"),
    case("Offcuts", "no wood", "stock", "wood glue,3/4,5 1/2,20,2", stock="wood glue"),
    case("Offcuts", "incomplete", "length", says="a value is missing", length=None),
    case("Offcuts", "too low", "count", "pine 1x6 8ft,3/4,5 1/2,20,-2", says="-2", count=-2.0),
    case(
        "Offcuts",
        "over its stock's thickness",
        "thickness",
        "pine 1x6 8ft,1,5 1/2,20,2",
        thickness=1.0,
    ),
    case("Offcuts", "over its stock's width", "width", "pine 1x6 8ft,3/4,6,20,2", width=6.0),
    case("Offcuts", "over its stock's length", "length", "pine 1x6 8ft,3/4,5,99,2", length=99.0),
    case("Money", "other year", "date", "2025-05-05,till,owner in,9", date=date(2025, 5, 5)),
    case("Money", "to which account", "to", "2026-05-05,till,transfer,9", what="transfer"),
    case("Money", "to itself", "to", what="transfer", to="till"),
    *[
        case(
            "Money",
            "opened twice",
            "what",
            "2026-05-05,safe,opening,9",
            account="safe",
            what="opening",
        )
    ]
    * 2,
    *[
        case(
            "Money",
            "closed twice",
            "what",
            "2026-05-06,safe,closing,9",
            account="safe",
            what="closing",
        )
    ]
    * 2,
    case(
        "Money",
        "not closed",
        "account",
        "2026-05-06,bank,opening,9",
        account="bank",
        what="opening",
    ),
    case(
        "Money",
        "not opened",
        "account",
        "2026-05-04,crate,closing,9",
        account="crate",
        what="closing",
        ok=None,
    ),
    case("Money", "no amount", "amount", "2026-05-05,till,owner in,0", amount=0.0, ok=None),
    *[case("Money", "typed twice", "amount", account="tin", ok=None)] * 2,
    case("Money", "no such ok", "ok", says="'fine' is not known", ok="fine"),
    case("Money", "incomplete", "account", says="a value is missing", account=None),
    case("Money", "no such what", "what", says="'float' is not known", what="float"),
    case("Money", "below zero", "amount", "2026-05-05,till,owner in,-9", amount=-9.0),
    case(
        "Statements",
        "no channel",
        "channel",
        "webshop,2026-05-05,2026-05-05,1",
        channel="webshop",
    ),
    case(
        "Statements",
        "ends too early",
        "last",
        "web shop,2026-05-05,2026-04-04,1",
        last=date(2026, 4, 4),
    ),
    case("Statements", "typed twice", "gross", ok=None),
    case(
        "Statements",
        "days twice",
        "first",
        "saturday market,2026-05-01,2026-05-09,1",
        channel="saturday market",
        first=date(2026, 5, 1),
        last=date(2026, 5, 9),
        ok=None,
    ),
    case(
        "Statements",
        "days twice",
        "first",
        "saturday market,2026-05-09,2026-05-19,1",
        channel="saturday market",
        first=date(2026, 5, 9),
        last=date(2026, 5, 19),
        ok=None,
    ),
    case("Statements", "no such ok", "ok", says="'fine' is not known", ok="fine"),
    case("Statements", "incomplete", "gross", says="a value is missing", gross=None),
    case(
        "Statements",
        "too low",
        "gross",
        "web shop,2026-05-05,2026-05-05,-1",
        says="-1 is too low",
        gross=-1.0,
    ),
)
