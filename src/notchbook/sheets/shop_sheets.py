"""Shop sheets: one sheet a project, to take to the saw."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    look_up,
    rounded,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.declare import (
    AMOUNT,
    CHECKSUM,
    COUNT,
    LABEL,
    LENGTH,
    MINUTES,
    MONEY,
    NAME,
    TEXT,
    WORD,
    Sheet,
    computed,
    planned,
    table,
)

_READ_NOW = total(
    "Readings",
    "at",
    where("row", "=", this("row")),
    where("number", ">=", this("first")),
    where("number", "<=", this("last")),
)
_PROJECT = planned("project", "project", NAME, "the project of this sheet")


def _project(column: str, otherwise: int | str = 0) -> Expression:
    return look_up("Projects", column, project=this("project"), otherwise=otherwise)


def _mine(table_name: str, column: str, own: str, key: str | None = None) -> Expression:
    mine = where("project", "=", this("project"))
    return total(table_name, column, mine, where(key or own, "=", this(own)))


HEAD = table(
    "Shop head",
    None,
    _PROJECT,
    computed("title", "what it is", TEXT, _project("title", "")),
    computed("batch", "batch", COUNT, _project("batch")),
    computed("minutes", "minutes a unit", MINUTES, _project("minutes")),
    computed("unit_cost", "unit cost", MONEY, _project("unit_cost")),
    computed("outlay", "outlay for the batch", MONEY, _project("outlay")),
    computed("plan", "plan state", WORD, _project("stale", "")),
    split="project",
)
PARTS = table(
    "Shop parts",
    None,
    _PROJECT,
    planned("part", "part", NAME, "a part, or the strips of a laid surface"),
    computed(
        "pieces",
        "pieces",
        COUNT,
        _mine("Cut list", "pieces", "part")
        + _mine("Laid surfaces", "batch_strips", "part", "surface"),
        "For the whole batch.",
    ),
    computed(
        "thickness",
        "thickness ({length})",
        LENGTH,
        _mine("Cut list", "thickness", "part")
        + _mine("Laid surfaces", "strip_thickness", "part", "surface"),
    ),
    computed(
        "width",
        "width ({length})",
        LENGTH,
        _mine("Cut list", "width", "part")
        + _mine("Laid surfaces", "strip_width", "part", "surface"),
    ),
    computed(
        "length",
        "length ({length})",
        LENGTH,
        _mine("Cut list", "length", "part")
        + _mine("Laid surfaces", "strip_length", "part", "surface"),
    ),
    planned("ends", "ends", LABEL, "how the ends are cut"),
    planned("stocks", "cut from", TEXT, "the stocks it may be cut from"),
    split="project",
)
STOCK = table(
    "Shop stock",
    None,
    _PROJECT,
    planned("stock", "stock", NAME, "what is used"),
    computed("need", "for the batch", AMOUNT, _mine("Material takeoff", "need", "stock")),
    computed("to_buy", "packs to buy", COUNT, _mine("Material takeoff", "to_buy", "stock")),
    split="project",
)
STEPS = table(
    "Shop steps",
    None,
    _PROJECT,
    planned("step", "step", TEXT, "in this order"),
    computed("minutes", "batch (min)", MINUTES, _mine("Work steps", "batch_minutes", "step")),
    split="project",
)
PRICES = table(
    "Shop prices",
    None,
    _PROJECT,
    planned("tier", "tier", NAME, "the kind of price"),
    computed("price", "price", MONEY, _mine("Pricing tiers", "price", "tier")),
    computed("profit", "profit", MONEY, _mine("Pricing tiers", "profit", "tier")),
    split="project",
)
CAUTIONS = table(
    "Shop cautions",
    None,
    _PROJECT,
    planned("caution", "caution", NAME, "what to mind"),
    split="project",
)
MARKS = table(
    "Shop marks",
    None,
    _PROJECT,
    planned("part", "part", NAME, "the part that is marked"),
    planned("mark", "mark", WORD, "what is marked"),
    planned("row", "row", COUNT, "the row of marks, by its number on Marks"),
    planned("first", "from mark", COUNT, "the first mark of this line"),
    planned("last", "to mark", COUNT, "the last mark of this line"),
    planned("readings", "read on the tape from one end", TEXT, "centres, or both edges of each"),
    planned("reading_sum", "sum of the readings", CHECKSUM, "as read at compile"),
    computed(
        "state",
        "state",
        WORD,
        when(
            rounded(_READ_NOW - this("reading_sum"), 6).equals(0),
            "",
            "changed",
        ),
        "changed: compile again, or read them on Marks.",
    ),
    split="project",
)
SHEET = Sheet(
    "Shop sheet",
    "Tick off as you go. Measure twice; the maker of your machines and your local codes have the"
    " last word on safety.",
    (HEAD, PARTS, STOCK, MARKS, STEPS, PRICES, CAUTIONS),
    group="output",
)
