"""A priced copy of chosen projects for a partner: what is in it, what is not, and its file."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import Enum
from pathlib import Path

import pandas as pd

from notchbook.base.problems import nearest
from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import refuse_place, replace_bytes, write_new
from notchbook.definitions import Definitions
from notchbook.gathering import gather, workbook_path
from notchbook.sheets import check
from notchbook.sheets.kit.calculate import Filled, calculate, frame
from notchbook.sheets.kit.declare import Book
from notchbook.sheets.ledgers.channels import TierRow
from notchbook.sheets.partner import price_list
from notchbook.sheets.partner.copy import PROJECT, ROUNDED, SHARED, as_values, handed_book
from notchbook.sheets.partner.words import SHOP_SHEET, CopyWords, worded
from notchbook.shop.pipeline import Priced, describe_subject, list_shortages, price_gathered
from notchbook.shop.plans import Watch
from notchbook.trade.money import currency_decimals
from notchbook.workbook.file.written import HANDED_OVER

_FINER = 2  # digits more than the currency has, so that no price changes
Frames = Mapping[str, pd.DataFrame]


class Contents(Enum):
    """What a copy holds: costs and prices with formulas, or as values; prices; or only plans."""

    LIVE = "Costs and prices, with live formulas"
    FROZEN = "Costs and prices, as values"
    PRICES = "Prices only, as values"
    PLANS = "Plans to build from, without any amount of money"


@dataclass(frozen=True)
class HandOver:
    """A copy that is ready to be written."""

    priced: Priced
    projects: Sequence[str]
    contents: Contents
    book: Book
    filled: Filled

    @property
    def look(self) -> list[str]:
        """What needs a look before the copy goes out."""
        return list_shortages(self.priced, self.projects)

    @property
    def notices(self) -> list[str]:
        """What is worth knowing of the prices and words that go out."""
        going = _rows(self.priced.filled.tables, self.projects)["Stock"]
        is_priced = self.contents is not Contents.PLANS
        old = going.loc[going["price_flag"] != "", "stock"].tolist() if is_priced else []
        told = [f"an old price, or one without a date: {', '.join(old)}"] if old else []
        return told + [
            f"a text of {table} names {word}, which is left out; look at it before you send it"
            for table, word in self.mentions
        ]

    @property
    def mentions(self) -> list[tuple[str, str]]:
        """Where a text that goes out names another project or a vendor, as (table, name)."""
        tables = self.priced.filled.tables
        names = {*tables["Projects"]["project"], *tables["Stock"]["vendor"]}
        names |= set(tables["Purchases"]["vendor"])
        kept = {*self.projects, *(word for rows, key in self._keys() for word in rows[key])}
        left = sorted(name for name in names if name and not _names(kept, name))
        return [
            (table, name)
            for table, rows in self.filled.tables.items()
            for name in left
            if any(_names(column, name) for _, column in rows.items() if column.dtype == object)
        ]

    def _keys(self) -> Iterator[tuple[pd.DataFrame, str]]:
        """The tables of names that are handed over, each with its key."""
        for name, (key, _) in SHARED.items():
            if name in self.filled.tables:
                yield self.filled.tables[name], key

    def file(self) -> bytes:
        """The copy as the bytes of a workbook, read back and compared.

        Raises RefusedError where a given value does not come back.
        """
        from notchbook.shop.shop_pictures import draw_shop_pictures
        from notchbook.workbook.file.package_cells import PackageCells
        from notchbook.workbook.write.compose import compose
        from notchbook.workbook.write.verify import differences

        about = replace(describe_subject(self.priced.definitions), category=HANDED_OVER)
        drawn = () if self.contents is Contents.PRICES else self.projects
        pictures = draw_shop_pictures(self.priced, drawn)
        data = compose(self.book, self.filled, self.priced.units, about, pictures=pictures)
        wrong = differences(PackageCells(data), self.book, self.filled, self.priced.units, {})
        if wrong:
            raise RefusedError(
                "the copy does not read back as it was meant, so nothing was written: "
                + "; ".join(wrong[:5])
            )
        return data


def hand_over(
    folder: Path,
    projects: Sequence[str],
    target: Path,
    as_of: date | None,
    contents: Contents = Contents.LIVE,
    watch: Watch = iter,
    tiers: Sequence[str] = (),
    channels: Sequence[str] = (),
) -> HandOver:
    """A copy of some projects of a shop, merged with its workbook where there is one.

    A price list of `tiers`, or of all that are sold through `channels`, holds no others.

    Raises DefinitionError for bad definitions or cells, RefusedError for unknown projects, tiers
    and channels and a `target` that it cannot be written to.
    """
    gathered = gather(folder, as_of)
    chosen = known_projects(projects, gathered.definitions)
    refuse_output(target, workbook_path(gathered.definitions))
    listed = _tiers(gathered.definitions, tiers, channels)
    if contents is Contents.PLANS:
        gathered.definitions = _without_costs(gathered.definitions)
    return copy_of(price_gathered(gathered, watch), chosen, contents, listed)


def copy_of(
    priced: Priced, chosen: Sequence[str], contents: Contents, tiers: Sequence[str] = ()
) -> HandOver:
    """A copy of some projects of a shop that is worked out; a price list of `tiers`, or of all."""
    if contents is Contents.PRICES:
        return HandOver(priced, chosen, contents, *_price_list(priced, chosen, tiers))
    if contents is Contents.PLANS:
        return HandOver(priced, chosen, contents, *_plans(priced, chosen))
    frozen = contents is Contents.FROZEN
    return HandOver(priced, chosen, contents, *_copy(priced, chosen, frozen))


def known_projects(projects: Sequence[str], definitions: Definitions) -> list[str]:
    """Return the projects, each once.

    Raises RefusedError with all unknown ones.
    """
    return _each_of(projects, "project", list(definitions.projects))


def _tiers(
    definitions: Definitions, tiers: Sequence[str], channels: Sequence[str]
) -> tuple[str, ...]:
    """The tiers named, and those sold through the channels named; none for all.

    Raises RefusedError with all unknown ones.
    """
    rows = definitions.table("Tiers", TierRow)
    through = _each_of(channels, "channel", [row.channel for row in rows])
    named = _each_of(tiers, "tier", [row.tier for row in rows])
    return tuple(row.tier for row in rows if row.tier in named or row.channel in through)


def _each_of(names: Sequence[str], what: str, known: Sequence[str]) -> list[str]:
    """The names, each once.

    Raises RefusedError with all unknown ones.
    """
    unknown = [name for name in dict.fromkeys(names) if name not in known]
    if unknown:
        told = "; ".join(f"no {what} {name!r}{nearest(name, known)}" for name in unknown)
        there = ", ".join(dict.fromkeys(known))
        raise RefusedError(f"there is {told}; there are {there}; nothing was written")
    return list(dict.fromkeys(names))


def _copy(priced: Priced, projects: Sequence[str], frozen: bool) -> tuple[Book, Filled]:
    """The sheets of the copy, with the rows of its projects worked out anew."""
    rows = _rows(priced.filled.tables, projects)
    empty = [name for name, found in rows.items() if found.empty]
    settings = priced.definitions.settings
    told = CopyWords(settings.shop, _day(priced), projects, frozen, settings.spelling)
    book = worded(handed_book(priced.book, empty, frozen), told)
    check(book)
    tables = {
        name: rows[name][[each.name for each in table.columns if each.rule is None]]
        for name, table in book.tables.items()
    }
    tables = {name: found.reset_index(drop=True) for name, found in tables.items()}
    _round_costs(book, tables, priced.definitions.settings.currency, frozen)
    lines = {
        (name, cell.name): priced.filled.lines[name, cell.name]
        for name, block in book.lines.items()
        for cell in block.cells.values()
        if cell.rule is None
    }
    filled = Filled(tables, lines, {})
    calculate(book, filled, priced.units)
    return book, filled


def _round_costs(book: Book, tables: Frames, currency: str, frozen: bool) -> None:
    """Leave out the digits that nobody pays, and by which the cost of a tool could be found."""
    digits = currency_decimals(currency) + _FINER
    for name, table in book.tables.items():
        for column in table.columns:
            of_money = frozen and column.look.format == "money"
            if column.name in tables[name] and (of_money or (name, column.name) in ROUNDED):
                tables[name][column.name] = tables[name][column.name].round(digits)


def _price_list(
    priced: Priced, projects: Sequence[str], tiers: Sequence[str]
) -> tuple[Book, Filled]:
    """One sheet of prices, worked out in the shop's books and taken out of them as values."""
    asked = _rows(priced.filled.tables, projects)["Pricing tiers"].to_dict("records")
    rows = [
        {"project": row["project"], "tier": row["tier"]}
        for row in asked
        if not tiers or row["tier"] in tiers
    ]
    whole = Book((*priced.book.sheets, price_list.SHEET))
    name = price_list.TABLE.name
    tables = {**priced.filled.tables, name: frame(price_list.TABLE, rows)}
    calculate(whole, Filled(tables, priced.filled.lines, {}), priced.units, only=[name])
    says = f"Prices of {priced.definitions.settings.shop} on {_day(priced)}."
    sheet = replace(price_list.SHEET, instruction=says, blocks=(as_values(price_list.TABLE),))
    return Book((sheet,)), Filled({name: tables[name]}, {}, {})


