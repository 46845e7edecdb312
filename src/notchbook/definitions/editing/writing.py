"""Cells written as the definition files write them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction

from notchbook.definitions.editing.edits import quoted_text
from notchbook.definitions.syntax.places import SYNTAX
from notchbook.merging.cells import Cells, Value
from notchbook.sheets.kit.show import Look
from notchbook.sheets.kit.written import Joined, Reads

_YES_KEYS = {key.key for keys in SYNTAX.values() for key in keys if key.reads is Reads.YES}
_FINEST = 128


def written(value: Value, look: Look, key: str, before: str | None = None) -> str | None:
    """A cell as the value of a key; `before` is what the file says now, whose spelling is kept."""
    match value:
        case None:
            return None
        case date():
            return value.isoformat()
        case str():
            return "true" if key in _YES_KEYS else quoted_text(value)
    if look.format == "length":
        return length(value)
    if look.format == "percent" or (before or "").endswith("%"):
        return f"{number(round(value * 100, 10))}%"
    return money(value) if look.format == "money" else number(value)


def write_csv(header: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """Write rows under their header as the text of a CSV file."""
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return target.getvalue()


def money(value: float) -> str:
    """An amount: two digits behind the point, or all that it has."""
    return f"{value:.2f}" if round(value, 2) == value else number(value)


def number(value: float) -> str:
    """A number in plain digits."""
    text = f"{value:.12g}"
    return text if "e" not in text else f"{value:.12f}".rstrip("0").rstrip(".")


def length(value: float) -> str:
    """A length with its fraction, as on the tape, where it has a fine one."""
    near = Fraction(value).limit_denominator(_FINEST)
    if abs(near - Fraction(value)) > Fraction(1, 10**9) or near.denominator & (
        near.denominator - 1
    ):
        return number(value)
    whole, rest = divmod(near, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def size(cells: Cells, fields: tuple[str, ...], said: Cells, before: str | None) -> str | None:
    """Lengths as one size; those that did not change stay as they were written."""
    values = [cells.get(name) for name in fields]
    if any(value is None for value in values):
        return None
    parts = (before or "").split(" x ")
    kept = parts if len(parts) == len(fields) else [""] * len(fields)
    texts = []
    for name, value, text in zip(fields, values, kept, strict=True):
        unchanged = text.strip() and said.get(name) == value
        texts.append(text.strip() if unchanged else length(float(str(value))))
    return " x ".join(texts)


def sides(cells: Cells, joined: Joined) -> str | None:
    """Lengths inside a key: one where it says them all, else each under its name."""
    values = [cells.get(name) for name in joined.columns]
    told = {key: length(float(str(v))) for key, v in zip(joined.inside, values, strict=True) if v}
    if not told:
        return None
    plain = len(told) == joined.bare == len([v for v in values[: joined.bare] if v == values[0]])
    return next(iter(told.values())) if plain else entry(told)


def names(value: Value, separator: str = ";") -> str | None:
    """A list of names from a cell that holds them with semicolons."""
    found = [name.strip() for name in str(value or "").split(separator) if name.strip()]
    return f"[{', '.join(quoted_text(name) for name in found)}]" if found else None


def entry(keys: Mapping[str, str | None]) -> str:
    """Keys and values as an entry on one line."""
    return "{" + ", ".join(f"{key}: {text}" for key, text in keys.items() if text is not None) + "}"
