"""What is done to pieces after the saw plan: layers glued, sizes planed, ends slanted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from notchbook.base.sentences import counted, listed, so_many
from notchbook.measure import Ruler
from notchbook.plan_views.plan_words import PlanWords
from notchbook.plan_views.slants import list_slant_settings
from notchbook.planning.model.problem import Part
from notchbook.sheets.making.cut_list import CutRow


class Work(NamedTuple):
    """One thing to do, under the heading of its phase."""

    phase: str
    text: str


def list_later_work(
    rows: Iterable[CutRow], cut: Iterable[Part], units: int, words: PlanWords
) -> tuple[Work, ...]:
    """List what so many units of a project need after their pieces are cut, in order."""
    sawn = {(part.project, part.part): part for part in cut}
    ruler, spelling = words.ruler, words.settings.spelling
    made = [row for row in rows if (row.project, row.part) in sawn and row.make * units]
    return (
        *(Work("plane and glue", text) for text in _list_glue_ups(made, sawn, units, ruler)),
        *(Work("plane and trim to size", text) for text in _list_sizes(made, sawn, units, ruler)),
        *(Work("slanted ends", text) for text in list_slant_settings(made, units, spelling)),
    )


_Sawn = Mapping[tuple[str, str], Part]


def _list_glue_ups(rows: Iterable[CutRow], sawn: _Sawn, units: int, ruler: Ruler) -> Iterator[str]:
    for row in rows:
        layers = row.layers or 1
        if layers == 1:
            continue
        each = row.thickness / layers
        first = ""
        if sawn[row.project, row.part].thickness > each:
            first = f"Plane every piece of {row.part} to {ruler.show(each)} thick. "
        parts = row.make * units
        yield (
            f"{first}Glue {layers} pieces of {row.part} into one part,"
            f" {ruler.show(row.thickness)} thick: {parts * layers:,} pieces make"
            f" {counted(parts, 'part')}."
        )


def _list_sizes(rows: Iterable[CutRow], sawn: _Sawn, units: int, ruler: Ruler) -> Iterator[str]:
    for row in rows:
        piece, layers = sawn[row.project, row.part], row.layers or 1
        over = {
            "thicker": piece.thickness - row.thickness if layers == 1 else Fraction(0),
            "wider": piece.width - row.width,
            "longer": piece.length - row.length,
        }
        more = [f"{ruler.show(by)} {how}" for how, by in over.items() if by > 0]
        if more:
            size = ruler.size(row.thickness, row.width, row.length)
            yield f"Bring {so_many(row.make * units, row.part)} to {size}: cut {listed(more)}."
