"""Boards, sections and sheets drawn with letters, to scale as far as letters allow."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from notchbook.plan_views.boxes import LabelledBox, Stretch

WIDTH = 74
TALLEST = 20  # lines of a section or a sheet
TALL = Fraction(1, 2)  # a letter is about twice as tall as wide
WASTE = "."


def sketch_board(stretches: Sequence[Stretch], kerf: Fraction, scale: Fraction) -> list[str]:
    """Sketch a board from the side, `scale` letters to a unit of length.

    Stretches alike are drawn as one where a single one is too narrow for its label.
    """
    drawn: list[tuple[int, str, str, str]] = []
    for each in stretches:
        step = (each.length + kerf) * scale
        fill = WASTE if each.scrap else " "
        if each.often == 1 or step >= len(each.label) + 2:
            one = (_wide(step, each), each.label, each.below, fill)
            drawn += [one] * each.often
        else:
            label = f"{each.often} x {each.label}"
            drawn.append((_wide(step * each.often, each, label), label, each.below, fill))
    while sum(width for width, *_ in drawn) + 1 > WIDTH:
        widest = max(range(len(drawn)), key=lambda n: drawn[n][0])
        drawn[widest] = (drawn[widest][0] - 1, *drawn[widest][1:])
    edge = "+" + "+".join("-" * (width - 1) for width, *_ in drawn) + "+"
    rows = ["|", "|"]
    for width, label, below, fill in drawn:
        for n, text in enumerate((label, below)):
            shown = f" {text} " if text and fill == WASTE else text
            shown = shown if len(shown) < width else ""
            rows[n] += shown.center(width - 1, fill) + "|"
    return [edge, *rows, edge]


def _wide(letters: Fraction, each: Stretch, label: str = "") -> int:
    least = 2 if each.waste else len(label or each.label) + 1
    return max(round(letters), least)


def sketch_plane(
    size: tuple[Fraction, Fraction], shapes: Sequence[LabelledBox], kerf: Fraction, edge: Fraction
) -> list[str]:
    """Sketch shapes within a rectangle; nothing where they are too fine.

    `edge` is sawn off at the left and the right. Neighbours a kerf apart share a line.
    """
    across, up = size
    scale = min(Fraction(WIDTH - 10) / across, Fraction(TALLEST - 4) / (up * TALL))
    for labelled in (True, False):
        sides = [(s.x, s.across, len(s.label) + 1 if labelled else 2) for s in shapes]
        columns = _places(across, sides, kerf, scale, (edge, across - edge) if edge else ())
        rows = _places(up, [(s.y, s.up, 2) for s in shapes], kerf, scale * TALL, ())
        if columns[across] < WIDTH and rows[up] < 3 * TALLEST:
            return _drawn(size, shapes, columns, rows, kerf)
    return []


def _places(
    whole: Fraction,
    sides: Iterable[tuple[Fraction, Fraction, int]],
    kerf: Fraction,
    scale: Fraction,
    marks: Iterable[Fraction],
) -> dict[Fraction, int]:
    """Place each edge on a letter: in scale, but no side shorter than its least letters."""
    sides = list(sides)
    ends = {low + size for low, size, _ in sides}
    lows = {low for low, *_ in sides}
    found = {Fraction(0): 0}
    needs: dict[Fraction, list[tuple[Fraction, int]]] = {}
    for low, size, least in sides:
        needs.setdefault(low + size, []).append((low, least))
    edges = {Fraction(0), whole, *marks, *ends, *lows}
    last = Fraction(0)
    for edge in sorted(edges)[1:]:
        if edge in lows and edge not in ends and edge - kerf in ends:
            found[edge] = found[edge - kerf]
            continue
        place = max(round(edge * scale), found[last])
        place = max([place, *(found[low] + least for low, least in needs.get(edge, []))])
        found[edge] = place
        last = edge
    found[whole] = max(found.values())
    return found


def _drawn(
    size: tuple[Fraction, Fraction],
    shapes: Sequence[LabelledBox],
    columns: dict[Fraction, int],
    rows: dict[Fraction, int],
    kerf: Fraction,
) -> list[str]:
    wide, tall = columns[size[0]], rows[size[1]]
    canvas = [[WASTE] * (wide + 1) for _ in range(tall + 1)]
    _frame(canvas, 0, 0, wide, tall)
    for shape in shapes:
        left, right = columns[shape.x], columns[shape.x + shape.across]
        low, high = rows[shape.y], rows[shape.y + shape.up]
        for row in canvas[low + 1 : high]:
            row[left + 1 : right] = " " * (right - left - 1)
        _frame(canvas, left, low, right, high)
        _write(canvas, shape, (left, low, right, high))
    return ["".join(row) for row in reversed(canvas)]


def _frame(canvas: list[list[str]], left: int, low: int, right: int, high: int) -> None:
    for row in (low, high):
        for column in range(left, right + 1):
            corner = column in (left, right) or canvas[row][column] in "+|"
            canvas[row][column] = "+" if corner else "-"
    for row in range(low + 1, high):
        for column in (left, right):
            canvas[row][column] = "+" if canvas[row][column] in "+-" else "|"


def _write(canvas: list[list[str]], shape: LabelledBox, box: tuple[int, int, int, int]) -> None:
    """The label in the middle, and below it what else fits."""
    left, low, right, high = box
    room = right - left - 1
    texts = [text for text in (shape.label, shape.below) if text and len(text) <= room]
    texts = texts[: high - low - 1]
    top = (low + high + len(texts) - 1) // 2
    for n, text in enumerate(texts):
        start = left + 1 + (room - len(text)) // 2
        canvas[top - n][start : start + len(text)] = text
