"""The boards, sections and sheets of a plan, each distinct one drawn with what it is for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from notchbook.drawings import WIDTH, Shape, Stretch, board_drawing, plane_drawing
from notchbook.plan_words import PlanWords
from notchbook.planning.bench import Bench, Lettered, Numbered, strip_boxes
from notchbook.planning.offcuts import end_left
from notchbook.planning.plan import Blank, CutBoard, CutPanel, PanelPiece, Piece
from notchbook.say import counted, listed, wrapped

_TOO_FINE = "(The pieces are too small to be drawn here.)"


@dataclass(frozen=True)
class Pictures:
    """`keys` are the letters that stand for parts, by project and part."""

    bench: Bench
    words: PlanWords
    keys: Mapping[tuple[str, str], str]

    # --- lumber --------------------------------------------------------------------------------

    def boards(self) -> Iterator[str]:
        """Each board from the side, with its blanks."""
        for board in self.bench.boards:
            assert isinstance(board.cut, CutBoard)
            yield ""
            yield from self._heading(board)
            stretches = self._stretches(board.cut)
            yield from board_drawing(stretches, self.words.saw.kerf, self._scale())
            told = listed(f"{each.often} of blank {each.label}" for each in stretches if each.label)
            left = end_left(board.cut, self.words.saw)
            rest = f"; {self.words.ruler.setting(left)} is left" if left > 0 else ""
            yield from wrapped(f"{told}{rest}.")

    def sections(self) -> Iterator[str]:
        """Each way of ripping from the end of the blank; blanks never ripped in words."""
        for blanks in self._drawn_alike():
            one = blanks[0]
            yield ""
            for blank in blanks:
                yield from wrapped(f"{self._blank(blank)}: {self._strips(blank)}.")
            if one.ripped:
                yield from self._section(one)

    def _heading(self, lettered: Lettered) -> list[str]:
        cut = lettered.cut
        size = self.words.ruler.size(cut.thickness, cut.width, cut.length)
        alike = ", cut alike" if cut.count > 1 else ""
        there = {0: "", cut.count: ", from stock"}.get(cut.on_hand, f", {cut.on_hand} from stock")
        return wrapped(f"{cut.count} x {cut.stock} ({size}){alike}{there}", f"{lettered.letter}: ")

    def _scale(self) -> Fraction:
        """Letters to a unit of length: the longest board takes the whole width."""
        return Fraction(WIDTH - 2) / max(board.cut.length for board in self.bench.boards)

    def _stretches(self, cut: CutBoard) -> list[Stretch]:
        counts = Counter(self._number(cut, blank) for blank in cut.blanks)
        found = []
        for number, often in sorted(counts.items()):
            length = self.bench.blanks[number - 1].blank.length
            found.append(Stretch(length, often, str(number), self.words.ruler.show(length)))
        if (left := end_left(cut, self.words.saw)) > 0:
            found.append(Stretch(left, 1, "", self.words.ruler.show(left), waste=True))
        return found

    def _number(self, cut: CutBoard, blank: Blank) -> int:
        return next(
            each.number
            for each in self.bench.blanks
            if (each.stock, each.blank) == (cut.stock, blank)
        )

    def _drawn_alike(self) -> Iterable[list[Numbered]]:
        """Blanks whose sections look alike, label by label."""
        groups: dict[object, list[Numbered]] = {}
        for blank in self.bench.blanks:
            shapes = tuple(self._shapes(blank))
            groups.setdefault((blank.section, shapes) if blank.ripped else blank, []).append(blank)
        return groups.values()

    def _shapes(self, blank: Numbered) -> Iterator[Shape]:
        for box, strip in zip(strip_boxes(blank.blank), blank.blank.strips, strict=True):
            label = "+".join(dict.fromkeys(self._key(piece) for piece in strip.pieces))
            yield Shape(*box, label, self.words.ruler.size(strip.thickness, strip.width))

    def _section(self, blank: Numbered) -> list[str]:
        thickness, width = blank.section
        saw = self.words.saw
        shapes = list(self._shapes(blank))
        return plane_drawing((width, thickness), shapes, saw.kerf, saw.squaring) or [_TOO_FINE]

    def _blank(self, blank: Numbered) -> str:
        size = self.words.ruler.size(*blank.section, blank.blank.length)
        return f"Blank {blank.number}, {counted(blank.count, 'piece')} {size}"

    def _strips(self, blank: Numbered) -> str:
        """What one blank is ripped into, and what is crosscut from each strip."""
        strips: Counter[tuple[str, str]] = Counter()
        show = self.words.ruler
        for strip in blank.blank.strips:
            pieces = Counter(strip.pieces)
            told = listed(f"{n} {self._key(p)} ({show.show(p.length)})" for p, n in pieces.items())
            strips[show.size(strip.thickness, strip.width), told] += 1
        if not blank.ripped:
            return f"not ripped, {listed(told for _, told in strips)}"
        return "; ".join(
            f"{counted(often, 'strip')} {size} for {told}{' each' if often > 1 else ''}"
            for (size, told), often in strips.items()
        )

    def _key(self, piece: Piece | PanelPiece) -> str:
        return self.keys[piece.project, piece.part]

    # --- sheets --------------------------------------------------------------------------------

    def sheets(self) -> Iterator[str]:
        """Each sheet from above, its length from left to right."""
        for sheet in self.bench.sheets:
            cut = sheet.cut
            assert isinstance(cut, CutPanel)
            yield ""
            yield from self._heading(sheet)
            shapes = [
                Shape(
                    *piece.at,
                    piece.length,
                    piece.width,
                    self._key(piece),
                    self.words.ruler.size(piece.length, piece.width),
                )
                for piece in cut.pieces
            ]
            size, kerf = (cut.length, cut.width), self.words.saw.kerf
            yield from plane_drawing(size, shapes, kerf, Fraction(0)) or [_TOO_FINE]
            counts = Counter(self._key(piece) for piece in cut.pieces)
            yield from wrapped(f"{listed(f'{n} {key}' for key, n in counts.items())}.")
