"""How LibreOffice's recalculation grows with the ledgers: `python -m tests.benchmarks....`.

Each size is opened and written twice: with stored values, which LibreOffice trusts, and without
any, so that it calculates all; the difference is the recalculation. In processor seconds, so that
other work on the machine does not count.
"""

from __future__ import annotations

import resource
import subprocess
import tempfile
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from notchbook.measure import CONVERSIONS
from notchbook.sheets import book_for
from notchbook.sheets.results.sheet import results_rows
from notchbook.workbook.layout.layout import arrange
from notchbook.workbook.layout.subject import Subject
from notchbook.workbook.write.compose import compose

from ..engines import without_values
from ..office import libreoffice
from ..worked import CHANNEL, project, worked
from .measured import heading, row

SIZES = (1_000, 3_000, 10_000)
FIRST = date(2026, 1, 1)


def ledgers(sales: int) -> dict[str, list[dict[str, Any]]]:
    """So many lines of sales, two a receipt, a return in thirty, and a fifth as many slips."""
    names = [f"thing {n}" for n in range(12)]
    rows = []
    for n in range(sales):
        row: dict[str, Any] = {"date": FIRST + timedelta(days=n * 364 // sales), "tier": "stall"}
        row |= {"receipt": f"R{n // 2}", "project": names[n % 12], "kind": "sale"}
        row |= {"quantity": 1, "price": 20 + n % 7, "fee": None, "unit_materials": 5}
        if n % 30 == 29:
            row |= {"kind": "return", "quantity": -1, "receipt": f"B{n}"}
            row |= {"return_of": f"R{(n - 12) // 2}"}
        rows.append(row)
    slips = [
        {"date": FIRST + timedelta(days=n * 364 // sales), "vendor": "v", "what": "w"}
        | {"category": ("materials", "office", "fees")[n % 3], "amount": 10 + n % 9}
        for n in range(0, sales, 5)
    ]
    runs = [
        {"date": FIRST + timedelta(days=7 * n), "project": name, "made": sales // 600 + 1}
        for n in range(50)
        for name in names
    ]
    things = [project() | {"project": name} for name in names]
    days = [
        {"date": FIRST + timedelta(days=7 * n), "channel": "street", "hours": 6} for n in range(50)
    ]
    return {
        **results_rows(("street",), names),
        "Selling days": days,
        "Projects": things,
        "Channels": [CHANNEL | {"fee": 0.05, "fixed_fee": 0.3, "collects_sales_tax": "self"}],
        "Sales ledger": rows,
        "Purchases": slips,
        "Production log": runs,
    }


def converted(path: Path, folder: Path) -> float:
    """Processor seconds that LibreOffice takes to open and write a workbook."""
    with tempfile.TemporaryDirectory() as profile:
        command = [libreoffice(), "--headless", f"-env:UserInstallation=file://{profile}"]
        begun = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(
            [*command, "--convert-to", "xlsx", "--outdir", str(folder), str(path)],
            check=True,
            capture_output=True,
        )
        ended = resource.getrusage(resource.RUSAGE_CHILDREN)
        return ended.ru_utime - begun.ru_utime + ended.ru_stime - begun.ru_stime


def main() -> None:
    units = {name: by_unit["inch"] for name, by_unit in CONVERSIONS.items()}
    book = book_for("us", 2026)
    heading(
        "LibreOffice's recalculation as ledgers grow",
        "sales", "purchases", "open (s)", "open and calculate (s)", "calculate (s)", "ratio",
    )  # fmt: skip
    before = 0.0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for sales in SIZES:
            filled = worked(ledgers(sales))
            path, bare = folder / "full.xlsx", folder / "bare.xlsx"
            subject = Subject("Bench", 2026, "USD", 2, "inch", "letter")
            path.write_bytes(compose(book, filled, arrange(book, filled, units).units, subject))
            without_values(path, bare)
            opened, both = converted(path, folder / "out"), converted(bare, folder / "out")
            took = both - opened
            ratio = f"{took / before:.2f}" if before else ""
            seconds = [f"{each:.1f}" for each in (opened, both, took)]
            row(f"{sales:,}", f"{sales // 5:,}", *seconds, ratio)
            before = took


if __name__ == "__main__":
    main()
