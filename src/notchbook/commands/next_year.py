"""A shop rolled forward: definitions, what stock, tools and accounts open with; empty ledgers."""

from __future__ import annotations

import tempfile
from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import floor, isnan
from pathlib import Path
from typing import Any

from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import new_folder
from notchbook.commands.adopting import adoption
from notchbook.commands.opening_accounts import open_accounts
from notchbook.commands.opening_cuts import carry_cuts
from notchbook.commands.opening_offcuts import write_offcuts
from notchbook.commands.opening_stock import carry_counts
from notchbook.definitions import DefinitionError, Definitions
from notchbook.definitions.editing.edits import YamlFile
from notchbook.definitions.editing.entries_of import spots
from notchbook.definitions.editing.writing import number
from notchbook.definitions.reading.files import definition_files, exact_text
from notchbook.gathering import Gathered, gather, load
from notchbook.language.functions import from_serial
from notchbook.merging.cells import same
from notchbook.sheets.kit.columns import given_columns
from notchbook.sheets.making.next_batches import NextRow
from notchbook.sheets.making.next_limits import LIMITS, NextLimits
from notchbook.sheets.making.wood_kinds import WOOD
from notchbook.shop.filed_lines import as_filed
from notchbook.shop.pipeline import Priced, price_gathered
from notchbook.trade.money import currency_decimals


@dataclass
class NextYear:
    """The files of the new folder, and what to look at in it."""

    folder: Path
    year: int
    files: dict[str, str] = field(default_factory=dict)
    look: list[str] = field(default_factory=list)
    notices: list[str] = field(default_factory=list)
    stays: list[str] = field(default_factory=list)  # the maker's own, only in this year's workbook

    @property
    def first_day(self) -> date:
        """The day of its opening counts."""
        return date(self.year, 1, 1)

    def write(self) -> list[str]:
        """Make the folder, whole and tried out; return the files made.

        Raises RefusedError where something stands there, or where the files would not load.
        """
        with new_folder(self.folder) as made:
            self._load_from(made)
        return [str(self.folder / name) for name in self.files]

    def load(self) -> Definitions:
        """Read what the files say.

        Raises RefusedError where they would not load.
        """
        with tempfile.TemporaryDirectory() as name:
            return self._load_from(Path(name) / "shop")

    def _load_from(self, folder: Path) -> Definitions:
        """Put the files into a new folder, and read them there."""
        for name, text in self.files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text.encode("utf-8"))
        try:
            return load(folder, self.first_day)
        except DefinitionError as error:
            told = "; ".join(str(problem) for problem in error.problems[:3])
            raise RefusedError(
                f"the files of {self.year} would be wrong, so nothing was written: {told}. Mend it"
                f" in the files or the workbook of {self.year - 1}, and try again"
            ) from None


def roll_forward(shop: Path, output: Path | None) -> NextYear:
    """Roll a shop forward into its next year; its own folder stays as it is.

    Raises DefinitionError and RefusedError for a shop that cannot be read, or whose workbook is
    open, as what is not saved yet would be missing.
    """
    gathered = gather(shop, None)
    if gathered.old is not None:
        from notchbook.workbook.read.safety import refuse_if_open

        refuse_if_open(gathered.old.path)
    priced = price_gathered(gathered)
    year = priced.definitions.settings.year
    result = NextYear(output or _name_folder(shop, year), year + 1)
    result.files = _read_files(shop, result, merged=gathered.old is not None)
    if gathered.old is not None:
        from notchbook.workbook.read.own_things import own_things

        result.stays = list(own_things(gathered.old, priced.book))
    _set_year(result)
    _carry_tools(result, priced)
    _carry_year_end(result, priced)
    _carry_counts(result, gathered, priced)
    _carry_accounts(result, priced)
    _leave_next_batches(result, priced)
    return result


def _name_folder(shop: Path, year: int) -> Path:
    """Name the folder: `my-shop` becomes `my-shop-2027`, and `my-shop-2026` too."""
    name = shop.resolve().name
    stem = name.removesuffix(str(year)).rstrip("- ")
    folder, here = shop.resolve().parent / f"{stem or name}-{year + 1}", Path.cwd()
    return folder.relative_to(here) if folder.is_relative_to(here) else folder


def _read_files(shop: Path, result: NextYear, merged: bool) -> dict[str, str]:
    """Read the definition files, with what the workbook says otherwise."""
    files = {path.relative_to(shop).as_posix(): exact_text(path) for path in definition_files(shop)}
    if not merged:
        return files
    adopted = adoption(shop)
    result.look += [
        line.replace("it stays in the workbook", "it is only in this year's workbook")
        for line in adopted.left
    ]
    for name, text in adopted.after.items():
        files.pop(name, None)
        if text is not None:
            files[name] = text
    return files


