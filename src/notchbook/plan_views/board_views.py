"""What there is to see of a plan: each distinct board, blank and sheet, for letters and for ink."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from string import ascii_lowercase

from notchbook.base.sentences import counted, letters, listed, so_many
from notchbook.plan_views.boxes import KEEP, LabelledBox, Stretch
from notchbook.plan_views.kept_rests import Place, place_rests
from notchbook.plan_views.plan_words import PlanWords
from notchbook.planning.model.plan import Blank, CutBoard, CutPanel, PanelPiece, Piece, Strip
from notchbook.planning.model.problem import Part
from notchbook.planning.saw.bench import Bench, Lettered, Numbered, list_strip_boxes
from notchbook.planning.saw.offcuts import list_rests, measure_end_left

Keys = Mapping[tuple[str, str], str]
"""The letters that stand for parts, by project and part."""


def letter_parts(parts: Iterable[Part]) -> Keys:
    """Give each part a letter, in their order."""
    return {(part.project, part.part): letters(n, ascii_lowercase) for n, part in enumerate(parts)}


def say_legend(scrap: str) -> str:
    """Say what letters, numbers and fillings of the drawings mean; `scrap` is how that looks."""
    return (
        "Drawings: A board or sheet; 1 blank; a part (see key); 1 = a: blank 1 is part a;"
        f" {scrap}: scrap; keep: offcut to keep."
    )


@dataclass(frozen=True, slots=True)
class BoardView:
    """A board from its face: `stretches` are its blanks and what is left, after the trim."""

    letter: str
    heading: str
    size: tuple[Fraction, Fraction, Fraction]  # thickness, width, length
    trim: Fraction
    kerf: Fraction
    stretches: tuple[Stretch, ...]
    says: str


@dataclass(frozen=True, slots=True)
class StripView:
    """Strips alike along their length, with the pieces that are crosscut from each."""

    often: int
    size: str
    width: Fraction
    kerf: Fraction
    stretches: tuple[Stretch, ...]


@dataclass(frozen=True, slots=True)
class BlankView:
    """A blank by its number: what it is ripped into, and what is crosscut from that."""

    number: int
    length: Fraction
    says: str
    strips: tuple[StripView, ...]


@dataclass(frozen=True, slots=True)
class SectionView:
    """Blanks that are ripped alike, seen from the end; `shapes` are their strips.

    `kept` are rests worth keeping, as long as the blank.
    `size` is across the width and across the thickness. Not `ripped`: the whole section stays.
    """

    size: tuple[Fraction, Fraction]
    squaring: Fraction
    kerf: Fraction
    ripped: bool
    shapes: tuple[LabelledBox, ...]
    blanks: tuple[BlankView, ...]
    kept: tuple[LabelledBox, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetView:
    """A sheet from above, its length from left to right; `kept` are rests worth keeping."""

    letter: str
    heading: str
    size: tuple[Fraction, Fraction]  # length, width
    kerf: Fraction
    shapes: tuple[LabelledBox, ...]
    says: str
    kept: tuple[LabelledBox, ...] = ()


@dataclass(frozen=True)
class CutViews:
    """All there is to see of one plan; `kept` are its usable offcuts, as `Plan.kept` has them."""

    bench: Bench
    words: PlanWords
    keys: Keys
    kept: Collection[tuple[str, Fraction, Fraction, Fraction]] = ()

    # --- lumber --------------------------------------------------------------------------------

    def view_boards(self) -> Iterator[BoardView]:
        """View each board from its face, with its blanks."""
        for board in self.bench.boards:
            cut, saw = board.cut, self.words.saw
            assert isinstance(cut, CutBoard)
            stretches = tuple(self._blanks_of(cut))
            told = listed(
                f"{each.often} of blank {each.label}" for each in stretches if not each.waste
            )
            left = measure_end_left(cut, saw)
            rest = f"; {self.words.ruler.setting(left)} left over" if left > 0 else ""
            size = (cut.thickness, cut.width, cut.length)
            yield BoardView(
                board.letter,
                self._heading(board),
                size,
                saw.end_trim,
                saw.kerf,
                stretches,
                f"{told}{rest}.",
            )

    def _heading(self, lettered: Lettered) -> str:
        cut = lettered.cut
        size = self.words.ruler.size(cut.thickness, cut.width, cut.length)
        alike = ", cut alike" if cut.count > 1 else ""
        there = {0: "", cut.count: ", from stock"}.get(cut.on_hand, f", {cut.on_hand} from stock")
        said = "" if size in cut.stock else f" ({size})"  # the name of an offcut says it
        return f"{cut.count} x {cut.stock}{said}{alike}{there}"

    def _blanks_of(self, cut: CutBoard) -> Iterator[Stretch]:
        counts = Counter(self._number(cut, blank) for blank in cut.blanks)
        for number, often in sorted(counts.items()):
            length = self.bench.blanks[number - 1].blank.length
            yield Stretch(length, often, str(number), self.words.ruler.show(length))
        left = measure_end_left(cut, self.words.saw)
        yield from self._left(cut.stock, cut.thickness, cut.width, left)

    def _left(
        self, stock: str, thickness: Fraction, width: Fraction, length: Fraction
    ) -> Iterator[Stretch]:
        """What is left behind the last piece; usable offcuts are marked."""
        if length > 0:
            label = KEEP if (stock, thickness, width, length) in self.kept else ""
            yield Stretch(length, 1, label, self.words.ruler.show(length), waste=True)

    def _number(self, cut: CutBoard, blank: Blank) -> int:
        return next(
            each.number
            for each in self.bench.blanks
            if (each.stock, each.blank) == (cut.stock, blank)
        )

    def view_sections(self) -> Iterator[SectionView]:
        """View each way of ripping from the blank's end, and blanks that are never ripped."""
        for blanks in self._alike():
            thickness, width = blanks[0].section
            shapes = tuple(self._shapes(blanks[0]))
            yield SectionView(
                (width, thickness),
                self.words.saw.squaring,
                self.words.saw.kerf,
                blanks[0].ripped,
                shapes,
                tuple(self._blank(blank) for blank in blanks),
                tuple(self._kept_of_section(blanks, shapes)),
            )

    def _kept_of_section(
        self, blanks: list[Numbered], shapes: tuple[LabelledBox, ...]
    ) -> Iterator[LabelledBox]:
        """The rests of the rips, where they are kept whatever the blank's length."""
        (thickness, width), saw = blanks[0].section, self.words.saw
        area = Place(saw.squaring, Fraction(0), width - 2 * saw.squaring, thickness)
        sizes = self._rests.get(str(blanks[0].number), ())

        def usable(size: tuple[Fraction, Fraction]) -> bool:
            whole = (blanks[0].stock, *sorted(size))
            return all((*whole, blank.blank.length) in self.kept for blank in blanks)

        return self._places(area, shapes, [size for size in sizes if usable(size)])

    def _places(
        self,
        area: Place,
        shapes: tuple[LabelledBox, ...],
        sizes: list[tuple[Fraction, Fraction]],
    ) -> Iterator[LabelledBox]:
        shown = [self.words.ruler.size(*size) for size in sizes]
        return place_rests(area, shapes, sizes, self.words.saw.kerf, shown)

    @cached_property
    def _rests(self) -> Mapping[str, list[tuple[Fraction, Fraction]]]:
        """What is left of each blank or sheet, by its number or letter."""
        found: dict[str, list[tuple[Fraction, Fraction]]] = {}
        for pattern, (a, b), times in (
            *list_rests(self.bench.rips),
            *list_rests(self.bench.cut_sheets),
        ):
            for name in pattern.names:
                rest = (self.bench.length(a), self.bench.length(b))
                found.setdefault(name, []).extend([rest] * times)
        return found

    def _alike(self) -> Iterable[list[Numbered]]:
        """Blanks whose sections look alike, label by label."""
        groups: dict[object, list[Numbered]] = {}
        for blank in self.bench.blanks:
            shapes = tuple(self._shapes(blank))
            groups.setdefault((blank.section, shapes) if blank.ripped else blank, []).append(blank)
        return groups.values()

    def _shapes(self, blank: Numbered) -> Iterator[LabelledBox]:
        for box, strip in zip(list_strip_boxes(blank.blank), blank.blank.strips, strict=True):
            label = "+".join(dict.fromkeys(self._key(piece) for piece in strip.pieces))
            yield LabelledBox(*box, label, self.words.ruler.size(strip.thickness, strip.width))

    def _blank(self, blank: Numbered) -> BlankView:
        size = self.words.ruler.size(*blank.section, blank.blank.length)
        named = f"Blank {blank.number}, {counted(blank.count, 'piece')} {size}"
        groups: dict[object, list[Strip]] = {}
        for strip in blank.blank.strips:
            alike = (strip.thickness, strip.width, frozenset(Counter(strip.pieces).items()))
            groups.setdefault(alike, []).append(strip)
        strips = tuple(self._strips(blank, group) for group in groups.values())
        says = f"{named}: {self._says(blank, list(groups.values()))}."
        return BlankView(blank.number, blank.blank.length, says, strips)

    def _strips(self, blank: Numbered, alike: list[Strip]) -> StripView:
        one, show = alike[0], self.words.ruler
        pieces = Counter(one.pieces)
        used = sum((piece.length + self.words.saw.kerf for piece in one.pieces), Fraction(0))
        stretches = (
            *(Stretch(p.length, n, self._key(p), show.show(p.length)) for p, n in pieces.items()),
            *self._left(blank.stock, one.thickness, one.width, blank.blank.length - used),
        )
        size, kerf = show.size(one.thickness, one.width), self.words.saw.kerf
        return StripView(len(alike), size, one.width, kerf, stretches)

    def _says(self, blank: Numbered, groups: list[list[Strip]]) -> str:
        """What one blank is ripped into, and what is crosscut from each strip."""
        show = self.words.ruler
        told = []
        for alike in groups:
            pieces = Counter(alike[0].pieces)
            cut = listed(
                f"{so_many(n, self._key(p))} ({show.show(p.length)})" for p, n in pieces.items()
            )
            size = show.size(alike[0].thickness, alike[0].width)
            each = " each" if len(alike) > 1 else ""
            rip = f"{counted(len(alike), 'strip')} {size} for {cut}{each}"
            told.append(rip if blank.ripped else cut)
        return "; ".join(told) if blank.ripped else f"not ripped, {listed(told)}"

    def _key(self, piece: Piece | PanelPiece) -> str:
        return self.keys[piece.project, piece.part]

    # --- sheets --------------------------------------------------------------------------------

    def view_sheets(self) -> Iterator[SheetView]:
        """View each sheet from above."""
        for sheet in self.bench.sheets:
            cut = sheet.cut
            assert isinstance(cut, CutPanel)
            shapes = tuple(
                LabelledBox(
                    *piece.at,
                    piece.length,
                    piece.width,
                    self._key(piece),
                    self.words.ruler.size(piece.length, piece.width),
                )
                for piece in cut.pieces
            )
            counts = Counter(self._key(piece) for piece in cut.pieces)
            says = f"{listed(so_many(n, key) for key, n in counts.items())}."
            yield SheetView(
                sheet.letter,
                self._heading(sheet),
                (cut.length, cut.width),
                self.words.saw.kerf,
                shapes,
                says,
                tuple(self._kept_of_sheet(sheet, shapes)),
            )

    def _kept_of_sheet(
        self, sheet: Lettered, shapes: tuple[LabelledBox, ...]
    ) -> Iterator[LabelledBox]:
        cut, trim = sheet.cut, self.words.saw.sheet_trim
        area = Place(trim, trim, cut.length - 2 * trim, cut.width - 2 * trim)
        sizes = [
            (along, across)
            for along, across in self._rests.get(sheet.letter, ())
            if (cut.stock, cut.thickness, across, along) in self.kept
        ]
        return self._places(area, shapes, sizes)
