"""The measures of a printed shop sheet that drawings keep to, in inches."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from notchbook.base.picture import Picture

WIDE = 7.2
"""As wide as letter and A4 both leave between our margins."""
TALLEST = 5.2
"""A drawing stands in one row, so that no page ends within it; rows of spreadsheets end at 5.6."""
CAPTION, BELOW, GAP = 0.2, 0.16, 0.06


@dataclass(frozen=True, slots=True)
class PictureRow:
    """Pictures beside one another, each so many inches from the left."""

    placed: tuple[tuple[float, Picture], ...]

    @property
    def height(self) -> float:
        """The tallest of them, in inches."""
        return max(picture.height for _, picture in self.placed)


def in_rows(pictures: Iterable[Picture]) -> list[PictureRow]:
    """Arrange pictures in their order, as many in a row as the page is wide."""
    rows: list[list[tuple[float, Picture]]] = []
    used = WIDE
    for picture in pictures:
        if used + picture.width > WIDE:
            rows.append([])
            used = 0.0
        rows[-1].append((used, picture))
        used += picture.width
    return [PictureRow(tuple(row)) for row in rows]