def _without_costs(definitions: Definitions) -> Definitions:
    """The definitions of a shop whose shop sheets show no money."""
    settings = definitions.settings.model_copy(update={"shop_sheet_costs": None})
    return replace(definitions, settings=settings)


def _plans(priced: Priced, projects: Sequence[str]) -> tuple[Book, Filled]:
    """The shop sheets alone, as values: parts, boards, marks, steps and cautions."""
    book, filled = _copy(priced, projects, frozen=True)
    (sheet,) = (each for each in book.sheets if each.name == SHOP_SHEET)
    tables = {table.name: filled.tables[table.name] for table in sheet.tables}
    return Book((sheet,)), Filled(tables, {}, {})


def _names(texts: Iterable[str], name: str) -> bool:
    """Whether any of the texts holds a name as words of its own."""
    word = re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE)
    return any(word.search(text) for text in texts)


def _day(priced: Priced) -> str:
    return priced.definitions.settings.as_of.isoformat()


def _rows(tables: Frames, projects: Sequence[str]) -> dict[str, pd.DataFrame]:
    """Of each table that can go along, the rows of some projects and what those rows refer to."""
    found = {
        name: _having(rows, PROJECT, projects) for name, rows in tables.items() if PROJECT in rows
    }
    for name, (key, sources) in SHARED.items():
        named = [word for source, column in sources for word in found[source][column]]
        found[name] = _having(tables[name], key, named)
    return found


