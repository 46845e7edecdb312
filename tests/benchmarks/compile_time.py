"""How long a compile takes beside openpyxl writing as many cells.

Run it with `python -m tests.benchmarks.compile_time`.

Planning is left out of the ratio and shown beside it. Projects grow first, then the Sales ledger.
"""

from __future__ import annotations

import io
import tempfile
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from openpyxl import Workbook, load_workbook

from notchbook.sheets.kit.calculate import calculate
from notchbook.shop.pipeline import Priced, describe_subject, price
from notchbook.workbook.write.compose import compose

from .measured import heading, row, timed

AS_OF = date(2026, 11, 1)
SHOP = """\
shop: Bench
year: 2026
currency: USD
units: inch
labor_rate: 24.00
overhead_rate: 4.50
saw: {kerf: 1/8, squaring: 1/8, end_trim: 1/4, shortest_rip: 12}
pricing: {local_factor: 0.40, target_margin: 45%, ending: 0.00, offcuts: share, main_tier: stall,
          worth_per_hour: 30, skip_per_hour: 15}
tax: us
channels:
  - {channel: market, fee: 0%, fixed_fee: 0.00, packaging: 0.40, postage: 0.00,
     collects_sales_tax: self}
tiers:
  - {tier: stall, channel: market, margin: 45%}
  - {tier: trade, channel: market, margin: 20%, least_quantity: 6, follows: margin}
"""
STOCK = """\
lumber:
  - {stock: spruce 2x4 8ft, nominal: 2x4, length: 96, price: 4.15, priced_on: 2026-03-02}
  - {stock: pine 1x6 8ft, nominal: 1x6, length: 96, price: 7.60, priced_on: 2026-03-02}
hardware:
  - {stock: hook, price: 13.50, pack: 10, priced_on: 2026-03-02}
consumables:
  - {stock: coat, price: 21.00, pack: 32, unit: fl oz, covers: 125, covers_per: 32,
     priced_on: 2026-03-02}
"""
PROJECT = """\
project: rack {n}
title: Rack {n}
batch: {batch}
sizes: {{long: {long}}}
seen:
  - {{where: a shop, price: 64.00, on: 2026-03-02}}
parts:
  - {{part: back, make: 1, size: 3/4 x 5 1/2 x long, from: [pine 1x6 8ft]}}
  - {{part: rail, make: 2, size: 3/4 x 1 1/2 x long - 2, from: [spruce 2x4 8ft]}}
  - {{part: peg, make: 4, size: 3/8 x 3/4 x 5, from: [spruce 2x4 8ft]}}
  - {{part: cap, make: 1, size: 3/8 x 1 1/2 x long, from: [spruce 2x4 8ft]}}
uses:
  - {{stock: hook, each: 4}}
  - {{stock: coat, coats: 2, on: [back, rail]}}
steps:
  - {{step: saw, setup: 20, minutes: 9}}
  - {{step: sand and finish, setup: 10, minutes: 12}}
"""


def shop(folder: Path, projects: int, sales: int) -> Path:
    """A generated shop."""
    (folder / "projects").mkdir(parents=True)
    (folder / "ledgers").mkdir()
    (folder / "shop.yaml").write_text(SHOP)
    (folder / "stock.yaml").write_text(STOCK)
    for n in range(projects):
        text = PROJECT.format(n=n, batch=1 + n % 12, long=20 + n % 7)
        (folder / "projects" / f"rack-{n}.yaml").write_text(text)
    rows = ["date,receipt,project,tier,quantity,price,fee"]
    for n in range(sales):
        day = date(2026, 1, 1) + timedelta(days=n % 360)
        rows.append(f"{day},{n},rack {n % projects},stall,{1 + n % 3},32.00,0")
    (folder / "ledgers" / "sales.csv").write_text("\n".join(rows) + "\n")
    return folder


def best(work: Callable[[], Any], times: int = 3) -> float:
    """The least of a few times, which other work on the machine disturbs least."""
    return min(timed(work)[0] for _ in range(times))


def rework(priced: Priced) -> bytes:
    """All of a compile after planning: calculate and write."""
    calculate(priced.book, priced.filled, priced.units)
    return compose(priced.book, priced.filled, priced.units, describe_subject(priced.definitions))


def cells_of(data: bytes) -> list[tuple[str, list[list[Any]]]]:
    """The filled cells of a workbook, sheet by sheet."""
    book = load_workbook(io.BytesIO(data))
    return [
        (str(ws.title), [[cell.value for cell in row] for row in ws.iter_rows()])
        for ws in book.worksheets
    ]


def raw_write(sheets: list[tuple[str, list[list[Any]]]]) -> None:
    """openpyxl writing the same cells, and nothing else."""
    book = Workbook()
    for title, rows in sheets:
        ws = book.create_sheet(title)
        for cells in rows:
            ws.append(cells)
    book.save(io.BytesIO())


def report(name: str, projects: int, sales: int) -> None:
    """One line of the table."""
    with tempfile.TemporaryDirectory() as folder:
        read_and_plan, priced = timed(
            lambda: price(shop(Path(folder) / "shop", projects, sales), AS_OF)
        )
        data = rework(priced)
        ours = best(lambda: rework(priced))
        sheets = cells_of(data)
        count = sum(value is not None for _, rows in sheets for row in rows for value in row)
        raw = best(lambda: raw_write(sheets))
    row(
        name, f"{count:,}", f"{ours:.2f}", f"{raw:.2f}", f"{ours / raw:.2f}",
        f"{1e6 * ours / count:.1f}", f"{read_and_plan:.2f}",
    )  # fmt: skip


def main() -> None:
    """Print the table."""
    heading(
        "A compile beside openpyxl writing as many cells",
        "shop", "cells", "ours (s)", "openpyxl alone (s)", "ratio", "µs a cell",
        "read and plan (s)",
    )  # fmt: skip
    for projects in (1, 10, 100, 300):
        report(f"{projects} projects", projects, 60)
    for sales in (300, 3_000, 10_000):
        report(f"{sales:,} sales", 5, sales)


if __name__ == "__main__":
    main()
