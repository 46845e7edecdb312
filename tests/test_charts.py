"""Charts on Start: what they draw, what they say, and that a compile knows them for its own."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pytest
from openpyxl import load_workbook
from openpyxl.utils import range_boundaries

from notchbook.base.refusals import RefusedError
from notchbook.sheets.kit.calculate import Filled, calculate
from notchbook.sheets.making.batch_sizes import COMPARED

from .calc import type_and_save
from .desk import Desk
from .engines import agree
from .examples import SHOPS, priced, workbook
from .searching import seldom

C = "{http://schemas.openxmlformats.org/drawingml/2006/chart}"
A = "{http://schemas.openxmlformats.org/drawingml/2006/main}"
AXES = (f"{C}catAx", f"{C}valAx")
FRAME = re.compile(r'cNvPr [^>]*?name="(notchbook chart [0-9]+)"[^>]*? descr="([^"]{60,})"')
DRAWING = "xl/drawings/drawing1.xml"


def words(element: ElementTree.Element | None) -> str:
    """All the text inside a title."""
    return "" if element is None else "".join(each.text or "" for each in element.iter(f"{A}t"))


def charts(path: Path) -> list[ElementTree.Element]:
    with zipfile.ZipFile(path) as package:
        return [
            ElementTree.fromstring(package.read(f"xl/charts/chart{number}.xml"))
            for number in (1, 2, 3)
        ]


@pytest.mark.parametrize("shop", ["metric", *seldom("inch")])
def test_charts_say_what_they_draw(shop: str) -> None:
    """Each has a name of ours, alt text, a title, and both axes theirs, with the currency."""
    with zipfile.ZipFile(workbook(shop)) as package:
        frames = FRAME.findall(package.read(DRAWING).decode())
    currency = priced(shop).definitions.settings.currency

    assert [name for name, _ in frames] == [f"notchbook chart {n}" for n in (1, 2, 3)]
    for chart in charts(workbook(shop)):
        titles = [words(axis.find(f"{C}title")) for axis in chart.iter() if axis.tag in AXES]
        assert words(chart.find(f"{C}chart/{C}title"))
        assert len(titles) == 2
        assert all(titles)
        assert any(currency in title for title in titles)


@pytest.mark.parametrize("shop", SHOPS)
def test_charts_store_what_their_cells_hold(shop: str) -> None:
    """Every reference points to filled cells, and the values kept beside it are theirs."""
    book = load_workbook(workbook(shop), data_only=True)
    drawn = 0
    for chart in charts(workbook(shop)):
        for reference in chart.iter():
            if reference.tag not in (f"{C}numRef", f"{C}strRef"):
                continue
            sheet, _, area = str(reference.findtext(f"{C}f")).rpartition("!")
            left, top, _, bottom = range_boundaries(area)
            assert left and top and bottom
            cells = [book[sheet.strip("'")].cell(row, left).value for row in range(top, bottom + 1)]
            kept = [point.findtext(f"{C}v") for point in reference.iter(f"{C}pt")]
            assert None not in cells
            numeric = reference.tag == f"{C}numRef"
            found = [float(value or "nan") if numeric else value for value in kept]
            assert all(agree(*pair) for pair in zip(cells, found, strict=True)), (sheet, area)
            drawn += len(cells)

    assert drawn > 60


@pytest.mark.parametrize("shop", SHOPS)
def test_a_batch_size_costs_what_projects_would_say(shop: str) -> None:
    """At each size compared, the unit cost is that of Projects with this batch."""
    shown = priced(shop)
    sizes = shown.filled.tables["Batch sizes"].set_index(["project", "units"])["unit_cost"]
    own = shown.filled.tables["Projects"]
    for project, batch, cost in zip(own["project"], own["batch"], own["unit_cost"], strict=True):
        assert sizes[project, batch] == pytest.approx(cost, rel=1e-9)

    for units in COMPARED[::3]:
        tables = {name: frame.copy() for name, frame in shown.filled.tables.items()}
        tables["Projects"]["batch"] = float(units)
        tried = Filled(tables, dict(shown.filled.lines), {}, shown.filled.stray)
        calculate(shown.book, tried, shown.units)
        costs = tables["Projects"].set_index("project")["unit_cost"]
        for project, cost in costs.items():
            assert sizes[project, units] == pytest.approx(cost, rel=1e-9), (project, units)


@pytest.mark.deep
def test_charts_are_drawn_anew_after_libreoffice_saved_them(desk: Desk, tmp_path: Path) -> None:
    """Ours are known by their names, whichever program saved them; another's chart is refused."""
    type_and_save(desk.path, tmp_path / "saved.xlsx", {})
    (tmp_path / "saved.xlsx").replace(desk.path)
    report = desk.compile()

    assert not report.changes.conflicts
    assert not report.look
    assert len(charts(desk.path)) == 3

    with zipfile.ZipFile(desk.path) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    parts[DRAWING] = parts[DRAWING].replace(b"notchbook chart 2", b"My chart")
    (drawn,) = (
        name for name, part in parts.items() if "charts/chart" in name and b"Yield!" in part
    )
    parts[drawn] = parts[drawn].replace(b"Yield!", b"Stock!")
    with zipfile.ZipFile(desk.path, "w") as package:
        for name, part in parts.items():
            package.writestr(name, part)
    with pytest.raises(RefusedError, match="charts"):
        desk.compile()
