"""A line on the terminal when planning takes longer than a moment: what is done, what is worked on.

It is drawn anew by a thread of its own, so that it moves while one project is planned, here or in
a process beside this one. Where stderr is no terminal nothing is drawn.
"""

from __future__ import annotations

import shutil
import sys
import threading
from collections.abc import Iterator, Sequence
from time import monotonic

PATIENCE = 1.0
"""Seconds without a line."""
EACH = 0.5
"""Seconds from one drawing to the next."""
_BAR = 24


def watched(steps: Sequence[str]) -> Iterator[str]:
    """Yield the steps; the line, on stderr, names each one and tells how long it takes so far."""
    if not sys.stderr.isatty():
        yield from steps
        return
    line = _Line(len(steps))
    try:
        for step in steps:
            line.begin(step)
            yield step
    finally:
        line.end()


class _Line:
    """The line of so many steps, which is wiped out at the end."""

    def __init__(self, steps: int) -> None:
        self._steps, self._begun, self._step = steps, 0, ""
        self._since = monotonic()
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._draw_on, daemon=True)
        self._thread.start()

    def begin(self, step: str) -> None:
        """Take the next step; the ones before are done."""
        self._begun += 1
        self._step, self._since = step, monotonic()

    def end(self) -> None:
        """Wipe the line out."""
        self._ended.set()
        self._thread.join()

    def _draw_on(self) -> None:
        if self._ended.wait(PATIENCE):
            return
        room, ended = shutil.get_terminal_size().columns - 1, False
        while not ended:
            sys.stderr.write(f"\r{self._words()[:room]:<{room}}")
            sys.stderr.flush()
            ended = self._ended.wait(EACH)
        sys.stderr.write(f"\r{'':{room}}\r")
        sys.stderr.flush()

    def _words(self) -> str:
        full = _BAR * max(self._begun - 1, 0) // max(self._steps, 1)
        seconds = monotonic() - self._since
        bar = "#" * full + "-" * (_BAR - full)
        return f"planning [{bar}] {self._begun} of {self._steps}: {self._step}, {seconds:.0f} s"
