"""The keys of a project's file."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.definitions.syntax.keys import Key, Reads, listed, opt, word
from notchbook.sheets.making.laid_surfaces import PATTERNS

PROJECT_SYNTAX: Mapping[str, tuple[Key, ...]] = {
    "project": (
        Key("project", Reads.NAME, "its name on all sheets, at most 31 characters", "herb rail"),
        Key("title", Reads.TEXT, "as a buyer would call it", "Windowsill herb rail"),
        Key("batch", Reads.WHOLE, "how many are made at a time", "6"),
        opt("sizes", Reads.FREE, "named lengths, which may use one another", "{long: 24}"),
        opt("variants", Reads.FREE, "projects of other sizes", "{small: {long: 16}}"),
        opt("local_factor", Reads.FACTOR, "else the shop's", "0.45"),
        opt("asked", Reads.FREE, "the price asked, by tier; else the suggested", "{online: 32}"),
        opt("spoilage", Reads.PERCENT, "the share that goes wrong; else 0", "5%"),
        listed("seen", "seen", "what others ask for such a thing", required=False),
        listed("parts", "part", "what it is cut from; may be left out beside laid", required=False),
        listed("laid", "laid", "surfaces laid with strips", required=False),
        listed("marks", "mark", "where to mark, notch, drill or stamp", required=False),
        listed("uses", "use", "hardware, glue and finish", required=False),
        listed("steps", "step", "the steps of the work, at least one"),
        listed("tools", "tool use", "tools that wear", required=False),
        opt("cautions", Reads.TEXTS, "printed on the shop sheet", "[narrow rips]"),
    ),
    "seen": (
        Key("where", Reads.TEXT, "where it was seen", "home store"),
        Key("price", Reads.MONEY, "what was asked", "64.00"),
        Key("on", Reads.DATE, "the day it was seen", "2026-03-02"),
    ),
    "part": (
        Key("part", Reads.NAME, "what it is called", "front"),
        Key("make", Reads.WHOLE, "pieces for one unit", "2"),
        Key("size", Reads.SIZE, "finished, long point to long point", "3/4 x 5 1/2 x long"),
        Key("from", Reads.NAMES, "the stock it may be cut from", "[pine 1x6 8ft]"),
        opt("ends", Reads.ENDS, "mitre or bevel, degrees, then one end or parallel", "mitre 45"),
        opt("turn", Reads.YES, "true: may lie across the grain of a sheet", "true"),
    ),
    "laid": (
        Key("surface", Reads.NAME, "what it is called", "face"),
        word("pattern", PATTERNS, "how the strips lie"),
        Key("width", Reads.LENGTH, "of the surface", "12"),
        Key("height", Reads.LENGTH, "of the surface", "20"),
        Key("strip", Reads.SIZE, "of one strip", "1/2 x 2 x 8"),
        opt("waste", Reads.PERCENT, "cut away at the edges; else strips are counted", "12%"),
        Key("from", Reads.NAMES, "the stock the strips may be cut from", "[barn board]"),
    ),
    "mark": (
        Key("on", Reads.NAMES, "the part, or a list of parts", "front"),
        Key("mark", Reads.NAME, "notch, hole, stamp, hook and the like", "notch"),
        Key("count", Reads.WHOLE, "how many on a piece", "3"),
        word(
            "spread",
            ("even", "centred"),
            "in place of first: over the length, or the middle",
            False,
        ),
        opt("first", Reads.LENGTH, "clear wood before the first mark", "1/2"),
        opt("gap", Reads.LENGTH, "clear wood between mark edges", "3"),
        opt("margin", Reads.LENGTH, "clear wood at each end, with spread: even", "3/4"),
        opt("size", Reads.MARK_SIZE, "of one mark; else it is a point", "1 x 3/8"),
    ),
    "use": (
        Key("stock", Reads.NAME, "what is used up", "wood glue"),
        opt("each", Reads.NUMBER, "so many a unit", "2"),
        opt("coats", Reads.NUMBER, "so many coats, with on", "2"),
        opt("on", Reads.NAMES, "the parts or surfaces that are coated", "[front, end]"),
        opt("faces", Reads.WHOLE, "1 or 2 of their large faces, with coats; else all six", "2"),
        opt("per_length", Reads.NUMBER, "so much a unit of length, with along", "0.02"),
        opt("along", Reads.NAMES, "the parts whose length counts", "[slat]"),
    ),
    "step": (
        Key("step", Reads.TEXT, "what is done", "rip and crosscut"),
        Key("setup", Reads.NUMBER, "minutes once a batch", "20"),
        Key("minutes", Reads.NUMBER, "minutes for each unit", "6"),
    ),
    "tool use": (
        Key("tool", Reads.NAME, "the tool that wears", "branding iron"),
        opt("uses", Reads.NUMBER, "uses for one unit, of a tool that wears per use", "1"),
        opt("hours", Reads.NUMBER, "hours for one unit, of a tool that wears by hours", "0.25"),
    ),
}
