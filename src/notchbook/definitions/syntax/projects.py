"""The keys of a project's file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from notchbook.definitions.syntax.columns import LISTED, ROWS, key_of, keys_of, lists_in, places_of
from notchbook.definitions.syntax.keys import Key, opt
from notchbook.sheets.kit.written import PROJECT, Reads
from notchbook.sheets.making.consumables import UseRow
from notchbook.sheets.making.projects import ProjectRow

OF_A_VARIANT = (
    *("title", "batch", "local_factor", "asked", "spoilage", "pace", "minutes_ok"),
    *("seen", "uses", "steps"),
)
"""The keys of a project that a variant may have of its own, whole; its others are sizes."""

_IN_FILES_ONLY: Mapping[str, tuple[Key, ...]] = {
    # by the key that they stand behind
    "batch": (
        opt("sizes", Reads.FREE, "named lengths, which may use one another", "{long: 24}"),
        opt(
            "variants",
            Reads.FREE,
            f"projects of other sizes; each may have {', '.join(OF_A_VARIANT[:-1])} and"
            f" {OF_A_VARIANT[-1]} of its own",
            "{small: {long: 16}, standard: {}}",
        ),
    ),
    "local_factor": (
        opt("asked", Reads.FREE, "the price asked, by tier; else the suggested", "{online: 32}"),
    ),
}
_USES: Mapping[str, tuple[Key, ...]] = {
    # what the amount of a row is counted by, and of what, each way by a key of its own
    "uses": (
        key_of(UseRow, "stock"),
        opt("each", Reads.NUMBER, "how many for one unit", "2"),
        opt("coats", Reads.NUMBER, "how many coats; on says of what", "2"),
        opt("on", Reads.NAMES, "the parts or surfaces that are coated", "[front, end]"),
        Key(
            "faces",
            Reads.WORD,
            "how many large faces are coated; glue: the faces between layers; else all six",
            "2",
            required=False,
            choices=("1", "2", "glue"),
        ),
        opt(
            "per_length",
            Reads.NUMBER,
            "how much for each in (mm) of length; along says of what",
            "0.02",
        ),
        opt("along", Reads.NAMES, "the parts whose length counts", "[slat]"),
    ),
    "tools": (
        key_of(UseRow, "tool"),
        opt("uses", Reads.NUMBER, "uses for one unit, of a tool that wears per use", "1"),
        opt("hours", Reads.NUMBER, "hours for one unit, of a tool that wears by hours", "0.25"),
    ),
}


def _project() -> Iterator[Key]:
    for key in keys_of(ProjectRow, ProjectRow.written[0]):
        yield key
        yield from _IN_FILES_ONLY.get(key.key, ())
    yield from lists_in(PROJECT)


PROJECT_SYNTAX: Mapping[str, tuple[Key, ...]] = {
    PROJECT: tuple(_project()),
    **{
        written.entry: _USES.get(key) or keys_of(ROWS[table], written)
        for (file, key), (table, written) in LISTED.items()
        if file == PROJECT
    },
    **{
        place: keys
        for (file, _), (table, _) in LISTED.items()
        if file == PROJECT
        for place, keys in places_of(ROWS[table]).items()
    },
}
