"""Cut plan and the table Yield: what the planner found at compile."""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.language.value_kinds import Kind
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import computed, planned
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.settings import setting
from notchbook.sheets.kit.show import Look

_LETTER = Look(Kind.TEXT, "text", 8)
_SENTENCE = Look(Kind.TEXT, "text", 92, wrap=True)

CUT_PLAN = table(
    "Cut plan",
    None,
    planned("project", show.NAME, "the project at its batch size"),
    planned("units", show.COUNT, "the batch that was planned", header="for units"),
    planned(
        "kind",
        show.WORD,
        "get; how good the plan is; near miss, what a little less of a part would save; cut, step,"
        " safety or keep: filter for what you want",
        header="what",
    ),
    planned("step", show.COUNT, "do the steps in this order"),
    planned(
        "setting", show.LENGTH, "where the fence or the stop stands", header="set to ({length})"
    ),
    planned("says", _SENTENCE, "sizes as the shop shows them; ~ is rounded", header="what to do"),
    planned("board", _LETTER, "boards of one letter are cut alike"),
    planned("stock", show.NAME, "the board or sheet"),
    planned("count", show.COUNT, "how many are cut so", header="boards"),
    planned("on_hand", show.COUNT, "how many of them are there already"),
    planned("blank", show.COUNT, "blanks of one number are alike"),
    planned(
        "blanks", show.COUNT, "how many of them come out of each board", header="blanks a board"
    ),
    planned("blank_length", show.LENGTH, "the length of the blank", header="blank ({length})"),
    planned("thickness", show.LENGTH, "as ripped", header="strip thickness ({length})"),
    planned("width", show.LENGTH, "as ripped", header="strip width ({length})"),
    planned("across", show.LENGTH, "where it lies across the width"),
    planned("up", show.LENGTH, "where it lies across the thickness"),
    planned("turned", show.WORD, "turned: the strip stands on its edge in the board"),
    planned("part", show.NAME, "what is crosscut from it"),
    planned("length", show.LENGTH, "its length", header="piece ({length})"),
    planned("pieces", show.COUNT, "how many in this strip, or alike on this sheet"),
    computed(
        "state",
        show.WORD,
        when(
            x.look_up("Projects", "batch", project=this.project).differs(this.units),
            "other batch",
            x.look_up("Projects", "stale", project=this.project, otherwise=""),
        ),
        "other batch: the batch on Projects is another one now; stale: parts changed.",
    ),
    capacity=5_000,
    prints_to="says",
    workings=(
        *("board", "stock", "count", "on_hand", "blank", "blanks", "blank_length", "thickness"),
        *("width", "across", "up", "turned", "part", "length", "pieces"),
    ),
)


def cost_of_wood(
    boards: x.Expression, offcut_boards: x.Expression, each: x.Expression
) -> x.Expression:
    """What boards cost, without their usable offcuts where Settings say so."""
    return (boards - when(setting.offcuts.equals("share"), offcut_boards, 0)) * each


YIELD = table(
    "Yield",
    None,
    planned("project", show.NAME, "the project"),
    planned("stock", show.NAME, "a stock it is cut from"),
    planned("units", show.COUNT, "for so many units"),
    planned("boards", show.COUNT, "boards or sheets, as if nothing were on hand"),
    planned("offcut_boards", show.AMOUNT, "by volume", header="usable offcuts (boards)"),
    computed("unit_boards", show.AMOUNT, this.boards / this.units, header="boards a unit"),
    computed("each", show.RATE, x.look_up("Stock", "each", stock=this.stock)),
    computed("cost", show.MONEY, this.boards * this.each, header="boards cost"),
    computed(
        "wood_cost",
        show.MONEY,
        cost_of_wood(this.boards, this.offcut_boards, this.each),
        header="cost of stock used",
    ),
    computed(
        "prep_minutes",
        show.MINUTES,
        this.boards * x.look_up("Stock", "prep_minutes", stock=this.stock),
        header="preparation (min)",
    ),
    computed(
        "enough",
        show.WORD,
        when(
            x.look_up("Stock", "reclaimed", stock=this.stock, otherwise="").equals("yes")
            & (this.boards > x.look_up("Stock", "there_now", stock=this.stock)),
            "not enough",
            "",
        ),
        "Reclaimed stock cannot be bought.",
    ),
    capacity=10_000,
    workings=("unit_boards", "each"),
)

SHEET = Sheet(
    "Cut plan",
    "How the batch of each project is cut, and the steps at the saw. Filter for your project;"
    " notchbook cuts prints the same with drawings.",
    (CUT_PLAN,),
    after="Months and channels",
    group="output",
)
