"""How the ends of a part are cut: `mitre 45` or `miter 45`, `mitre 45 one end`, `bevel 22.5`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Literal, cast

from pydantic import AfterValidator

from notchbook.sheets.kit.values import Text

Cut = Literal["mitre", "bevel"]
Form = Literal["both", "one end", "parallel"]

_ENDS = re.compile(
    r"(?P<cut>mit(?:re|er)|bevel) +(?P<degrees>[0-9]{1,2}(?:\.[0-9]{1,6})?)"
    r"(?: +(?P<form>one +end|parallel))?"
)
_EXAMPLES = "miter 45 (or mitre 45), miter 45 one end, miter 45 parallel or bevel 45"


@dataclass(frozen=True)
class Ends:
    """Cut across the face (mitre) or through the thickness (bevel), so many degrees off square.

    With `both`, the long points are on the same edge; with `parallel`, on opposite ones.
    """

    cut: Cut
    degrees: Fraction
    form: Form

    def __str__(self) -> str:
        words = f"{self.cut} {float(self.degrees):g}"
        return words if self.form == "both" else f"{words} {self.form}"


def parse_ends(text: str) -> Ends:
    """The cut that was written.

    Raises ValueError for anything else, and for degrees that are not between 0 and 90.
    """
    found = _ENDS.fullmatch(text.strip(" "))
    if found is None:
        raise ValueError(f"this does not say how the ends are cut; write {_EXAMPLES}")
    degrees = Fraction(found["degrees"])
    if not 0 < degrees < 90:
        raise ValueError(
            f"{found['degrees']} degrees off square cannot be cut; write degrees between 0 and 90"
        )
    form = " ".join((found["form"] or "both").split())
    cut: Cut = "bevel" if found["cut"] == "bevel" else "mitre"
    return Ends(cut, degrees, cast(Form, form))


def _readable(text: str) -> str:
    parse_ends(text)
    return text


EndCuts = Annotated[Text, AfterValidator(_readable)]
"""How ends are cut, in words that can be read."""
