"""A shop rolled forward: definitions, opening stock and tool book values; empty ledgers."""

from __future__ import annotations

import csv
import io
from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from math import isnan
from pathlib import Path
from typing import Any

from notchbook.adopting import adoption
from notchbook.definitions.edits import YamlFile
from notchbook.definitions.entries_of import spots
from notchbook.definitions.files import exact_text
from notchbook.definitions.writing import number
from notchbook.gathering import gather
from notchbook.merging.cells import same
from notchbook.refusals import RefusedError
from notchbook.shop import Priced, price_of

_COUNTS = ("date", "stock", "project", "stage", "quantity", "value")


@dataclass
class NextYear:
    """The files of the new folder, and what to look at in it."""

    folder: Path
    year: int
    files: dict[str, str] = field(default_factory=dict)
    look: list[str] = field(default_factory=list)
    stays: list[str] = field(default_factory=list)  # the maker's own, only in this year's workbook

    def write(self) -> Iterator[str]:
        """Makes the folder; gives the files made.

        Raises RefusedError where something stands there.
        """
        if self.folder.exists() and (not self.folder.is_dir() or any(self.folder.iterdir())):
            raise RefusedError(f"{self.folder} is there already and not empty; name a new folder")
        for name, text in self.files.items():
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text.encode("utf-8"))
            yield str(path)


def next_year(shop: Path, output: Path | None) -> NextYear:
    """What a shop begins its next year with; its own folder stays as it is.

    Raises DefinitionError and RefusedError for a shop that cannot be read.
    """
    gathered = gather(shop, None)
    priced = price_of(gathered)
    year = priced.definitions.settings.year
    result = NextYear(output or _beside(shop, year), year + 1)
    result.files = _files(shop, result, merged=gathered.old is not None)
    if gathered.old is not None:
        from notchbook.workbook.own_things import own_things

        result.stays = list(own_things(gathered.old, priced.book))
    _set_year(result)
    _carry_tools(result, priced)
    _tell_of_year_end(result, priced)
    opening = _closing_counts(priced)
    _carry_stock(result, priced, opening)
    if opening:
        result.files["ledgers/counts.csv"] = _as_csv(opening, date(year + 1, 1, 1))
    else:
        result.look.append(
            f"no closing count of {year} was found, so there is no opening stock; count the shelf"
            " and type it into Counts"
        )
    return result


def _beside(shop: Path, year: int) -> Path:
    """`my-shop` becomes `my-shop-2027`, and `my-shop-2026` too."""
    name = shop.resolve().name
    stem = name.removesuffix(str(year)).rstrip("- ")
    return shop.resolve().parent / f"{stem or name}-{year + 1}"


def _files(shop: Path, result: NextYear, merged: bool) -> dict[str, str]:
    """The definition files, with what the workbook says otherwise."""
    files = {
        path.relative_to(shop).as_posix(): exact_text(path)
        for path in sorted([*shop.glob("*.yaml"), *(shop / "projects").glob("*.yaml")])
    }
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
    result.files["shop.yaml"] = file.changed()


def _carry_tools(result: NextYear, priced: Priced) -> None:
    """What the form has taken of each tool up to now; tools that were sold or lost are left out."""
    if "tools.yaml" not in result.files:
        return
    file = YamlFile(result.files["tools.yaml"])
    tools = priced.filled.tables["Tool depreciation"].to_dict("records")
    rows = {row["tool"]: row for row in tools}
    for spot in spots(file, "Tool depreciation"):
        row = rows.get(file.written(spot.node, "tool"))
        if row is None:
            continue
        if not isnan(row["disposed"]):
            file.remove(spot.list_key, spot.node)
            continue
        if not same(float(row["taken"]), _given(row["taken_before"])):
            file.set(spot.node, "taken_before", f"{row['taken']:.2f}")
        for key, text in _closed(row):
            file.set(spot.node, key, text)
    result.files["tools.yaml"] = file.changed()


def _closed(row: Mapping[Hashable, Any]) -> Iterator[tuple[str, str]]:
    """What its first year decided of a tool in a tax class, and what must not be decided anew."""
    if not row.get("tax_class") or row["qualifying"] == 0:
        return
    if not row["convention"]:
        yield "convention", row["used_convention"]
    if row["tax_method"] == "section 179" and row["section_179"] < row["wanted_179"]:
        yield "elected_179", f"{row['section_179']:.2f}"


def _tell_of_year_end(result: NextYear, priced: Priced) -> None:
    """Amounts of the year in shop.yaml belong to the old year; one of them goes on."""
    said = priced.definitions.settings
    carried = priced.filled.lines.get(("Year-end", "carried_out_179"), 0.0)
    of_the_year = {name: getattr(said, name) for name in _OF_THE_YEAR}
    if carried or any(of_the_year.values()):
        named = ", ".join(name for name, amount in of_the_year.items() if amount)
        result.look.append(
            "shop.yaml, year_end: "
            + (f"write carried_179: {carried:.2f}; " if carried else "")
            + (f"look at {named}, which {said.year} had" if named else "nothing else to change")
        )


_OF_THE_YEAR = (
    *("other_income", "home_use", "written_off", "carried_179"),
    *("other_earned", "other_wages"),
)


def _given(value: float) -> float:
    return 0.0 if isnan(value) else float(value)


def _closing_counts(priced: Priced) -> list[Mapping[str, Any]]:
    counts = priced.filled.tables["Counts"].to_dict("records")
    return [row for row in counts if row["count"] == "closing" and not isnan(row["date"])]


def _carry_stock(result: NextYear, priced: Priced, counts: list[Mapping[str, Any]]) -> None:
    """What is on hand, by the last count."""
    counted = {
        row["stock"]: row["quantity"]
        for row in counts
        if row["stock"] and row["stage"] != "in work"
    }
    file = YamlFile(result.files["stock.yaml"])
    kinds = {row["stock"]: row["kind"] for row in priced.filled.tables["Stock"].to_dict("records")}
    for spot in spots(file, "Stock"):
        name = file.written(spot.node, "stock") or ""
        quantity = counted.get(name)
        if quantity is None or isnan(quantity):
            continue
        if kinds.get(name) in ("lumber", "panel") and quantity != int(quantity):
            continue  # boards on hand are whole ones
        file.set(spot.node, "on_hand", number(float(quantity)))
    result.files["stock.yaml"] = file.changed()


def _as_csv(rows: list[Mapping[str, Any]], day: date) -> str:
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(_COUNTS)
    for row in rows:
        words = [row[name] for name in ("stock", "project", "stage")]
        amounts = [number(_given(row[name])) for name in ("quantity", "value")]
        writer.writerow([day.isoformat(), *words, *amounts])
    return target.getvalue()