def _set_year(result: NextYear) -> None:
    file = YamlFile(result.files["shop.yaml"])
    file.set(file.root, "year", str(result.year))
    file.set(file.root, "filed", None)
    result.files["shop.yaml"] = file.changed()


def _carry_tools(result: NextYear, priced: Priced) -> None:
    """Write what the form has taken of each tool up to now.

    Tools that were sold or lost are left out, but for those that a project uses: without them its
    file would not be read, and its price would change unnoticed.
    """
    if "tools.yaml" not in result.files:
        return
    file = YamlFile(result.files["tools.yaml"])
    tools = priced.filled.tables["Tool depreciation"].to_dict("records")
    rows = {row["tool"]: row for row in tools}
    any_gone = any(_is_gone(row, result.year) for row in tools)
    uses = _uses_of_tools(result.files) if any_gone else {}
    carried = 0
    for spot in spots(file, "Tool depreciation"):
        name = file.written(spot.node, "tool") or ""
        row = rows.get(name)
        if row is not None and _is_gone(row, result.year):
            if name not in uses:
                file.remove(spot.list_key, spot.node)
                continue
            result.look.append(
                f"tools.yaml: {name} is gone since {from_serial(row['disposed'])}, but"
                f" {', '.join(uses[name])} still uses it, so it stays; write the tool used now"
                " there, then take this one out"
            )
        carried += 1
        if row is not None:
            _set_taken(file, spot.node, row)
    if carried:
        result.files["tools.yaml"] = file.changed()
    else:
        del result.files["tools.yaml"]  # which may be missing, but not be empty


def _is_gone(row: Mapping[Hashable, Any], year: int) -> bool:
    """Whether a tool was sold or lost before a year; what is sold in it belongs to it."""
    return not isnan(row["disposed"]) and from_serial(row["disposed"]).year < year


def _uses_of_tools(files: Mapping[str, str]) -> dict[str, list[str]]:
    """Find, by tool, the lines of project files that use it."""
    found: dict[str, list[str]] = {}
    for name, text in files.items():
        if name.startswith("projects/"):
            file = YamlFile(text)
            for entry in file.entries("tools"):
                tool = file.value(entry, "tool")
                found.setdefault(str(tool.value), []).append(f"{name}:{tool.start_mark.line + 1}")
    return found


def _set_taken(file: YamlFile, entry: Any, row: Mapping[Hashable, Any]) -> None:
    if not same(float(row["taken"]), _given(row["taken_before"])):
        file.set(entry, "taken_before", f"{row['taken']:.2f}")
    for key, text in _close_first_year(row):
        file.set(entry, key, text)


def _close_first_year(row: Mapping[Hashable, Any]) -> Iterator[tuple[str, str]]:
    """Write what its first year decided of a tool in a tax class, not to be decided anew."""
    if not row.get("tax_class") or row["qualifying"] == 0:
        return
    if not row["convention"]:
        yield "convention", row["used_convention"]
    if row["tax_method"] == "section 179" and row["section_179"] < row["wanted_179"]:
        yield "elected_179", f"{row['section_179']:.2f}"


def _carry_year_end(result: NextYear, priced: Priced) -> None:
    """Write into shop.yaml what the old year leaves behind; name the amounts that were its own."""
    said, lines = priced.definitions.settings, priced.filled.lines
    decimals = currency_decimals(said.currency)
    filed = as_filed(priced.filled)

    def left(name: str) -> float:
        return filed.get(name, float(lines.get(("Year-end", name), 0.0)))

    closing, carried = left("closing_stock"), left("carried_out_179")
    _set_inside(
        result,
        "year_end",
        {
            "written_off": None,
            "last_year_tax": None,
            "last_year_income": None,
            "carried_179": f"{carried:.{decimals}f}" if carried else None,
            "carried_stock": f"{closing:.{decimals}f}",
        },
    )
    result.look += [
        f"{what} was filed as {filed[name]:,.{decimals}f}, and by now it would be"
        f" {float(lines['Year-end', name]):,.{decimals}f}: {then}"
        for name, (what, then) in _FILED.items()
        if name in filed and round(filed[name] - float(lines["Year-end", name]), decimals)
    ]
    named = ", ".join(name for name in _OF_THE_YEAR if getattr(said, name))
    if named:
        result.look.append(f"shop.yaml, year_end: review {named}, carried over from {said.year}")


