"""Shop sheets: one sheet a project, to take to the saw."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Drawings, Sheet, table

LABEL_COLUMN = 2
"""The column of a shop sheet that holds what a row is about."""
_READ_NOW = x.total(
    "Readings",
    "at",
    x.where("row", "=", this.row),
    x.where("number", ">=", this.first),
    x.where("number", "<=", this.last),
)
_READ = "the center, or both edges, of each"
_BOX = planned("box", show.BOX, "to tick with a pencil", header="tick")
_PROJECT = planned("project", show.NAME, "the project of this sheet")


def _project(column: str, otherwise: int | str = 0) -> x.Expression:
    return x.look_up("Projects", column, project=this.project, otherwise=otherwise)


def _mine(table_name: str, column: str, own: str, key: str | None = None) -> x.Expression:
    mine = x.where("project", "=", this.project)
    return x.total(table_name, column, mine, x.where(key or own, "=", this(own)))


def _cut(side: str, in_one: str = "") -> x.Expression:
    """What a piece measures when it is cut: of layers a share, and what is planed off later."""
    size = _mine("Cut list", side, "part")
    if in_one:
        size = size / x.call("MAX", _mine("Cut list", in_one, "part"), 1)
    return size + _mine("Cut list", f"over_{side}", "part")


HEAD = table(
    "Shop head",
    None,
    _PROJECT,
    computed("title", show.TEXT, _project("title", ""), header="description"),
    computed("batch", show.COUNT, _project("batch")),
    computed(
        "longest",
        show.LENGTH,
        x.greatest("Cut list", "length", x.where("project", "=", this.project)),
        header="longest ({length})",
    ),
    computed("minutes", show.MINUTES, _project("minutes"), header="minutes each"),
    computed(
        "batch_minutes",
        show.MINUTES,
        _project("minutes") * _project("batch"),
        "As typed on Work steps, with what it takes to prepare boards.",
        header="batch (min)",
    ),
    computed("plan", show.WORD, _project("stale", ""), header="plan state"),
    split="project",
    grid=(2, 4, 5, 6, 7, 8),
    workings=("plan",),  # tells nothing on paper
)
DRAWINGS = Drawings("Shop drawings")
PARTS = table(
    "Shop parts",
    None,
    _PROJECT,
    _BOX,
    planned("part", show.NAME, "a part, or the strips of a laid surface", header="cut list"),
    planned("key", show.WORD, "the letter that stands for it in the drawings"),
    computed(
        "pieces",
        show.COUNT,
        _mine("Cut list", "pieces", "part")
        + _mine("Laid surfaces", "batch_strips", "part", "surface"),
        "For the whole batch.",
    ),
    computed(
        "thickness",
        show.LENGTH,
        _cut("thickness", "in_one") + _mine("Laid surfaces", "strip_thickness", "part", "surface"),
    ),
    computed(
        "width",
        show.LENGTH,
        _cut("width") + _mine("Laid surfaces", "strip_width", "part", "surface"),
    ),
    computed(
        "length",
        show.LENGTH,
        _cut("length") + _mine("Laid surfaces", "strip_length", "part", "surface"),
    ),
    planned("ends", show.TEXT, "how the ends are cut, and where the short edge stops"),
    planned("stocks", show.TEXT, "the stocks it may be cut from", header="cut from"),
    split="project",
    grid=(1, 2, 3, 4, 5, 6, 7, 8, 9),
)
STOCK = table(
    "Shop stock",
    None,
    _PROJECT,
    _BOX,
    planned("stock", show.NAME, "what is used", header="gather before you start"),
    computed(
        "need", show.AMOUNT, _mine("Material takeoff", "need", "stock"), header="for the batch"
    ),
    computed("unit", show.WORD, x.look_up("Stock", "unit", stock=this.stock, otherwise="")),
    computed(
        "to_buy", show.COUNT, _mine("Material takeoff", "to_buy", "stock"), header="packs to buy"
    ),
    planned(
        "from_one",
        show.WORD,
        "the most units whose parts of this stock fit one board; *perhaps* where more are not"
        " ruled out",
        header="from one board",
    ),
    split="project",
    grid=(1, LABEL_COLUMN, 4, 5, 6, 8),
)
SAW = table(
    "Shop saw",
    None,
    _PROJECT,
    _BOX,
    planned(
        "says",
        show.LINE,
        "as planned",
        header="saw setup and cuts, in order",
    ),
    split="project",
    grid=(1, LABEL_COLUMN),
)
STEPS = table(
    "Shop steps",
    None,
    _PROJECT,
    _BOX,
    planned("step", show.LINE, "as on Work steps", header="all steps, in order"),
    computed(
        "minutes", show.MINUTES, _mine("Work steps", "batch_minutes", "step"), header="batch (min)"
    ),
    split="project",
    grid=(1, LABEL_COLUMN, 9),
)
COST = table(
    "Shop cost",
    None,
    _PROJECT,
    computed("unit_cost", show.MONEY, _project("unit_cost"), header="cost of one piece"),
    computed("material", show.MONEY, _project("material")),
    computed("tools", show.MONEY, _project("tools"), header="tool wear"),
    computed("labor", show.MONEY, _project("labor")),
    computed("overhead", show.MONEY, _project("overhead")),
    computed(
        "supplies",
        show.MONEY,
        _project("hardware") + _project("consumables"),
        "Hardware, glue, finish and the like.",
    ),
    computed("spoilage_cost", show.MONEY, _project("spoilage_cost"), header="spoiled pieces"),
    split="project",
    grid=(LABEL_COLUMN, 4, 5, 6, 7, 8, 9),
)
CASH = table(
    "Shop cash",
    None,
    _PROJECT,
    computed("outlay", show.MONEY, _project("outlay"), header="cash to buy what is missing"),
    split="project",
    grid=(LABEL_COLUMN,),
)
PRICES = table(
    "Shop prices",
    None,
    _PROJECT,
    planned("tier", show.NAME, "the kind of price", header="prices by tier"),
    computed("price", show.MONEY, _mine("Pricing tiers", "price", "tier")),
    computed("profit", show.MONEY, _mine("Pricing tiers", "profit", "tier")),
    computed("margin", show.PERCENT, _mine("Pricing tiers", "margin", "tier")),
    computed(
        "per_hour", show.MONEY, _mine("Pricing tiers", "per_hour", "tier"), header="earned an hour"
    ),
    split="project",
    grid=(LABEL_COLUMN, 4, 5, 6, 7),
)
CAUTIONS = table(
    "Shop cautions",
    None,
    _PROJECT,
    planned(
        "caution", show.LINE, "named by the project, and what its work asks for", header="safety"
    ),
    split="project",
    grid=(LABEL_COLUMN,),
)
MARKS = table(
    "Shop marks",
    None,
    _PROJECT,
    _BOX,
    planned(
        "readings",
        show.LINE,
        _READ,
        header="marks: measure them all from one end",
    ),
    planned("part", show.NAME, "the part that is marked"),
    planned("mark", show.WORD, "what is marked"),
    planned("row", show.COUNT, "the row of marks, by its number on Marks"),
    planned("first", show.COUNT, "the first mark of this line", header="from mark"),
    planned("last", show.COUNT, "the last mark of this line", header="to mark"),
    planned("reading_sum", show.CHECKSUM, "as read at compile", header="sum of the readings"),
    computed(
        "state",
        show.WORD,
        when(x.rounded(_READ_NOW - this.reading_sum, 6).equals(0), "", "changed"),
        "changed: compile again, or read them on Marks.",
    ),
    split="project",
    grid=(1, LABEL_COLUMN, *range(11, 17), 9),  # what the state is found by stands off the page,
    workings=("row", "first", "last", "reading_sum", "state"),
)
SHEET = Sheet(
    "Shop sheet",
    "Tick off as you go. Machines' manuals and local codes have the last word.",
    (HEAD, DRAWINGS, PARTS, STOCK, SAW, MARKS, STEPS, CAUTIONS, COST, CASH, PRICES),
    after="Tax tables",
    group="output",
    grid=(5.5, 20.0, 5.0, 8.5, 9.5, 9.5, 9.5, 16.5, 18.5),
)
