"""Shop sheets: one sheet a project, to take to the saw."""

from __future__ import annotations

from notchbook.language.expressions import (
    Expression,
    greatest,
    look_up,
    rounded,
    this,
    total,
    when,
    where,
)
from notchbook.sheets.kit.declare import (
    AMOUNT,
    BOX,
    CHECKSUM,
    COUNT,
    LENGTH,
    LINE,
    MINUTES,
    MONEY,
    NAME,
    PERCENT,
    TEXT,
    WORD,
    Drawings,
    Sheet,
    computed,
    planned,
    table,
)

LABEL_COLUMN = 2
"""The column of a shop sheet that holds what a row is about."""
_READ_NOW = total(
    "Readings",
    "at",
    where("row", "=", this("row")),
    where("number", ">=", this("first")),
    where("number", "<=", this("last")),
)
_READ = "centres, or both edges of each"
_BOX = planned("box", "tick", BOX, "to tick with a pencil")
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
    computed(
        "longest",
        "longest part ({length})",
        LENGTH,
        greatest("Cut list", "length", where("project", "=", this("project"))),
    ),
    computed("minutes", "minutes a unit", MINUTES, _project("minutes")),
    computed("unit_cost", "unit cost", MONEY, _project("unit_cost")),
    computed("outlay", "outlay for the batch", MONEY, _project("outlay")),
    computed("plan", "plan state", WORD, _project("stale", "")),
    split="project",
    grid=(2, 4, 5, 6, 7, 8, 9),
)
DRAWINGS = Drawings("Shop drawings")
PARTS = table(
    "Shop parts",
    None,
    _PROJECT,
    _BOX,
    planned("part", "cut list", NAME, "a part, or the strips of a laid surface"),
    planned("key", "key", WORD, "the letter that stands for it in the drawings"),
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
    planned("ends", "ends", TEXT, "how the ends are cut, and where the short edge stops"),
    planned("stocks", "cut from", TEXT, "the stocks it may be cut from"),
    split="project",
    grid=(1, 2, 3, 4, 5, 6, 7, 8, 9),
)
STOCK = table(
    "Shop stock",
    None,
    _PROJECT,
    _BOX,
    planned("stock", "have at hand", NAME, "what is used"),
    computed("need", "for the batch", AMOUNT, _mine("Material takeoff", "need", "stock")),
    computed("unit", "unit", WORD, look_up("Stock", "unit", stock=this("stock"), otherwise="")),
    computed("to_buy", "packs to buy", COUNT, _mine("Material takeoff", "to_buy", "stock")),
    split="project",
    grid=(1, LABEL_COLUMN, 4, 5, 6),
)
SAW = table(
    "Shop saw",
    None,
    _PROJECT,
    _BOX,
    planned("says", "saw settings, in this order", LINE, "as planned; hatched wood is left over"),
    split="project",
    grid=(1, LABEL_COLUMN),
)
STEPS = table(
    "Shop steps",
    None,
    _PROJECT,
    _BOX,
    planned("step", "all the work, in this order", LINE, "as on Work steps"),
    computed("minutes", "batch (min)", MINUTES, _mine("Work steps", "batch_minutes", "step")),
    split="project",
    grid=(1, LABEL_COLUMN, 9),
)
COST = table(
    "Shop cost",
    None,
    _PROJECT,
    computed("unit_cost", "cost of one", MONEY, _project("unit_cost")),
    computed("material", "material", MONEY, _project("material")),
    computed("hardware", "hardware", MONEY, _project("hardware")),
    computed("tools", "tool wear", MONEY, _project("tools")),
    computed("labor", "labor", MONEY, _project("labor")),
    computed("consumables", "consumables", MONEY, _project("consumables")),
    computed("overhead", "overhead", MONEY, _project("overhead")),
    split="project",
    grid=(LABEL_COLUMN, 4, 5, 6, 7, 8, 9),
)
PRICES = table(
    "Shop prices",
    None,
    _PROJECT,
    planned("tier", "prices by tier", NAME, "the kind of price"),
    computed("price", "price", MONEY, _mine("Pricing tiers", "price", "tier")),
    computed("profit", "profit", MONEY, _mine("Pricing tiers", "profit", "tier")),
    computed("margin", "margin", PERCENT, _mine("Pricing tiers", "margin", "tier")),
    computed("per_hour", "earned an hour", MONEY, _mine("Pricing tiers", "per_hour", "tier")),
    split="project",
    grid=(LABEL_COLUMN, 4, 5, 6, 7),
)
CAUTIONS = table(
    "Shop cautions",
    None,
    _PROJECT,
    planned("caution", "mind", LINE, "named by the project, and what its work asks for"),
    split="project",
    grid=(LABEL_COLUMN,),
)
MARKS = table(
    "Shop marks",
    None,
    _PROJECT,
    _BOX,
    planned("readings", "marks: hook the tape on one end and read all from there", LINE, _READ),
    planned("part", "part", NAME, "the part that is marked"),
    planned("mark", "mark", WORD, "what is marked"),
    planned("row", "row", COUNT, "the row of marks, by its number on Marks"),
    planned("first", "from mark", COUNT, "the first mark of this line"),
    planned("last", "to mark", COUNT, "the last mark of this line"),
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
    grid=(1, LABEL_COLUMN, *range(11, 17), 9),  # what the state is found by stands off the page
)
SHEET = Sheet(
    "Shop sheet",
    "Tick off as you go. Hatched wood is left over. Machines' manuals and local codes have the last"
    " word.",
    (HEAD, DRAWINGS, PARTS, STOCK, SAW, MARKS, STEPS, CAUTIONS, COST, PRICES),
    group="output",
    grid=(5.5, 20.0, 5.0, 8.5, 9.5, 9.5, 9.5, 16.5, 18.5),
)