def _set_inside(result: NextYear, key: str, values: Mapping[str, str | None]) -> None:
    """Write values into a key of shop.yaml that holds others; None takes one out."""
    file = YamlFile(result.files["shop.yaml"])
    inside = file.value(file.root, key)
    if inside is not None:
        for name, value in values.items():
            file.set(inside, name, value)
    elif said := ", ".join(f"{name}: {value}" for name, value in values.items() if value):
        file.set(file.root, key, f"{{{said}}}")
    result.files["shop.yaml"] = file.changed()


_FILED = {
    "closing_stock": (
        "the stock at the end",
        "carried_stock is what was filed, and a check of the new year tells it from the opening"
        " counts until they come to it",
    ),
    "depreciation": (
        "depreciation",
        "taken_before in tools.yaml follows from the tools as they are now; compare it with what"
        " was filed",
    ),
}
"""Lines that the next year begins with: what they are, and what to do where they changed."""
_OF_THE_YEAR = ("other_income", "home_use", "other_earned", "other_wages")
"""Amounts that are typed anew each year."""


def _given(value: float) -> float:
    return 0.0 if isnan(value) else float(value)


def _carry_counts(result: NextYear, gathered: Gathered, priced: Priced) -> None:
    """Carry closing counts as opening ones, what is there as on hand, offcuts and waiting cuts."""
    known = result.load()
    opening = carry_counts(gathered, priced, known, result.first_day)
    result.look += opening.look
    cuts = carry_cuts(priced, opening, known, result.first_day)
    result.look += cuts.look
    result.notices += cuts.notices
    _set_on_hand(result, priced, cuts.taken)
    if waiting := cuts.as_csv():
        result.files["ledgers/waiting_cuts.csv"] = waiting
    if opening.rows:
        result.files["ledgers/counts.csv"] = opening.as_csv()
    if offcuts := write_offcuts(priced.definitions):
        result.files["ledgers/offcuts.csv"] = offcuts
    if not opening.found:
        result.look.append(
            f"no closing count of {result.year - 1} was found; count the shelf and type it into"
            " Counts"
        )


def _carry_accounts(result: NextYear, priced: Priced) -> None:
    """Open each account with what it held on the old year's last evening."""
    openings, look = open_accounts(priced.filled, result.first_day)
    result.look += look
    if openings is not None:
        result.files["ledgers/money.csv"] = openings


def _leave_next_batches(result: NextYear, priced: Priced) -> None:
    """Name what was typed on Next batches: it is of the old year's last weeks, and starts anew."""
    lines = {each.name: each.header for each in given_columns(NextLimits)}
    rows = {each.name: each.header for each in given_columns(NextRow) if each.name != "project"}
    table = priced.filled.tables["Next batches"]
    typed = [
        head for name, head in lines.items() if not _is_blank(priced.filled.lines[LIMITS, name])
    ]
    typed += [head for name, head in rows.items() if not all(map(_is_blank, table[name]))]
    if typed:
        result.look.append(
            f"Next batches: what was typed as {', '.join(typed)} was for {result.year - 1} and is"
            " not carried; type it anew where it holds"
        )


def _is_blank(value: object) -> bool:
    return value in (None, "") or (isinstance(value, float) and isnan(value))


def _set_on_hand(result: NextYear, priced: Priced, waiting: Mapping[str, float]) -> None:
    """Write what is there of each stock that was counted on any day, as of the year's last.

    Boards of cuts that are `waiting` are among it: the new year takes them off the shelf.
    """
    file = YamlFile(result.files["stock.yaml"])
    rows = {row["stock"]: row for row in priced.filled.tables["Stock"].to_dict("records")}
    for spot in spots(file, "Stock"):
        row = rows.get(file.written(spot.node, "stock") or "")
        if row is None or not row["counted_last"]:
            continue
        counted = row["counted_then"]
        there = number(round(row["there_now"] + waiting.get(row["stock"], 0.0), 9))
        moved = row["bought_since"] or row["used_since"]
        if row["kind"] in WOOD and not moved and round(counted, 9) != floor(counted):
            result.look.append(
                f"stock.yaml: {number(counted)} of {row['stock']} were counted, and plans take"
                f" whole boards, so on_hand is {there}; what is left of a board is a stock of its"
                " own"
            )
        file.set(spot.node, "on_hand", there)
        file.set(spot.node, "counted_on", str(result.first_day - timedelta(days=1)))
    result.files["stock.yaml"] = file.changed()
