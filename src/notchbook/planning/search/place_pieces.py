"""Puts the blanks, strips and pieces of a board in their places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from notchbook.planning.model.filled import FilledBoard, PlacedBlank, PlacedStrip
from notchbook.planning.search.guillotine import StripLayout

if TYPE_CHECKING:
    from notchbook.planning.search.wood import BlankCut, BoardCut, StripCut, Wood


def place_board(wood: Wood, cut: BoardCut, wanted: Sequence[int]) -> FilledBoard:
    """Put the blanks, strips and pieces of a cut in their places, the longest blank first."""
    need = list(wanted)
    blanks = []
    for blank in cut.blanks:
        strips = [kept for strip in blank.strips if (kept := _kept(strip, need)).pieces]
        if strips:
            blanks.append(_place_blank(wood, blank, strips))
    counts = tuple(n - m for n, m in zip(wanted, need, strict=True))
    volume = sum(n * part.volume for n, part in zip(counts, wood.grid.parts, strict=True))
    return FilledBoard(counts, volume, tuple(blanks), ())


def _kept(strip: StripCut, need: list[int]) -> StripCut:
    pieces = []
    for i, n in strip.pieces:
        count = min(n, need[i])
        need[i] -= count
        if count:
            pieces.append((i, count))
    return strip._replace(pieces=tuple(pieces))


def _length(wood: Wood, blank: BlankCut, strips: Sequence[StripCut]) -> int:
    saw = wood.grid.saw
    longest = max(_room(wood, strip) for strip in strips) - saw.kerf
    return longest if blank.pattern < 0 else max(longest, saw.shortest_rip)


def _room(wood: Wood, strip: StripCut) -> int:
    """What the pieces of a strip take up in grid steps, each with a kerf."""
    parts, kerf = wood.grid.parts, wood.grid.saw.kerf
    return sum(n * (parts[i].length + kerf) for i, n in strip.pieces)


def _place_blank(wood: Wood, blank: BlankCut, strips: Sequence[StripCut]) -> PlacedBlank:
    length = _length(wood, blank, strips)
    if blank.pattern < 0:
        part = wood.grid.parts[strips[0].pieces[0][0]]
        turned = part.width != wood.grid.boards[wood.boards[0]].width
        whole = PlacedStrip(part.thickness, part.width, (0, 0), turned, strips[0].pieces)
        return PlacedBlank(length, (whole,))
    wanted = [0] * len(wood.kinds)
    for strip in strips:
        wanted[strip.kind] += 1
    corner = (wood.grid.saw.squaring, 0)
    layout = wood.section.lay(wood.nodes[blank.pattern], wanted, corner)
    return PlacedBlank(length, tuple(_placed(wood, layout, strips)))


def _placed(wood: Wood, layout: StripLayout, strips: Sequence[StripCut]) -> Iterator[PlacedStrip]:
    waiting = list(strips)
    for place in layout.placed:
        strip = next(strip for strip in waiting if strip.kind == place.kind)
        waiting.remove(strip)
        thickness, width = wood.kinds[place.kind]
        yield PlacedStrip(thickness, width, (place.x, place.y), place.turned, strip.pieces)
