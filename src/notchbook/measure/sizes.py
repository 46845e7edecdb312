"""Sizes: thickness x width x length, and a project's named sizes that may use one another."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction

from notchbook.measure.formulas import (
    Token,
    calculate,
    evaluate,
    find_names,
    read_tokens,
    say_unknown_name,
)
from notchbook.measure.lengths import MeasureError, Units, check_text, quoted, to_exact

_BETWEEN = re.compile(" +x +")
_IDENTIFIER = re.compile("[a-z][a-z0-9_]*")
_DIMENSIONS = {
    1: "one length is wanted here, such as 5 1/2",
    2: "two lengths with x between them are wanted here, such as 1 x 3/8",
    3: "a size is thickness x width x length, such as 3/4 x 5 1/2 x 24",
}


def split_size(text: str) -> tuple[str, ...]:
    """Part a size as it was written into its dimensions, at each x with spaces around it.

    Raises MeasureError for text that is too long, empty, or has characters beyond plain ASCII.
    """
    return tuple(part.strip(" ") for part in _BETWEEN.split(check_text(text)))


def evaluate_size(
    text: str | int | float, units: Units, sizes: Mapping[str, Fraction], dimensions: int
) -> tuple[Fraction, ...]:
    """Work out the exact lengths in `units` of a size with so many dimensions.

    Raises MeasureError for another number of dimensions, one that is not above zero, and
    whatever `evaluate` refuses.
    """
    parts = split_size(text) if isinstance(text, str) else (text,)
    if isinstance(text, str) and len(parts) == 1 and (apart := _apart(text)):
        raise MeasureError(
            f"{quoted(text)} has no blanks around its x; write it with blanks: {apart}"
        )
    if len(parts) != dimensions:
        wanted = _DIMENSIONS.get(dimensions, f"{dimensions} lengths with x between are wanted")
        raise MeasureError(f"{quoted(text)} has {_counted(len(parts))}; {wanted}")
    found = tuple(evaluate(part, units, sizes) for part in parts)
    for part, value in zip(parts, found, strict=True):
        if value <= 0:
            raise MeasureError(
                f"{quoted(part)} in a size comes to {'zero' if value == 0 else 'less than zero'}; "
                "each dimension must be above zero"
            )
    return found


def _apart(text: str) -> str | None:
    """Spell out a size whose x has no blanks around it; None where it is no such size."""
    parts = [part.strip(" ") for part in re.split("[xX*]", text)]
    if len(parts) == 1 or not all(re.fullmatch("[0-9][0-9 ./-]*", part) for part in parts):
        return None
    return " x ".join(parts)


def _counted(parts: int) -> str:
    return "1 dimension" if parts == 1 else f"{parts} dimensions"


def resolve_sizes(
    sizes: Mapping[str, str | int | float], units: Units
) -> tuple[dict[str, Fraction], dict[str, str]]:
    """Work out a project's named sizes, in whatever order they need one another.

    Returns the exact lengths in `units` by name, and for each entry that failed a sentence that
    says why; each name is in one of the two, in the order given. Raises nothing.
    """
    read, errors = _read_entries(sizes, units)
    found: dict[str, Fraction] = {}
    for name in _in_order(read):
        try:
            found[name] = _worked_out(read[name], found, errors, sizes)
        except MeasureError as error:
            errors[name] = str(error)
    errors.update(_circles({name: read[name] for name in read if name not in found | errors}))
    return (
        {name: found[name] for name in sizes if name in found},
        {name: errors[name] for name in sizes if name in errors},
    )


def _read_entries(
    sizes: Mapping[str, str | int | float], units: Units
) -> tuple[dict[str, list[Token] | Fraction], dict[str, str]]:
    read: dict[str, list[Token] | Fraction] = {}
    errors: dict[str, str] = {}
    for name, written in sizes.items():
        try:
            _check_name(name)
            read[name] = (
                read_tokens(written, units) if isinstance(written, str) else to_exact(written)
            )
        except MeasureError as error:
            errors[name] = str(error)
    return read, errors


def _check_name(name: object) -> None:
    if name == "x":
        raise MeasureError("a size cannot be named x, which stands between dimensions; rename it")
    if not isinstance(name, str) or not _IDENTIFIER.fullmatch(name):
        raise MeasureError(
            f"{quoted(name)} cannot name a size; use small letters, digits and "
            "underscores, a letter first"
        )


def _needs(entry: list[Token] | Fraction, among: Iterable[str]) -> list[str]:
    return [] if isinstance(entry, Fraction) else [n for n in find_names(entry) if n in among]


def _in_order(read: Mapping[str, list[Token] | Fraction]) -> Iterable[str]:
    """Each name after all that it needs; names in a circle, or behind one, never come."""
    missing = {name: set(_needs(entry, read)) for name, entry in read.items()}
    users: dict[str, list[str]] = {name: [] for name in read}
    for name, needs in missing.items():
        for need in needs:
            users[need].append(name)
    ready = [name for name in read if not missing[name]]
    for name in ready:  # the list is a queue that grows while it is walked along
        for user in users[name]:
            missing[user].discard(name)
            if not missing[user]:
                ready.append(user)
    return ready


def _worked_out(
    entry: list[Token] | Fraction,
    found: Mapping[str, Fraction],
    errors: Mapping[str, str],
    known: Mapping[str, object],
) -> Fraction:
    if isinstance(entry, Fraction):
        return entry
    for need in find_names(entry):
        if need in errors:
            raise MeasureError(_behind(need))
        if need not in found:
            raise MeasureError(say_unknown_name(need, [n for n in known if isinstance(n, str)]))
    return calculate(entry, found)


def _circles(left: Mapping[str, list[Token] | Fraction]) -> dict[str, str]:
    """What to say of entries that need one another, or need one that does."""
    errors: dict[str, str] = {}
    for start in left:
        trail, stop = _trail(start, left, errors)
        circle = trail[trail.index(stop) :] if stop in trail else []
        told = _circle_told(circle)
        for name, need in zip(trail, [*trail[1:], stop], strict=False):
            errors[name] = told if name in circle else _behind(need)
    return errors


def _trail(
    start: str, left: Mapping[str, list[Token] | Fraction], told: Mapping[str, str]
) -> tuple[list[str], str]:
    """The names met from `start` on, and the one met again or already told of."""
    path: dict[str, None] = {}
    name = start
    while name not in path and name not in told:
        path[name] = None
        name = _needs(left[name], left)[0]
    return list(path), name


def _behind(need: str) -> str:
    return f"this needs {need}, which has an error of its own; mend that first"


def _circle_told(circle: list[str]) -> str:
    pairs = [f"{a} needs {b}" for a, b in zip(circle, circle[1:] + circle[:1], strict=True)]
    listed = pairs if len(pairs) <= 6 else [*pairs[:3], "...", *pairs[-2:]]
    return ", ".join(listed) + "; give one of them a length that needs no other"
