"""Cut plan and the table Yield: what the planner found at compile."""

from __future__ import annotations

from notchbook.language.expressions import Expression, Kind, call, look_up, this, when
from notchbook.sheets.kit.declare import (
    AMOUNT,
    COUNT,
    LENGTH,
    MINUTES,
    MONEY,
    NAME,
    RATE,
    WORD,
    Look,
    Sheet,
    computed,
    planned,
    table,
)
from notchbook.sheets.kit.settings import setting

_LETTER = Look(Kind.TEXT, "text", 8)
_SENTENCE = Look(Kind.TEXT, "text", 92, wrap=True)

CUT_PLAN = table(
    "Cut plan",
    None,
    planned("project", "project", NAME, "the project at its batch size"),
    planned("units", "for units", COUNT, "the batch that was planned"),
    planned("kind", "row", WORD, "get, bound, cut, step, care or keep; filter for what you want"),
    planned("step", "step", COUNT, "do the steps in this order"),
    planned("setting", "set to ({length})", LENGTH, "where the fence or the stop stands"),
    planned("says", "what to do", _SENTENCE, "sizes as the shop shows them; ~ is rounded"),
    planned("board", "board", _LETTER, "boards of one letter are cut alike"),
    planned("stock", "stock", NAME, "the board or sheet"),
    planned("count", "boards", COUNT, "how many are cut so"),
    planned("on_hand", "on hand", COUNT, "how many of them are there already"),
    planned("blank", "blank", COUNT, "blanks of one number are alike"),
    planned("blanks", "blanks a board", COUNT, "how many of them come out of each board"),
    planned("blank_length", "blank ({length})", LENGTH, "the length of the blank"),
    planned("thickness", "strip thickness ({length})", LENGTH, "as ripped"),
    planned("width", "strip width ({length})", LENGTH, "as ripped"),
    planned("across", "across ({length})", LENGTH, "where it lies across the width or the sheet"),
    planned("up", "up ({length})", LENGTH, "where it lies across the thickness or along the sheet"),
    planned("turned", "turned", WORD, "turned: the strip stands on its edge in the board"),
    planned("part", "part", NAME, "what is crosscut from it"),
    planned("length", "piece ({length})", LENGTH, "its length"),
    planned("pieces", "pieces", COUNT, "how many in this strip"),
    computed(
        "state",
        "state",
        WORD,
        when(
            look_up("Projects", "batch", project=this("project")).differs(this("units")),
            "other batch",
            look_up("Projects", "stale", project=this("project"), otherwise=""),
        ),
        "other batch: the batch on Projects is another one now; stale: parts changed.",
    ),
    capacity=5_000,
    prints_to="says",
)


def cost_of_wood(boards: Expression, offcut_boards: Expression, each: Expression) -> Expression:
    """What boards cost, without their usable offcuts where Settings say so."""
    return (boards - when(setting("offcuts").equals("share"), offcut_boards, 0)) * each


YIELD = table(
    "Yield",
    None,
    planned("project", "project", NAME, "the project"),
    planned("stock", "stock", NAME, "a stock it is cut from"),
    planned("units", "units", COUNT, "for so many units"),
    planned("boards", "boards", COUNT, "boards or sheets, as if nothing were on hand"),
    planned("offcut_boards", "usable offcuts (boards)", AMOUNT, "by volume"),
    computed("unit_boards", "boards a unit", AMOUNT, this("boards") / this("units")),
    computed("each", "each", RATE, look_up("Stock", "each", stock=this("stock"))),
    computed("cost", "boards cost", MONEY, this("boards") * this("each")),
    computed(
        "wood_cost",
        "cost of stock used",
        MONEY,
        cost_of_wood(this("boards"), this("offcut_boards"), this("each")),
    ),
    computed(
        "prep_minutes",
        "preparation (min)",
        MINUTES,
        this("boards") * look_up("Stock", "prep_minutes", stock=this("stock")),
    ),
    computed(
        "enough",
        "enough",
        WORD,
        when(
            call(
                "AND",
                look_up("Stock", "reclaimed", stock=this("stock"), otherwise="").equals("yes"),
                this("boards") > look_up("Stock", "on_hand", stock=this("stock")),
            ),
            "not enough",
            "",
        ),
        "Reclaimed stock cannot be bought.",
    ),
    capacity=10_000,
)

CUT_PLAN_SHEET = Sheet(
    "Cut plan",
    "How the batch of each project is cut, and the steps at the saw. Filter for your project;"
    " notchbook cuts prints the same with drawings.",
    (CUT_PLAN,),
    group="output",
)
