"""What is wrong in a definition file, where, and what to write instead."""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from notchbook.measure.lengths import quoted

__all__ = ["DefinitionError", "Problem", "Problems", "SourceFile", "closest", "nearest", "quoted"]

LONGEST_MESSAGE = 400
MOST_IN_A_FILE = 100
"""Problems listed for one file: a maker mends the first ones and looks again."""


@dataclass(frozen=True, order=True)
class Problem:
    """One fault: the file (relative to the shop's folder), its line, and a sentence.

    A cell of the workbook stands in place of the file, as `Stock!H9`, with line 0.
    """

    file: str
    line: int
    message: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{_one_line(place)}: {_one_line(self.message)}"


class DefinitionError(Exception):
    """The definitions of a shop cannot be used; `problems` tells of every fault found."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = list(problems)


class Problems:
    """Collects the problems of a run, each once, and not too many of a file."""

    def __init__(self) -> None:
        self._found: dict[Problem, None] = {}
        self._in_file: Counter[str] = Counter()

    def add(self, file: str, line: int, message: str) -> None:
        """Note a problem; beyond the most of a file it is left out."""
        problem = Problem(file, line, message)
        if problem in self._found or self._in_file[file] > MOST_IN_A_FILE:
            return
        self._in_file[file] += 1
        if self._in_file[file] > MOST_IN_A_FILE:
            problem = Problem(
                file, line, f"there are more than {MOST_IN_A_FILE} problems; mend the others first"
            )
        self._found[problem] = None

    def at(self, file: str, line: int) -> bool:
        """Tell whether there is a problem at a place already."""
        return any((each.file, each.line) == (file, line) for each in self._found)

    def sorted(self) -> list[Problem]:
        """Return the problems by file and line."""
        return sorted(self._found)


@dataclass(frozen=True)
class SourceFile:
    """The file that is being read, as messages name it."""

    file: str
    problems: Problems

    def report(self, line: int, message: str) -> None:
        """Note a problem at a line of this file."""
        self.problems.add(self.file, line, message)


def nearest(word: str, known: Iterable[str]) -> str:
    """Return ` (nearest known: ...)` for a word that is close to a known one, else nothing."""
    found = closest(word, known)
    return f" (nearest known: {found})" if found else ""


def closest(word: str, known: Iterable[str]) -> str | None:
    """Find the known word that is closest to another; None where none is close."""
    return _closest(word[:80].casefold(), tuple(known)[:500])


@lru_cache(maxsize=1000)
def _closest(word: str, known: tuple[str, ...]) -> str | None:
    folded = {name.casefold(): name for name in known}
    close = difflib.get_close_matches(word, folded, n=1, cutoff=0.5)
    return folded[close[0]] if close else None


def _one_line(text: str) -> str:
    shown = text if len(text) <= LONGEST_MESSAGE else text[: LONGEST_MESSAGE - 3] + "..."
    return "".join(sign if sign.isprintable() else "?" for sign in shown)
