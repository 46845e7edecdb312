"""How long a compile of a filled workbook takes beside openpyxl's bare load and save of that file.

Run it with `python -m tests.benchmarks.recompile_time`.
"""

from __future__ import annotations

import io
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from openpyxl import load_workbook

from notchbook.commands.compile import compile_shop
from notchbook.gathering import gather, workbook_path

from .compile_time import AS_OF, shop
from .measured import heading, row


def load_and_save(data: bytes) -> None:
    """openpyxl reading a workbook and writing it, and nothing else."""
    load_workbook(io.BytesIO(data)).save(io.BytesIO())


def best(work: Callable[[], object], times: int) -> float:
    """The least time of this process, which other work on the machine disturbs least."""
    found = []
    for _ in range(times):
        start = time.process_time()
        work()
        found.append(time.process_time() - start)
    return min(found)


def measure(sales: int, times: int = 3) -> tuple[float, float]:
    """Seconds of a compile, and of openpyxl's load and save."""
    with tempfile.TemporaryDirectory() as name:
        folder = shop(Path(name) / "shop", 5, sales)
        compile_shop(folder, None, AS_OF)
        data = workbook_path(gather(folder, None).definitions).read_bytes()
        ours = best(lambda: compile_shop(folder, None, None), times)
        return ours, best(lambda: load_and_save(data), times)


def main() -> None:
    """Print the table."""
    heading(
        "A compile of a filled workbook beside openpyxl's load and save",
        "sales", "compile (s)", "load and save (s)", "ratio",
    )  # fmt: skip
    for sales in (300, 3_000, 10_000):
        ours, bare = measure(sales)
        row(f"{sales:,}", f"{ours:.2f}", f"{bare:.2f}", f"{ours / bare:.2f}")


if __name__ == "__main__":
    main()
