"""What the label of a piece says: its size, which of how many it is, and where it goes next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from notchbook.measure import Ruler
from notchbook.planning.model.problem import Job, Part
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.marks import MarkRow

Label = dict[str, str]
LAST = "assembly"


def list_labels(
    job: Job, units: int, rows: Sequence[CutRow], marks: Sequence[MarkRow], ruler: Ruler
) -> Iterator[Label]:
    """List a label for each piece of so many units; strips of a laid surface have one together."""
    cut = {(row.project, row.part): row for row in rows}
    for part in job.parts:
        count = part.make * units
        row = cut.get((part.project, part.part))
        label = {
            "project": part.project,
            "part": part.part,
            "size": f"{ruler.size(part.thickness, part.width, part.length)} {ruler.unit}",
        }
        if row is None:
            yield label | {"piece": f"all {count:,}", "next": "lay the surface"}
            continue
        names = list(dict.fromkeys(m.mark for m in marks if m.part == part.part and _of(m, part)))
        after = name_next(row, part, names)
        for number in range(1, count + 1):
            yield label | {"piece": f"{number:,} of {count:,}", "next": after}


def _of(mark: MarkRow, part: Part) -> bool:
    return mark.project == part.project


def name_next(row: CutRow, piece: Part, marks: Sequence[str]) -> str:
    """Name what happens to a piece behind the saw, in order, up to assembly."""
    layers = row.layers or 1
    planed = piece.thickness > row.thickness / layers
    larger = piece.width > row.width or piece.length > row.length
    done = (
        "plane" if planed else "",
        f"glue {layers} into one" if layers > 1 else "",
        "trim to size" if larger else "",
        row.ends or "",
        f"mark: {', '.join(marks)}" if marks else "",
        LAST,
    )
    return ", then ".join(each for each in done if each)
