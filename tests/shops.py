"""A small good shop, written to a folder file by file, for tests that change one thing of it."""

from __future__ import annotations

from pathlib import Path

GOOD: dict[str, str] = {
    "shop.yaml": """\
shop: Bench and Burr
year: 2026
currency: USD
units: inch
labor_rate: 24.00
overhead_rate: 4.50
saw: {kerf: 1/8, squaring: 1/8, end_trim: 1/4, shortest_rip: 12, deepest_cut: 3}
pricing:
  local_factor: 0.40
  target_margin: 45%
  ending: 0.00
  offcuts: share
  main_tier: market stall
  worth_per_hour: 30
  skip_per_hour: 15
tax: us
channels:
  - {channel: saturday market, fee: 0%, fixed_fee: 0.00, packaging: 0.40, postage: 0.00,
     collects_sales_tax: self}
  - {channel: web shop, fee: 9.5%, fixed_fee: 0.45, packaging: 2.10, postage: 9.80,
     collects_sales_tax: marketplace}
tiers:
  - {tier: market stall, channel: saturday market, margin: 45%}
  - {tier: online, channel: web shop}
  - {tier: trade, channel: saturday market, margin: 20%, least_quantity: 6, follows: margin}
""",
    "stock.yaml": """\
lumber:
  - {stock: spruce 2x4 8ft, nominal: 2x4, length: 96, price: 4.15, vendor: Yard A,
     priced_on: 2026-03-02, on_hand: 3}
  - {stock: pine 1x6 8ft, nominal: 1x6, length: 96, price: 7.60}
  - {stock: barn board, thickness: 7/8, width: 5 1/2, length: 60, price: 0,
     reclaimed: true, prep_minutes: 12, on_hand: 9}
panels:
  - {stock: ply 1/4 2x4ft, thickness: 1/4, width: 24, length: 48, price: 11.80, grain: true}
hardware:
  - {stock: brass cup pull, price: 13.50, pack: 10}
consumables:
  - {stock: wood glue, price: 8.90, pack: 16, unit: fl oz}
  - {stock: clear coat, price: 21.00, pack: 32, unit: fl oz, covers: 125, covers_per: 32}
""",
    "tools.yaml": """\
tools:
  - {tool: branding iron, cost: 48.00, in_service: 2026-02-10, wear: per use,
     expected_uses: 400, tax_method: expensed}
  - {tool: jobsite table saw, cost: 640.00, in_service: 2025-05-03, wear: hours,
     life_hours: 2000, tax_method: macrs 7, taken_before: 91.46}
""",
    "ideas.yaml": """\
ideas:
  - idea: key shelf
    seen: [{where: pier shop, price: 58.00}]
    minutes: 34
    cuts:
      - {from: spruce 2x4 8ft, boards: 1/4}
      - {from: ply 1/4 2x4ft, make: 5, size: 1/4 x 1 x 9}
    uses: [{stock: brass cup pull, each: 4}]
""",
    "projects/herb-rail.yaml": """\
project: herb rail
title: Windowsill herb rail
batch: 6
sizes: {long: 24, deep: 5 1/2, inner: long - 2 * 3/4}
asked: {market stall: 32}
spoilage: 5%
seen:
  - {where: home store, price: 64.00, on: 2026-03-02}
parts:
  - {part: front, make: 2, size: 3/4 x 5 1/2 x long, from: [pine 1x6 8ft]}
  - {part: end, make: 2, size: 3/4 x deep x deep - 1 1/2, from: [pine 1x6 8ft], ends: mitre 45}
  - {part: slat, make: 5, size: 3/8 x 1 x inner, from: [spruce 2x4 8ft, barn board]}
  - {part: back, make: 1, size: 1/4 x 10 x 20, from: [ply 1/4 2x4ft], turn: true}
laid:
  - {surface: face, pattern: herringbone, width: 12, height: 20, strip: 1/2 x 2 x 8,
     waste: 12%, from: [barn board]}
marks:
  - {on: front, mark: notch, count: 3, first: 1/2, gap: 3, size: 1 x 3/8}
  - {on: [slat, end], mark: stamp, count: 7, spread: even, margin: 3/4}
uses:
  - {stock: brass cup pull, each: 2}
  - {stock: wood glue, each: 1.5}
  - {stock: clear coat, coats: 2, on: [front, face], faces: 1}
  - {stock: wood glue, per_length: 0.02, along: [slat]}
steps:
  - {step: rip and crosscut, setup: 20, minutes: 6}
  - {step: finish, setup: 5, minutes: 4}
tools: [{tool: branding iron, uses: 1}, {tool: jobsite table saw, hours: 0.25}]
cautions: [narrow rips, spray finish]
""",
    "projects/peg-board.yaml": """\
project: peg board
title: Peg board
batch: 4
sizes: {long: 20}
variants:
  small: {long: 16}
  large: {long: 2 * 16}
parts:
  - {part: board, make: 1, size: 3/4 x 5 1/2 x long, from: [pine 1x6 8ft]}
steps:
  - {step: cut, setup: 10, minutes: 3}
""",
    "ledgers/sales.csv": """\
date,receipt,project,tier,quantity,price,kind,fee,note
2026-05-02,101,herb rail,market stall,2,32.00,,,
2026-05-03,102,peg board small,online,1,24.00,sale,2.73,"blue paper, ribbon"
2026-05-09,103,herb rail,market stall,-1,32.00,return,,
""",
    "ledgers/money.csv": "date,account,what,amount\n2026-01-01,till,opening,150.00\n",
    "ledgers/purchases.csv": """\
date,vendor,what,category,amount,stock,packs,tool
2026-04-01,Yard A,boards,materials,41.50,spruce 2x4 8ft,10,
2026-02-10,Ironworks,branding iron,tools,48.00,,,branding iron
""",
    "ledgers/next_batches.csv": "project,can_sell\nherb rail,8\n",
    "ledgers/production.csv": """\
date,project,made,spoiled,minutes
2026-04-20,herb rail,6,1,75
""",
    "ledgers/selling_days.csv": """\
date,channel,hours
2026-05-02,saturday market,6
""",
    "ledgers/mileage.csv": """\
date,purpose,miles
2026-05-02,market and back,18.5
""",
    "ledgers/counts.csv": """\
date,stock,project,quantity,value
2026-01-01,wood glue,,10,5.60
2026-01-01,,herb rail,3,21.00
""",
    "ledgers/offcuts.csv": """\
stock,thickness,width,length,count,run
spruce 2x4 8ft,1 1/2,3 1/2,13,2,first rail
""",
    "ledgers/statements.csv": """\
channel,from,to,gross
web shop,2026-01-01,2026-06-30,24.00
""",
}
"""The files by their path in the shop's folder."""

FOLDER = b"\0a folder"
"""In place of a file's text: a folder of this name is made."""


def write_shop(folder: Path, **changes: str | bytes | None) -> Path:
    """Writes the good shop into a folder, with some files changed, added, or left out (None)."""
    for name, text in {**GOOD, **changes}.items():
        if text is None:
            continue
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if text == FOLDER:
            path.mkdir()
        else:
            path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return folder
