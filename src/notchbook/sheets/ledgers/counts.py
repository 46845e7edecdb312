"""Counts: what was counted on the shelf at the start and the end of the year."""

from __future__ import annotations

from typing import Annotated, Literal

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when
from notchbook.sheets.kit import show
from notchbook.sheets.kit.columns import Given, Row, computed
from notchbook.sheets.kit.declare import Sheet, table
from notchbook.sheets.kit.faults import (
    Strength,
    look,
    no_number,
    of_values,
    state,
    text_in,
    unknown,
)
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START, setting, to_money
from notchbook.sheets.kit.values import Day, Money, Name, Number
from notchbook.sheets.kit.written import Written

STAGES = ("raw", "in work", "finished")


class CountRow(Row):
    """One count of a stock or of a finished project."""

    written = (Written("counts.csv"),)
    date: Annotated[Day, Given("first day: opening; last day: closing", example="2026-12-31")]
    stock: Annotated[Name | None, Given("the stock counted", refers="Stock.stock")] = None
    project: Annotated[
        Name | None,
        Given("or the project whose finished pieces were counted", refers="Projects.project"),
    ] = None
    stage: Annotated[
        Literal["raw", "in work", "finished"] | None,
        Given(
            "in work: cut or begun, not yet on Production log",
            blank="a stock is raw, a project finished",
        ),
    ] = None
    quantity: Annotated[Number, Given("how many, or how much", example="4")]
    value: Annotated[
        Money | None,
        Given(
            "what it cost to buy: materials, not labor",
            blank="as proposed: by the list price at the opening, by the books at the close",
            example="16.60",
        ),
    ] = None


COUNTED = {
    "opening": (x.where("date", ">=", YEAR_START - 1), x.where("date", "<=", YEAR_START)),
    "closing": (x.where("date", ">=", YEAR_END - 1), x.where("date", "<=", YEAR_END + 1)),
}
"""When a count is the year's opening or closing one: on the day, or on its neighbour."""


def counted_value(*conditions: x.Where) -> x.Expression:
    """What counts are worth: as typed, else as proposed."""
    return x.total("Counts", "value", *conditions) + x.total("Counts", "proposed", *conditions)


BEGUN = x.where("stage", "=", "in work")
_NOT_BEGUN = x.where("stage", "<>", "in work")
STAGE: dict[str, tuple[x.Where, ...]] = {
    "raw": (x.where("stock", "<>", ""), _NOT_BEGUN),
    "in work": (BEGUN,),
    "finished": (x.where("project", "<>", ""), _NOT_BEGUN),
}
"""Which counts are raw stock, in work, and finished: together all, each row once."""

_DATE = this.date
_NO_STOCK = x.blank(this.stock)
_NO_PROJECT = x.blank(this.project)

_OF_BOTH = ~_NO_STOCK & ~_NO_PROJECT
_WRONG_STAGE = (this.stage.equals("finished") & _NO_PROJECT) | (
    this.stage.equals("raw") & _NO_STOCK
)


def _each(opening: tuple[str, str], closing: tuple[str, str]) -> x.Expression:
    """A column of Stock or Projects that tells what one costs, by when it is counted."""

    def of(columns: tuple[str, str]) -> x.Expression:
        stock, project = columns
        return when(
            _NO_STOCK,
            x.look_up("Projects", project, project=this.project),
            x.look_up("Stock", stock, stock=this.stock),
        )

    return when(this.count.equals("closing"), of(closing), of(opening))


_HELD = x.look_up("Stock", "opening", stock=this.stock) + x.look_up(
    "Stock", "bought", stock=this.stock
)
_AVERAGE = x.look_up("Stock", "moving_average", stock=this.stock)
_WORTH = this.quantity * when(
    _NO_STOCK,
    x.look_up("Projects", "books_each", project=this.project),
    when(
        this.count.equals("closing") & (_AVERAGE > 0),
        _AVERAGE,
        x.look_up("Stock", "each", stock=this.stock),
    ),
)
"""What a value is judged by; without plans, as files are checked, only by what is given."""

TABLE = table(
    "Counts",
    CountRow,
    computed(
        "count",
        show.WORD,
        when(
            (_DATE >= YEAR_START - 1) & (_DATE <= YEAR_START),
            "opening",
            when((_DATE >= YEAR_END - 1) & (_DATE <= YEAR_END + 1), "closing", "between"),
        ),
        "Only opening and closing counts enter the year; others are for your own use.",
    ),
    computed(
        "item",
        show.NAME,
        x.join(this.count, "/", this.stock, "/", this.project, "/", this.stage),
        "What was counted, and when of the year.",
        header="what is counted",
    ),
    computed(
        "expected",
        show.MONEY,
        to_money(_WORTH),
        "Stocks at the opening by the list price, all else by the books.",
        header="value expected",
    ),
    computed(
        "proposed",
        show.MONEY,
        when(
            x.blank(this.value) & ~text_in("value"),
            to_money(
                this.quantity * _each(("each", "unit_materials"), ("moving_average", "books_each"))
            ),
            0,
        ),
        "Where none is typed: at the opening by the list price, of a project by its materials; at"
        " the close by the books.",
        header="value proposed",
    ),
    state(
        no_number("quantity", "value"),
        unknown("stock", "Stock.stock", strength=Strength.LOOK),
        unknown("project", "Projects.project", strength=Strength.LOOK),
        look(
            "stock or project",
            (_NO_STOCK & _NO_PROJECT) | _OF_BOTH,
            "a row counts one of the two; write a stock or a project",
        ),
        look(
            "other stage",
            _WRONG_STAGE,
            "a stock is raw or in work, a project in work or finished; write which",
        ),
        *of_values(CountRow),
        look(
            "other year",
            (_DATE < YEAR_START - 1) | (_DATE > YEAR_END + 1),
            "it is in no year of this workbook; write a day of the year",
        ),
        look(
            "counted twice",
            this.count.differs("between")
            & (x.count("Counts", "quantity", item=this.item, quantity=this.quantity) > 1),
            "the same count stands in another row; delete one of them",
            "quantity",
        ),
        look(
            "quantity off",
            this.count.equals("closing")
            & (_HELD > 0)
            & (this.quantity > _HELD * setting.price_off),
            "it is many times what counts and slips say there was; write what is there",
        ),
        look(
            "value off",
            (this.quantity > 0)
            & (this.expected > 0)
            & (
                (this.value > this.expected * setting.price_off)
                | (this.value * setting.price_off < this.expected)
            ),
            "write what the whole row cost to buy; the sheet expects about another amount",
            "value",
        ),
    ),
    computed(
        "worth",
        show.RATE,
        (this.value.or_else(0) + this.proposed) / this.quantity,
        header="value each",
    ),
    silent="date",
    spare=100,
    capacity=10_000,
    workings=("item", "proposed"),
)
SHEET = Sheet(
    "Counts",
    "Count the shelf on the first and the last day of the year: raw stock, what is in work, and"
    " finished pieces.",
    (TABLE,),
    after="Mileage",
    group="ledger",
    landscape=False,
)
