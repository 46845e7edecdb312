"""How LibreOffice's recalculation grows with the ledgers: `python -m tests.benchmarks....`.

Each size is opened twice, once to be calculated once and once to be calculated three times; half
the difference is one recalculation of everything. In processor seconds, so that other work on the
machine counts little.
"""

from __future__ import annotations

import resource
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

from ..office import Office, libreoffice
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


def processor(path: Path, times: int) -> float:
    """Processor seconds that LibreOffice takes to open a workbook and calculate it some times."""
    begun = resource.getrusage(resource.RUSAGE_CHILDREN)
    office = Office(libreoffice())
    told = office.run(
        f"""\
Sub Work
Dim b As Object, n As Integer
b = StarDesktop.loadComponentFromURL("{path.resolve().as_uri()}", "_blank", 0, Array())
For n = 1 To {times}
b.calculateAll()
Next
b.close(True)
End Sub
"""
    )
    office.quit()
    if told != "done":
        raise SystemExit(told)
    ended = resource.getrusage(resource.RUSAGE_CHILDREN)
    return ended.ru_utime - begun.ru_utime + ended.ru_stime - begun.ru_stime


def main() -> None:
    units = {name: by_unit["inch"] for name, by_unit in CONVERSIONS.items()}
    book = book_for("us", 2026)
    heading(
        "LibreOffice's recalculation as ledgers grow",
        "sales", "purchases", "open, calculate (s)", "calculate (s)", "ratio",
    )  # fmt: skip
    before = 0.0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for sales in SIZES:
            filled = worked(ledgers(sales))
            path = folder / "full.xlsx"
            subject = Subject("Bench", 2026, "USD", 2, "inch", "letter")
            path.write_bytes(compose(book, filled, arrange(book, filled, units).units, subject))
            once, thrice = processor(path, 1), processor(path, 3)
            took = (thrice - once) / 2
            ratio = f"{took / before:.2f}" if before else ""
            row(f"{sales:,}", f"{sales // 5:,}", f"{once:.1f}", f"{took:.2f}", ratio)
            before = took


if __name__ == "__main__":
    main()
