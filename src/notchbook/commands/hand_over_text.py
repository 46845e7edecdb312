"""What a partner's copy holds and what was left out of it, told before it is written."""

from __future__ import annotations

from collections.abc import Iterator

from notchbook.base.sentences import counted, listed, wrapped
from notchbook.base.spelling import spell
from notchbook.commands.hand_over import Contents, HandOver
from notchbook.sheets.kit.columns import Role
from notchbook.sheets.kit.declare import Book, Sheet
from notchbook.sheets.partner.copy import AS_VALUES
from notchbook.sheets.partner.words import SHOP_SHEET, shows

_NAME_WIDTH, _ROWS_WIDTH = 18, 10
_SHOWS = {
    Contents.LIVE: "It shows what you pay for stock and how much of it is there now, your rates for"
    " labor and overhead, the fees of your channels, and what each tier leaves you.",
    Contents.FROZEN: "It shows what each project costs you, how much of its stock is there now,"
    " and what each tier leaves you.",
    Contents.PRICES: "It shows no cost, no rate and no profit.",
    Contents.PLANS: "It shows no cost and no price; boards and packs that you have count as there.",
}


def statement(found: HandOver) -> str:
    """What is in the copy and what is not, in 80 columns."""
    settings = found.priced.definitions.settings
    lines = wrapped(f"For a partner: {listed(found.projects)}")
    day = settings.as_of.isoformat()
    lines += wrapped(f"{found.contents.value}; {settings.currency}, {day}")
    lines += [
        "",
        "In the copy:",
        *_contents(found),
        "",
        *wrapped(spell(_SHOWS[found.contents], settings.spelling)),
    ]
    if found.contents in (Contents.LIVE, Contents.FROZEN):
        lines.append("To leave all of that out: --prices-only")
    return "\n".join([*lines, "", "Left out:", *_left_out(found)])


def _contents(found: HandOver) -> Iterator[str]:
    for sheet in found.book.sheets:
        if sheet.name == SHOP_SHEET:
            for project in found.projects:
                yield from _line(project, "", "its shop sheet")
        else:
            yield from _line(sheet.name, _rows(found, sheet), shows(sheet))


def _line(name: str, rows: str, what: str) -> list[str]:
    return wrapped(what, f"  {name:<{_NAME_WIDTH}}{rows:>{_ROWS_WIDTH}}  ")


def _rows(found: HandOver, sheet: Sheet) -> str:
    tables = [table.name for table in sheet.tables]
    if not tables or sheet.name in ("Start", "Settings"):
        return ""
    return counted(len(found.filled.tables[tables[0]]), "row")


def _left_out(found: HandOver) -> Iterator[str]:
    whole = found.priced.book
    others = len(found.priced.definitions.projects) - len(found.projects)
    if others:
        yield from _item(counted(others, "other project"))
    tables = {block.name for sheet in found.book.sheets for block in sheet.blocks}
    gone = [
        sheet.name
        for sheet in whole.sheets
        if not any(block.name in tables for block in sheet.blocks)
    ]
    yield from _item(f"sheets: {', '.join(gone)}")
    for name, columns in _columns(whole, found.book):
        yield from _item(f"{name}: {columns}")
    if found.contents is Contents.LIVE:
        values = [
            whole.tables[table].by_name[name].header
            for table, name in sorted(AS_VALUES)
            if table in found.book.tables
        ]
        yield from _item(f"what these come from, which are values: {', '.join(values)}")
    yield from _item(
        "your own sheets, columns and notes, what the next compile must know, names of people and"
        " folders"
    )


def _columns(whole: Book, copy: Book) -> Iterator[tuple[str, str]]:
    """The typed columns and lines of a block of the copy that did not go along."""
    for name, block in whole.tables.items():
        if name in copy.tables:
            kept = copy.tables[name].by_name
            gone = [
                column.header.split(" (")[0]
                for column in block.columns
                if column.role is Role.GIVEN and column.name not in kept
            ]
            if gone:
                yield name, ", ".join(gone)


def _item(text: str) -> list[str]:
    return wrapped(text, "  - ")
