"""Commas in numbers: what was meant, to be written with a point."""

from __future__ import annotations

import re

_NUMBER = re.compile(r"[+-]?[0-9]{1,18}(?:[.,][0-9]{1,18})*")


def with_point(text: str) -> str | None:
    """Spell out a text whose numbers have commas, with points; None where none has one.

    Three digits after a single comma may be thousands as well: then both are told.
    """
    spelt = _NUMBER.sub(lambda found: _respell(found[0]), text)
    if spelt == text:
        return None
    either = re.fullmatch(r"[+-]?[0-9]{1,3},[0-9]{3}", text)
    return f"{spelt}, or {text.replace(',', '')}" if either else spelt


def _respell(number: str) -> str:
    if "," not in number:
        return number
    last = max(number.rfind(","), number.rfind("."))
    whole, decimals = re.sub("[.,]", "", number[:last]), number[last + 1 :]
    thousands = len(decimals) == 3 and number.count(",") > 1 and "." not in number
    return f"{whole}{decimals}" if thousands else f"{whole}.{decimals}"
