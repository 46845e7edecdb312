"""Planned rows: what the planner found and what the data files say, as frames for the sheets."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from notchbook.cautions import cautions
from notchbook.cut_rows import cut_rows, together_rows
from notchbook.definitions import DefinitionError, Definitions, Problem
from notchbook.language.evaluate import Values, evaluate
from notchbook.measure import CONVERSIONS
from notchbook.nominal import nominal_inches
from notchbook.plan_words import words_of
from notchbook.planning.laid import strips_needed
from notchbook.sheets.calculate import Filled, frame, mark_stray, plain
from notchbook.sheets.channels import ChannelRow, TierRow
from notchbook.sheets.checks import KNOWN_ROWS, TYPED_OVER, known_rows_line
from notchbook.sheets.consumables import UseRow
from notchbook.sheets.cut_list import CutRow
from notchbook.sheets.declare import Book, Role
from notchbook.sheets.laid_surfaces import LaidRow
from notchbook.sheets.months_and_channels import period_rows
from notchbook.sheets.pricing_tiers import PriceRow
from notchbook.sheets.projects import ProjectRow
from notchbook.sheets.settings import ShopSettings
from notchbook.sheets.stock import StockRow
from notchbook.sheets.work_steps import StepRow
from notchbook.tax.forms import figures

if TYPE_CHECKING:
    from notchbook.shop import Plans

Rows = list[dict[str, Any]]
MOST_STRIPS = 2_000
MOST_SLENDER = 100


def strips_of(definitions: Definitions, book: Book) -> dict[tuple[str, str], int]:
    """The strips a unit of each laid surface, by the rule of its sheet."""
    rows = definitions.table("Laid surfaces", LaidRow)
    counted = _laid_strips(definitions)
    laid = frame(
        book.tables["Laid surfaces"],
        [dict(row) | {"counted": counted[row.project, row.surface]} for row in rows],
    )
    values = Values({}, {}, _units(definitions.settings), laid)
    rule = book.tables["Laid surfaces"].by_name["strips"].rule
    assert rule is not None
    strips = evaluate(rule, values)
    return {(row.project, row.surface): int(n) for row, n in zip(rows, strips, strict=True)}


def fill(definitions: Definitions, book: Book, plans: Plans) -> Filled:
    """All given and planned cells of a book, ready to be calculated."""
    rows: dict[str, Iterable[Any]] = {name: definitions.cells(name) for name in book.tables}
    rows["Stock"] = _stock(definitions)
    rows["Projects"] = _projects(definitions, plans)
    rows["Laid surfaces"] = _laid(definitions)
    rows["Material takeoff"] = _takeoff(definitions, plans)
    rows["Yield"] = _yield(plans)
    rows["Cut plan"] = cut_rows(plans.cuts.values(), words_of(definitions))
    rows["Bought together"] = _together(rows["Material takeoff"], definitions, plans)
    rows["Months and channels"] = _periods(definitions)
    rows["Tax tables"] = [vars(each) for each in figures(definitions.settings.tax)]
    rows["At a glance"] = [{"project": project} for project in definitions.projects]
    rows |= _shop_sheets(definitions, plans)
    tables = {name: frame(table, list(rows[name])) for name, table in book.tables.items()}
    for name, stray in definitions.stray.items():
        mark_stray(tables[name], stray)
    filled = Filled(tables, {}, {}, definitions.stray)
    _settings(definitions.settings, book, filled)
    _as_planned(definitions, book, filled)
    return filled


def _units(settings: ShopSettings) -> dict[str, int]:
    return {name: by_unit[settings.units] for name, by_unit in CONVERSIONS.items()}


def _settings(settings: ShopSettings, book: Book, filled: Filled) -> None:
    for name, cell in book.lines["Settings"].cells.items():
        if cell.role is Role.GIVEN:
            value = plain(getattr(settings, name))
            filled.lines["Settings", name] = value


def _as_planned(definitions: Definitions, book: Book, filled: Filled) -> None:
    """What the plan was made for, by the same rules that tell it stale later."""
    units = _units(definitions.settings)

    def now(table: str, column: str) -> Any:
        rule = book.tables[table].by_name[column].rule
        assert rule is not None
        return evaluate(rule, Values(filled.tables, filled.lines, units, filled.tables[table]))

    filled.tables["Stock"]["planned_size"] = now("Stock", "size_sum")
    filled.tables["Projects"]["planned_sum"] = now("Projects", "cut_sum")
    for table in ("Stock", "Cut list", "Laid surfaces"):
        filled.tables[table]["planned_key"] = now(table, "plan_key")
    saw = book.lines["Settings"].cells["saw_sum"].rule
    assert saw is not None
    saw_sum = float(evaluate(saw, Values({}, filled.lines, units)))
    filled.lines["Settings", "planned_saw_sum"] = saw_sum
    filled.lines["Checks", TYPED_OVER] = float(definitions.typed_over)
    for table, column in KNOWN_ROWS.items():
        known = float(filled.tables[table][column].notna().sum())
        filled.lines["Checks", known_rows_line(table)] = known


def _stock(definitions: Definitions) -> Rows:
    rows = []
    for row in definitions.cells("Stock"):
        nominal: tuple[object, object] = (None, None)
        if row["nominal"] and definitions.settings.units == "inch":
            nominal = nominal_inches(str(row["nominal"]))
        rows.append(row | {"nominal_thickness": nominal[0], "nominal_width": nominal[1]})
    return rows


def _projects(definitions: Definitions, plans: Plans) -> Rows:
    return [
        row
        | {
            "most_units": plans.most_units(str(row["project"])),
            "planned_batch": row["batch"],
        }
        for row in definitions.cells("Projects")
    ]


def _laid(definitions: Definitions) -> Rows:
    """The laid surfaces with their strips counted."""
    counted = _laid_strips(definitions)
    return [
        row | {"counted": counted.get((str(row["project"]), str(row["surface"])))}
        for row in definitions.cells("Laid surfaces")
    ]


def _laid_strips(definitions: Definitions) -> dict[tuple[str, str], int]:
    """The strips of each surface.

    Raises DefinitionError for strips that cannot be laid so.
    """
    counted, problems = {}, []
    for row in definitions.table("Laid surfaces", LaidRow):
        try:
            counted[row.project, row.surface] = _strips(row)
        except ValueError as error:
            place = definitions.place_of_part(row.project, row.surface)
            problems.append(Problem(*place, f"{row.surface} of {row.project}: {error}"))
    if problems:
        raise DefinitionError(problems)
    return counted


def _strips(row: LaidRow) -> int:
    if row.width * row.height > MOST_STRIPS * row.strip_width * row.strip_length:
        raise ValueError(f"more than {MOST_STRIPS:,} strips; write wider or longer ones")
    if row.pattern == "herringbone" and row.strip_length > MOST_SLENDER * row.strip_width:
        raise ValueError(
            f"its strips are over {MOST_SLENDER} times as long as wide; write shorter or wider ones"
        )
    # between its long points, a chevron strip covers only as much as it is longer than wide
    step = row.strip_length - row.strip_width
    if row.pattern == "chevron" and row.width * row.height > MOST_STRIPS * step * row.strip_width:
        raise ValueError(f"more than {MOST_STRIPS:,} strips; write longer ones")
    return strips_needed(row.pattern, row.width, row.height, row.strip_width, row.strip_length)


def _takeoff(definitions: Definitions, plans: Plans) -> Rows:
    """Each project with each stock that any of its plans or uses takes."""
    used: dict[str, dict[str, None]] = {project: {} for project in definitions.projects}
    for project, found in plans.yields.items():
        for row in found:
            used[project] |= {stock: None for stock, boards in row.boards.items() if boards}
    for use in definitions.table("Consumables", UseRow):
        if use.stock:
            used[use.project][use.stock] = None
    return [
        {"project": project, "stock": stock} for project, stocks in used.items() for stock in stocks
    ]


def _together(takeoff: Iterable[Any], definitions: Definitions, plans: Plans) -> Iterable[Any]:
    """The stocks of the takeoff, in the order of Stock."""
    used = {row["stock"] for row in takeoff}
    on_hand = {
        row.stock: row.on_hand for row in definitions.table("Stock", StockRow) if row.stock in used
    }
    return together_rows(plans.together, on_hand, on_hand)


def _yield(plans: Plans) -> Rows:
    rows: Rows = []
    for project, found in plans.yields.items():
        stocks = dict.fromkeys(
            stock for row in found for stock, boards in row.boards.items() if boards
        )
        rows += [
            {
                "project": project,
                "stock": stock,
                "units": row.units,
                "boards": row.boards.get(stock, 0),
                "offcut_boards": row.offcut_boards.get(stock, 0),
            }
            for stock in stocks
            for row in found
        ]
    return rows


def _periods(definitions: Definitions) -> Rows:
    settings = definitions.settings
    channels = [row.channel for row in definitions.table("Channels", ChannelRow)]
    tiers = [row.tier for row in definitions.table("Tiers", TierRow)]
    return period_rows(settings.tax, settings.year, channels, definitions.projects, tiers)


def _shop_sheets(definitions: Definitions, plans: Plans) -> dict[str, Rows]:
    said = cautions()
    cuts: Rows = [
        {"project": row.project, "part": row.part, "ends": row.ends, "stocks": row.stocks}
        for row in definitions.table("Cut list", CutRow)
    ]
    cuts += [
        {"project": row.project, "part": row.surface, "stocks": row.stocks}
        for row in definitions.table("Laid surfaces", LaidRow)
    ]
    told: Rows = []
    for project in definitions.table("Projects", ProjectRow):
        named = [word.strip() for word in (project.cautions or "").split(";") if word.strip()]
        sentences = [said.get(word, word) for word in [*named, "always"]]
        told += [{"project": project.project, "caution": sentence} for sentence in sentences]
    return {
        "Shop head": [{"project": project} for project in definitions.projects],
        "Shop parts": cuts,
        "Shop stock": _takeoff(definitions, plans),
        "Shop steps": [
            {"project": row.project, "step": row.step}
            for row in definitions.table("Work steps", StepRow)
        ],
        "Shop prices": [
            {"project": row.project, "tier": row.tier}
            for row in definitions.table("Pricing tiers", PriceRow)
        ],
        "Shop cautions": told,
    }
