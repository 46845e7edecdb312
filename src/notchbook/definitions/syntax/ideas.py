"""The keys of ideas.yaml, whose entries hold lists of their own."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.definitions.syntax.columns import key_of, keys_of
from notchbook.definitions.syntax.keys import Key, listed, opt
from notchbook.sheets.kit.written import Reads
from notchbook.sheets.making.idea_cuts import IdeaCutRow
from notchbook.sheets.making.ideas import IdeaRow
from notchbook.sheets.making.seen_prices import SeenRow

IDEA, SEEN, CUT, USE = "idea", "idea: seen", "idea: cut", "idea: use"
"""The places: an entry of the file, and the entries of its lists."""
LISTS = {"seen": SEEN, "cuts": CUT, "uses": USE}
_WITH_A_DAY = "it stands on Seen prices; without one it is the price in the row of the idea"

_APART = opt("apart", Reads.YES, "true: it stands on Idea cuts, not in the row of its idea", "true")
_LISTS = (
    listed("seen", SEEN, "what others ask for such a thing", required=False),
    listed("cuts", CUT, "the wood it takes: pieces with their size, or boards by eye", False),
    listed("uses", USE, "what else one piece takes", required=False),
)

IDEA_SYNTAX: Mapping[str, tuple[Key, ...]] = {
    IDEA: (*keys_of(IdeaRow, IdeaRow.written[0]), *_LISTS),
    SEEN: (
        opt("where", Reads.TEXT, "where it was seen", "home store"),
        key_of(SeenRow, "price"),
        opt("on", Reads.DATE, f"the day; {_WITH_A_DAY}", "2026-08-01"),
    ),
    CUT: (
        Key("from", Reads.NAME, "the stock", "spruce 2x6 8ft"),
        opt("boards", Reads.AMOUNT, "how many boards or sheets one piece takes, by eye", "1/2"),
        opt("make", Reads.NUMBER, "how many pieces of this size go into one", "5"),
        opt("size", Reads.SIZE, "thickness x width x length of such a piece", "3/8 x 1 x 9"),
        _APART,
    ),
    USE: (
        key_of(IdeaCutRow, "stock"),
        Key("each", Reads.NUMBER, "how many one piece takes", "4"),
        _APART,
    ),
}
