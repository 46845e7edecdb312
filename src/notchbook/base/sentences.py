"""Small words: numbers with their nouns, and things listed in a row."""

from __future__ import annotations

import re
import shutil
import textwrap
from collections.abc import Iterable
from typing import TextIO

COLUMNS = 80
MOST = 10
"""Lines of a kind that are told where not all of them are asked for."""
_IN_A_SIZE = re.compile(r"(?<=\d) (?=\d+/\d)|(?<=\d) (?=x )|(?<= x) (?=[\d~])")


def counted(number: int, noun: str) -> str:
    """Return a number with its noun: `1 project`, `3 projects`."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


def so_many(number: float, name: str) -> str:
    """Return so many of what a maker named: `4 x brace`; no plural is made of such a name."""
    return f"{number:,.12g} x {name}"


def listed(words: Iterable[str]) -> str:
    """Join words: `A`, `A and B`, `A, B and C`."""
    *before, last = words
    return f"{', '.join(before)} and {last}" if before else last


def letters(number: int, alphabet: str) -> str:
    """Name 0, 1, 2 and so on: `a` to `z`, then `aa`, `ab` and so on."""
    before, last = divmod(number, len(alphabet))
    return (letters(before - 1, alphabet) if before else "") + alphabet[last]


def kept_together(text: str) -> str:
    """Put no-break spaces within the sizes of a text."""
    return _IN_A_SIZE.sub("\N{NO-BREAK SPACE}", text)


def wrapped(
    text: str, first: str = "", rest: str | None = None, columns: int = COLUMNS
) -> list[str]:
    """Break text into lines after `first`, the next ones after `rest` or as far in.

    A size such as `1 1/2 x 3` stays in one line.
    """
    lines = textwrap.wrap(
        kept_together(text),
        columns,
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
    )
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]


def fitted(text: str, stream: TextIO) -> str:
    """Break lines between words for a terminal of any width; elsewhere a line stays one."""
    if not stream.isatty():
        return text
    width = max(shutil.get_terminal_size().columns - 1, 40)
    return "\n".join(_broken(line, width) for line in text.splitlines())


def _broken(line: str, width: int) -> str:
    indent = " " * (len(line) - len(line.lstrip()) + 2)
    return textwrap.fill(
        line, width, subsequent_indent=indent, break_on_hyphens=False, break_long_words=False
    )
