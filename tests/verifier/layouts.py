"""Whether one board or one sheet can be cut as its layout says."""

from collections.abc import Iterator, Mapping, Sequence

from .data import (
    SIDES,
    Data,
    Key,
    is_whole_section,
    key_of,
    piece_box,
    ripped_region,
    sheet_region,
    strip_box,
)
from .geometry import separable


def board_faults(
    cut: Data, board: Data, parts: Mapping[Key, Data], saw: Data, plan: Data
) -> Iterator[str]:
    """What is wrong with a board: blanks in a row, strips out of each blank, pieces in a row."""
    yield from _wrong_sides(cut, board, SIDES)
    if board["kind"] != "lumber":
        yield "a panel cut as lumber"
    usable = board["length"] - 2 * saw["end_trim"]
    if not _row_fits([blank["length"] for blank in cut["blanks"]], usable, saw["kerf"]):
        yield "the blanks are longer than the board"
    for blank in cut["blanks"]:
        yield from _section(blank, board, saw)
        for strip in blank["strips"]:
            lengths = [piece["length"] for piece in strip["pieces"]]
            if not _row_fits(lengths, blank["length"], saw["kerf"]):
                yield "the pieces are longer than the blank"
            for piece in strip["pieces"]:
                sizes = [strip["thickness"], strip["width"], piece["length"]]
                yield from _piece(piece, sizes, board, parts.get(key_of(piece, plan)))


def sheet_faults(
    cut: Data, board: Data, parts: Mapping[Key, Data], saw: Data, plan: Data
) -> Iterator[str]:
    """What is wrong with a sheet: its pieces cut right across, along the grain where it has one."""
    yield from _wrong_sides(cut, board, ("width", "length"))
    if board["kind"] != "panel":
        yield "lumber cut as a panel"
    region = sheet_region(board, saw)
    if not separable([piece_box(piece) for piece in cut["pieces"]], region, saw["kerf"]):
        yield "the pieces cannot be cut so"
    for piece in cut["pieces"]:
        part = parts.get(key_of(piece, plan))
        lying = [piece["width"], piece["length"]]
        sizes = [board["thickness"], *(lying[::-1] if piece["turned"] else lying)]
        yield from _piece(piece, sizes, board, part)
        if part and piece["turned"] and board["grain"] and not part["turn"]:
            yield f"{piece['part']} lies across the grain"


def _wrong_sides(cut: Data, board: Data, sides: Sequence[str]) -> Iterator[str]:
    yield from (f"the {side} is another" for side in sides if cut[side] != board[side])


def _piece(piece: Data, sizes: list[int], board: Data, part: Data | None) -> Iterator[str]:
    if part and sizes != [part[side] for side in SIDES]:
        yield f"{piece['part']} has the wrong size"
    if part and board["stock"] not in part["from"]:
        yield f"{piece['part']} is not to be cut from it"


def _row_fits(lengths: Sequence[int], room: int, kerf: int) -> bool:
    """n in a row need n - 1 kerfs."""
    return min(lengths, default=1) > 0 and sum(lengths) + kerf * (len(lengths) - 1) <= room


def _section(blank: Data, board: Data, saw: Data) -> Iterator[str]:
    """A section as bought needs no rip; any other is squared first, through all its thickness."""
    if is_whole_section(blank, board):
        return
    deepest = saw["deepest_cut"]
    if blank["length"] < saw["shortest_rip"]:
        yield "a blank is too short to rip"
    if saw.get("longest_rip") is not None and blank["length"] > saw["longest_rip"]:
        yield "a blank is too long to rip"
    if deepest is not None and saw["squaring"] and board["thickness"] > deepest:
        yield "it is squared deeper than the saw cuts"
    boxes = [strip_box(strip) for strip in blank["strips"]]
    if not separable(boxes, ripped_region(board, saw), saw["kerf"], deepest):
        yield "the strips cannot be ripped so"
