"""A bar on the terminal when planning takes longer than a moment."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack

import click

PATIENCE = 1.0
"""Seconds without a bar."""


def watched(names: list[str]) -> Iterator[str]:
    """Yield the names; the bar, on stderr, names each one and moves when it is taken."""
    started = time.monotonic()
    with ExitStack() as stack:
        bar = None
        for done, name in enumerate(names):
            if bar is not None:
                bar.update(1, name)
            elif sys.stderr.isatty() and time.monotonic() - started > PATIENCE:
                bar = stack.enter_context(
                    click.progressbar(
                        length=len(names), label="planning", file=sys.stderr, item_show_func=str
                    )
                )
                bar.update(done, name)
            yield name
        if bar is not None:
            bar.update(1)
