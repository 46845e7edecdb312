"""The look of the workbook: a quiet palette of our own, fonts that are always named, formats.

Contrast of text on fill, by the WCAG 2.2 formula: header 9.2, typed 9.3, worked out 18.4, planned
17.3, handed over 21, states 7.1 to 7.5; all above the 4.5 that AA asks, as a test computes. Roles
are told apart by fill, without colour by their edges (typed cells are boxed, worked-out ones open
at the sides, planned ones dotted, handed-over ones dashed), and by a word in the header's note.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.workbook import Workbook

from notchbook.language.value_kinds import Kind
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.show import Look
from notchbook.workbook.file.book import add_sheet
from notchbook.workbook.file.raw_cells import Style, cell_at, set_default_font, style_of

FONT = "Arial"
INK, PAPER, TYPED_INK, LINK_INK = "000000", "FFFFFF", "24406E", "17566B"
HEADER_FILL, TYPED_FILL, WORKED_FILL, PLANNED_FILL = "3B4A54", "FBF3E0", "F1F0EB", "E3EAEE"
GOOD, BAD, WARN = ("1D4A33", "CFE3D2"), ("74200F", "F3CDBE"), ("574409", "F1DF9F")
OLD = ("5A6166", PLANNED_FILL)  # what was planned for other inputs
CHART_FILL, CHART_EDGE, CHART_GRID = "AFC1CE", "2F3E48", "D6D4CC"
CHART_FILLS = (CHART_FILL, "5F7F96")  # of bars side by side, also told apart without colour
CHART_CURVES = (TYPED_INK, "A8501F", "3F6B45", "6B4F7B", "0E6F7C", "5B5F58")
TABS = {
    "start": "3B4A54",
    "plan": "8C6D3F",
    "price": "4F6F52",
    "ledger": "3B6E8F",
    "books": "6B4F7B",
    "output": "77746B",
}
PALETTE = frozenset(
    (INK, PAPER, TYPED_INK, HEADER_FILL, TYPED_FILL, WORKED_FILL, PLANNED_FILL, LINK_INK, "none")
)
"""All colours of cells that are ours, and the one of cells without any."""
_BOX = Side(style="thin", color="9A8F6F")
_HAIR = Side(style="thin", color="CBC8BE")
_DOTS = Side(style="dotted", color="8FA0AE")
_DASHES = Side(style="dashed", color="8FA0AE")
_BORDERS = {
    Role.GIVEN: Border(left=_BOX, right=_BOX, top=_BOX, bottom=_BOX),
    Role.COMPUTED: Border(top=_HAIR, bottom=_HAIR),
    Role.PLANNED: Border(top=_DOTS, bottom=_DOTS),
    Role.HANDED: Border(top=_DASHES, bottom=_DASHES),
}
_HEADER_BORDER = Border(left=Side(style="thin", color=PAPER), right=Side(style="thin", color=PAPER))
_FILLS = {
    Role.GIVEN: TYPED_FILL,
    Role.COMPUTED: WORKED_FILL,
    Role.PLANNED: PLANNED_FILL,
    Role.HANDED: PAPER,
}


DASH = "\N{EN DASH}"
_DASHED = {"money", "rate", "percent", "count", "amount", "volume", "minutes"}
"""What is shown as a dash where it is 0; a length of 0 is a place on a board."""
_WHOLE = ("amount", "length", "minutes", "percent")
"""What shows decimals only where there are any: 2 boards beside 6.04 fl oz."""
_FIRST_OF_WHOLE = 1_000  # beyond the numbers that programs give to the formats of cells


@dataclass(frozen=True)
class WholeFormat:
    """The format of a whole number, and how many decimals others beside it show.

    Files know it by `number`.
    """

    code: str
    number: int
    decimals: int

    @property
    def flush(self) -> WholeFormat:
        """The same without room behind it for the decimals of others."""
        code, number = self.code.partition("_")[0], self.number + len(_WHOLE)
        return WholeFormat(code, number, self.decimals)

    @property
    def least(self) -> int:
        """The decimals that a whole number has: those of a whole percent are two."""
        return 2 if self.code.endswith("%") else 0

    def fits(self, value: float) -> bool:
        """Tell whether a number is shown so."""
        whole = round(value, self.least)
        return whole != 0 and round(value, self.decimals) == whole


@dataclass(frozen=True)
class Formats:
    """Number formats of a shop: by its units and the decimals of its currency."""

    units: str
    currency: str
    decimals: int

    def code(self, look: Look, role: Role, quiet: bool) -> str:
        """The number format of a cell: what no maker need read is no number.

        `quiet` leaves out a 0: that of a blank row, or what a typed cell holds that was left blank.
        Elsewhere a worked-out 0 of money, minutes and the like is a dash, so that what is there
        stands out; so is what rounds to 0, as sums do that should be none.
        """
        if look.kind is Kind.TEXT:
            return "@" if role is Role.GIVEN else "General"
        pattern = self.pattern(look.format)
        if look.format in ("count", "amount") and role is Role.GIVEN:
            pattern = "General"  # a typed 2.5 stays 2.5, a typed 3 stays 3
        if ";" in pattern:
            return pattern
        if quiet:
            return f"{pattern};-{pattern};;@"
        if look.format in _DASHED and role is not Role.GIVEN:
            least = _least_shown(pattern)
            return f'[>={least}]{pattern};[<=-{least}]-{pattern};"{DASH}"'
        return pattern

    def whole(self, look: Look, role: Role) -> WholeFormat | None:
        """The number format of a whole number where others have decimals.

        None where decimals are always shown, as of money, or only where they were typed.
        """
        name = look.format.removesuffix(" or none")
        code = self.code(look, role, quiet=False)
        if name not in _WHOLE or "." not in code.partition(";")[0]:
            return None
        whole, _, decimals = self.pattern(name).partition(".")
        number = _FIRST_OF_WHOLE + _WHOLE.index(name)
        if decimals.endswith("%"):
            if role is not Role.GIVEN:  # those worked out rarely are whole
                return None
            return WholeFormat(whole + "%", number, len(decimals) + 1)
        stands_in_line = whole + "_." + "_0" * len(decimals)
        return WholeFormat(stands_in_line, number, len(decimals))

    def pattern(self, name: str) -> str:
        """The number format of a name, for whatever value."""
        money = "#,##0" + ("." + "0" * self.decimals if self.decimals else "")
        length = "# ??/??" if self.units == "inch" else "#,##0.0"
        patterns = {
            "length": length,
            "exact length": "#,##0.000" if self.units == "inch" else "#,##0.00",
            "length or none": f"{length};-{length};;@",
            "boards": "# ??/??",
            "money": money,
            "money or none": f"{money};-{money};;@",
            "rate": money + "??" if self.decimals else money + ".00",  # more only where there is
            "percent": "0.0%",
            "count": "#,##0",
            "yes or no": '"yes";"yes";"no"',
            "kept": '"kept";"kept";"kept"',
            "count or none": "#,##0;-#,##0;;@",
            "amount": "#,##0.00",
            "volume": "#,##0.00" if self.units == "inch" else "#,##0.0000",
            "minutes": "#,##0.0",
            "factor": "0.00",
            "fine": "#,##0.00??",
            "fine or none": "0.0000;-0.0000;;@",
            "angle": "General",
            "date": "yyyy-mm-dd",
            "year": "0",
            "plain": "General",
        }
        return patterns[name]


def _least_shown(pattern: str) -> str:
    """The least number that a pattern does not round to 0."""
    decimals = sum(pattern.partition(".")[2].count(sign) for sign in "0?")
    decimals += 2 * pattern.endswith("%")
    return f"{5 / 10 ** (decimals + 1):.{decimals + 1}f}"


class Styles:
    """Cell styles, made once each and shared by all cells that look alike."""

    def __init__(self, workbook: Workbook, formats: Formats) -> None:
        self.formats = formats
        self._scratch = add_sheet(workbook, "styles")
        self._made: dict[Hashable, Style] = {}
        self._workbook = workbook
        self._plain()

    def _plain(self) -> None:
        """Our letters as the default ones, whose widest digit is the unit of column widths."""
        letters = Font(name=FONT, size=10)
        set_default_font(self._workbook, letters)

    def finish(self) -> None:
        """Remove the sheet that the styles were made on."""
        self._workbook.remove(self._scratch)

    def of(self, value: object, look: Look, role: Role, quiet: bool = False) -> Style:
        """The style of a value: one that no formula changes is shown whole where it is."""
        whole = None if role is Role.GIVEN else self.formats.whole(look, role)
        fits = whole is not None and isinstance(value, int | float) and whole.fits(value)
        return self.cell(look, role, quiet, whole if fits else None)

    def cell(
        self, look: Look, role: Role, quiet: bool = False, whole: WholeFormat | None = None
    ) -> Style:
        """The style of a value in a table or line."""
        key = (look, role, quiet, whole)
        if key not in self._made:
            ink = TYPED_INK if role is Role.GIVEN else INK
            right = look.kind is not Kind.TEXT
            open_line = look.format in ("line", "box")
            self._made[key] = self._make(
                font=Font(
                    name=FONT,
                    size=11 if look.format == "box" else 10,
                    color=LINK_INK if look.links else ink,
                    underline="single" if look.links else None,
                ),
                fill=PatternFill() if open_line else PatternFill("solid", fgColor=_FILLS[role]),
                border=Border() if open_line else _BORDERS[role],
                number_format=whole.code if whole else self.formats.code(look, role, quiet),
                alignment=Alignment(
                    horizontal="right" if right else "left",
                    vertical="top",
                    wrap_text=look.wrap,
                    indent=0 if right or look.format == "box" else 1,
                ),
                protection=Protection(locked=role is not Role.GIVEN),
            )
        return self._made[key]

    def header(
        self, look: Look | None = None, bare: bool = False, beside_arrow: bool = False
    ) -> Style:
        """The style of a column's header; numbers and their headers stand right.

        `bare`: without lines at its sides, as part of a band; `beside_arrow`: a filter's arrow
        stands right of its words.
        """
        right = look is not None and look.kind is not Kind.TEXT
        wrap = look is None or look.format != "line"
        key = ("header", right, wrap, bare, beside_arrow)
        if key not in self._made:
            self._made[key] = self._make(
                font=Font(name=FONT, size=10, bold=True, color=PAPER),
                fill=PatternFill("solid", fgColor=HEADER_FILL),
                border=Border() if bare or not wrap else _HEADER_BORDER,
                alignment=Alignment(
                    horizontal="right" if right else "left",
                    vertical="top",
                    wrap_text=wrap,
                    indent=2 * beside_arrow if right else 1,
                ),
            )
        return self._made[key]

    def text(
        self,
        size: int = 10,
        bold: bool = False,
        wrap: bool = False,
        link: bool = False,
        indent: int = 0,
    ) -> Style:
        """The style of words outside tables."""
        key = ("text", size, bold, wrap, link, indent)
        if key not in self._made:
            self._made[key] = self._make(
                font=Font(
                    name=FONT,
                    size=size,
                    bold=bold,
                    color=LINK_INK if link else INK,
                    underline="single" if link else None,
                ),
                alignment=Alignment(
                    horizontal="left", vertical="top", wrap_text=wrap, indent=indent
                ),
            )
        return self._made[key]

    def _make(self, **parts: object) -> Style:
        cell = cell_at(self._scratch, len(self._made) + 1, 1)
        for name, value in parts.items():
            setattr(cell, name, value)
        return style_of(cell)
