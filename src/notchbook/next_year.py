"""A shop rolled forward: definitions, opening stock and tool book values; empty ledgers."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from math import isnan
from pathlib import Path
from typing import Any

from notchbook.adopting import adoption
from notchbook.definitions.edits import YamlFile
from notchbook.definitions.entries_of import spots
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

    def write(self) -> Iterator[str]:
        """Makes the folder; gives the files made.

        Raises RefusedError where something stands there.
        """
        if self.folder.exists() and (not self.folder.is_dir() or any(self.folder.iterdir())):
            raise RefusedError(f"{self.folder} is there already and not empty; name a new folder")
        for name, text in self.files.items():
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
            yield str(path)


def next_year(shop: Path, output: Path | None) -> NextYear:
    """What a shop begins its next year with; its own folder stays as it is.

    Raises DefinitionError and RefusedError for a shop that cannot be read.
    """
    gathered = gather(shop, None)
    priced = price_of(gathered.definitions)
    year = priced.definitions.settings.year
    result = NextYear(output or _beside(shop, year), year + 1)
    result.files = _files(shop, result, merged=gathered.old is not None)
    _set_year(result)
    _carry_tools(result, priced)
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
        path.relative_to(shop).as_posix(): path.read_text(encoding="utf-8")
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
        if row["state"] == "by preparer":
            result.look.append(
                f"{row['tool']}: its schedule is not worked out; write taken_before as filed"
            )
        elif not same(float(row["taken"]), _given(row["taken_before"])):
            file.set(spot.node, "taken_before", f"{row['taken']:.2f}")
    result.files["tools.yaml"] = file.changed()


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
