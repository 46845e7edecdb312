"""Shops as plain data, for the verifier, and the same shops as the planner sees them."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

from notchbook.planning import Board, Job, Part, Plan, Saw, make_plan

from .plan_verifier import faults

Shop = dict[str, Any]
Json = dict[str, Any]
Size = tuple[object, object, object]  # thickness, width, length

PROJECT = "rail"
SAW = {"kerf": "1/8", "squaring": "1/8", "end_trim": "1/4", "shortest_rip": 12, "deepest_cut": 3}
PLAIN_SAW = {"kerf": 0, "squaring": 0, "end_trim": 0, "shortest_rip": 0, "deepest_cut": None}
SECTION = (1, 1)  # of one-dimensional jobs


def board(stock: str, size: Size, price: object = "4.15", **more: Any) -> Shop:
    """A board as plain data."""
    sides = dict(zip(("thickness", "width", "length"), size, strict=True))
    usual = {"kind": "lumber", "on_hand": 0, "buyable": True, "grain": False}
    return {"stock": stock, "price": price, **usual, **sides, **more}


USABLE = ("usable_offcut", "usable_width", "usable_thickness")


def panel(stock: str, size: Size, price: object = "11.80", **more: Any) -> Shop:
    """A sheet as plain data."""
    return board(stock, size, price, kind="panel", **more)


def part(name: str, make: int, size: Size, *stocks: str, **more: Any) -> Shop:
    """A part as plain data."""
    sides = dict(zip(("thickness", "width", "length"), size, strict=True))
    usual = {"project": PROJECT, "from": list(stocks), "turn": False}
    return {"part": name, "make": make, **usual, **sides, **more}


def shop_of(parts: list[Shop], boards: list[Shop], **saw: Any) -> Shop:
    """A shop as plain data, with the usual saw unless told otherwise."""
    return {"parts": parts, "boards": boards, "saw": SAW | saw, "usable_offcut": 12}


def stock_lengths(lengths: list[list[int]], pieces: list[list[int]]) -> Shop:
    """A one-dimensional job: (length, price) of the boards, (length, quantity) of the pieces.

    All of one section, as bought, and nothing lost to the saw.
    """
    boards = [board(f"{long} long", (*SECTION, long), price) for long, price in lengths]
    stocks = [each["stock"] for each in boards]
    parts = [
        part(f"p{n}", quantity, (*SECTION, long), *stocks)
        for n, (long, quantity) in enumerate(pieces)
    ]
    return shop_of(parts, boards, **PLAIN_SAW)


def _saw_of(saw: Shop) -> Saw:
    deepest, longest = saw["deepest_cut"], saw.get("longest_rip")
    return Saw(
        kerf=Fraction(saw["kerf"]),
        squaring=Fraction(saw["squaring"]),
        end_trim=Fraction(saw["end_trim"]),
        shortest_rip=Fraction(saw["shortest_rip"]),
        deepest_cut=None if deepest is None else Fraction(deepest),
        longest_rip=None if longest is None else Fraction(longest),
        sheet_trim=Fraction(saw.get("sheet_trim", 0)),
    )


def job_of(shop: Shop) -> Job:
    """The planner's view of the plain data."""
    return Job(
        tuple(
            Part(
                p["part"], p["project"], p["make"],
                Fraction(p["thickness"]), Fraction(p["width"]), Fraction(p["length"]),
                tuple(p["from"]), p["turn"],
            )
            for p in shop["parts"]
        ),
        tuple(
            Board(
                b["stock"], b["kind"],
                Fraction(b["thickness"]), Fraction(b["width"]), Fraction(b["length"]),
                Fraction(b["price"]), b["on_hand"], b["buyable"], b["grain"],
            )
            for b in shop["boards"]
        ),
        _saw_of(shop["saw"]),
        Fraction(shop["usable_offcut"]),
        Fraction(shop.get("usable_width", 0)),
        Fraction(shop.get("usable_thickness", 0)),
    )  # fmt: skip


def plain(job: Job) -> Shop:
    """A job of the planner as plain data."""
    parts = [
        part(
            p.part, p.make, (p.thickness, p.width, p.length), *p.stocks,
            project=p.project, turn=p.turn,
        )
        for p in job.parts
    ]  # fmt: skip
    boards = [
        board(
            b.stock, (b.thickness, b.width, b.length), b.price,
            kind=b.kind, on_hand=b.on_hand, buyable=b.buyable, grain=b.grain,
        )
        for b in job.boards
    ]  # fmt: skip
    saw = {key: getattr(job.saw, key) for key in (*SAW, "longest_rip", "sheet_trim")}
    usable = {key: getattr(job, key) for key in USABLE}
    return {"parts": parts, "boards": boards, "saw": saw, **usable}


def as_printed(plan: Plan) -> Json:
    """The plan after a turn through JSON text."""
    read: Json = json.loads(json.dumps(plan.as_json(2)))
    return read


def planned(shop: Shop, units: int = 1) -> Json:
    """The plan's JSON, once the verifier has passed it."""
    plan = as_printed(make_plan(job_of(shop), units, PROJECT))
    assert faults(plan, shop, units) == []
    return plan