def _having(rows: pd.DataFrame, column: str, words: Sequence[str]) -> pd.DataFrame:
    """The rows with one of the words in a column, whatever the case, as look-ups find them."""
    wanted = {word.lower() for word in words}
    return rows.loc[[at for at, word in rows[column].items() if word.lower() in wanted]]


def write(data: bytes, target: Path, category: str = HANDED_OVER) -> None:
    """Put a copy in place, that of an earlier one if it stands as it was written.

    Raises RefusedError where anything else stands there.
    """
    if _stands(target, category):
        replace_bytes(target, data)
    else:
        write_new(target, data)


def refuse_output(target: Path, own_workbook: Path, category: str = HANDED_OVER) -> None:
    """Look whether a copy can be written there, before any work is done.

    Raises RefusedError.
    """
    refuse_place(target)
    if target.resolve() == own_workbook.resolve():
        raise RefusedError(f"{target} is the shop's own workbook; name another file")
    _stands(target, category)


def _stands(target: Path, category: str) -> bool:
    """Whether an earlier copy of its kind stands there, as it was written.

    Raises RefusedError for anything else.
    """
    from notchbook.workbook.file.written import as_stamped
    from notchbook.workbook.read.safety import refuse_if_open

    refuse_if_open(target)
    if not target.exists():
        return False
    if not target.is_file() or not as_stamped(target.read_bytes(), category):
        raise RefusedError(
            f"{target} is there already, and is no {category.removeprefix('notchbook ')} as"
            " notchbook wrote it; nothing was written. Name another file"
        )
    return True
