"""What is read from good definitions: rows, defaults, variants, lengths, ledgers, places."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from notchbook.base.problems import nearest
from notchbook.definitions import SYNTAX, TABLES, Definitions
from notchbook.definitions.reading.entries import Scalar
from notchbook.definitions.reading.scalars import Scope, read_scalar
from notchbook.definitions.syntax.columns import LEDGERS
from notchbook.definitions.syntax.keys import Key
from notchbook.gathering import load
from notchbook.sheets.kit.sheet_names import title_pieces
from notchbook.sheets.kit.written import Reads
from notchbook.sheets.ledgers.channels import ChannelRow, TierRow
from notchbook.sheets.ledgers.counts import CountRow
from notchbook.sheets.ledgers.sales_ledger import SaleRow
from notchbook.sheets.ledgers.statements import StatementRow
from notchbook.sheets.making.consumables import UseRow
from notchbook.sheets.making.cut_list import CutRow
from notchbook.sheets.making.ends import Ends, parse_ends
from notchbook.sheets.making.laid_surfaces import LaidRow
from notchbook.sheets.making.marks import MarkRow
from notchbook.sheets.making.pricing_tiers import PriceRow
from notchbook.sheets.making.projects import ProjectRow
from notchbook.sheets.making.stock import StockRow
from notchbook.sheets.tax.tool_rows import ToolRow
from notchbook.trade.money import currency_decimals, round_money
from tests.shops import GOOD, write_shop

from .every_book import BOOKS

TODAY = date(2026, 6, 1)
RAIL = "projects/herb-rail.yaml"


@pytest.fixture
def shop(tmp_path: Path) -> Definitions:
    """The good shop, read."""
    return load(write_shop(tmp_path), TODAY)


def lengths(*written: str) -> tuple[Fraction | None, ...]:
    """Exact lengths, to compare with."""
    return tuple(Fraction(each) for each in written)


def changed(folder: Path, file: str, *swaps: tuple[str, str]) -> Definitions:
    """The good shop, read with some texts of a file replaced."""
    text = GOOD[file]
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new, 1)
    return load(write_shop(folder, **{file: text}), TODAY)


def test_every_table_is_there(shop: Definitions) -> None:
    """All tables that definitions fill stand in the book, in rows or empty."""
    assert tuple(shop.rows) == TABLES
    assert set(TABLES) <= set(BOOKS["us"].tables)
    assert all(shop.rows.values())


def test_settings(shop: Definitions) -> None:
    """Given values and the defaults of what was left out."""
    found = shop.settings
    assert (found.shop, found.year, found.as_of) == ("Bench and Burr", 2026, TODAY)
    assert (found.kerf, found.deepest_cut) == lengths("1/8", "3")
    assert (found.target_margin, found.local_factor) == (0.45, 0.4)
    assert (found.show_fractions_to, found.paper) == (Fraction(1, 32), "letter")
    assert (found.check_prices_after, found.usable_offcut) == (90, Fraction(12))
    assert (found.stock_method, found.tolerance) == ("materials", 0.005)


def test_settings_in_millimetres(tmp_path: Path) -> None:
    """A shop in millimetres has defaults of its own, and yen have no decimals."""
    files = {
        "shop.yaml": GOOD["shop.yaml"]
        .replace("units: inch", "units: mm")
        .replace("currency: USD", "currency: JPY")
        .replace(", deepest_cut: 3", ""),
        "ledgers/mileage.csv": GOOD["ledgers/mileage.csv"].replace("miles", "km"),
    }
    found = load(write_shop(tmp_path, **files), TODAY)
    assert (found.settings.show_fractions_to, found.settings.paper) == (Fraction(1), "a4")
    assert (found.settings.usable_offcut, found.settings.tolerance) == (Fraction(300), 0.5)
    assert found.settings.deepest_cut is None
    spruce = found.table("Stock", StockRow)[0]
    assert (spruce.thickness, spruce.width) == lengths(
        "38", "89"
    )  # PS 20, by way of notchbook.trade.nominal


def test_channels_and_tiers(shop: Definitions) -> None:
    """Shares as percentages, and what a tier leaves out."""
    channels = shop.table("Channels", ChannelRow)
    assert [(each.channel, each.fee) for each in channels] == [
        ("saturday market", 0),
        ("web shop", 0.095),
    ]
    stall, online, trade = shop.table("Tiers", TierRow)
    assert (stall.margin, online.margin, trade.margin) == (0.45, None, 0.2)
    assert (online.least_quantity, trade.least_quantity) == (1, 6)
    assert (online.follows, trade.follows) == ("market", "margin")


def test_stock(shop: Definitions) -> None:
    """Nominal sizes become real ones; kinds, packs and words are as the sheet has them."""
    rows = {row.stock: row for row in shop.table("Stock", StockRow)}
    spruce, barn, ply = rows["spruce 2x4 8ft"], rows["barn board"], rows["ply 1/4 2x4ft"]
    assert (spruce.kind, spruce.nominal) == ("lumber", "2x4")
    assert (spruce.thickness, spruce.width) == lengths("3/2", "7/2")
    assert (spruce.priced_on, spruce.vendor, spruce.on_hand) == (date(2026, 3, 2), "Yard A", 3)
    assert (barn.reclaimed, barn.price, barn.thickness) == ("yes", 0, Fraction(7, 8))
    assert (ply.kind, ply.grain, ply.pack) == ("panel", "yes", 1)
    assert (rows["brass cup pull"].kind, rows["brass cup pull"].pack) == ("hardware", 10)
    assert (rows["clear coat"].covers, rows["clear coat"].covers_per) == (125, 32)


def test_false_is_blank(tmp_path: Path) -> None:
    """`grain: false` says the same as no grain at all."""
    found = changed(tmp_path, "stock.yaml", ("grain: true", "grain: false"))
    assert found.table("Stock", StockRow)[3].grain is None


@pytest.mark.parametrize(("word", "told"), [("true", "yes"), ("Yes", "yes"), ("false", "no")])
def test_yes_is_true_for_every_key(tmp_path: Path, word: str, told: str) -> None:
    """Also where no is a word of its own."""
    said = ("tool: branding iron,", f"tool: branding iron, road_vehicle: {word},")
    found = changed(tmp_path, "tools.yaml", said)

    assert found.cells("Tool depreciation")[0]["road_vehicle"] == told


def test_lengths_are_exact(tmp_path: Path) -> None:
    """A decimal is the decimal written, a length may carry its unit, and arithmetic works."""
    found = changed(
        tmp_path,
        RAIL,
        ("size: 3/4 x 5 1/2 x long", "size: 0.1 x 14.375 x 5' 3 1/4\""),
        ("size: 1/4 x 10 x 20", "size: 25.4 mm x (deep + 1/2) / 2 x long"),
    )
    sizes = {
        row.part: (row.thickness, row.width, row.length)
        for row in found.table("Cut list", CutRow)
        if row.project == "herb rail"
    }
    assert sizes["front"] == lengths("1/10", "115/8", "253/4")
    assert sizes["end"] == lengths("3/4", "11/2", "4")
    assert sizes["slat"] == lengths("3/8", "1", "45/2")
    assert sizes["back"] == lengths("1", "3", "24")


def test_parts_and_surfaces(shop: Definitions) -> None:
    """Stocks are listed in their order, ends and turn as words."""
    rows = {row.part: row for row in shop.table("Cut list", CutRow)}
    assert rows["slat"].stocks == "spruce 2x4 8ft; barn board"
    assert (rows["end"].ends, rows["front"].ends) == ("mitre 45", None)
    assert (rows["back"].turn, rows["front"].turn) == ("yes", None)
    (face,) = shop.table("Laid surfaces", LaidRow)
    assert (face.strip_thickness, face.strip_width, face.strip_length) == lengths("1/2", "2", "8")
    assert (face.pattern, face.waste, face.stocks) == ("herringbone", 0.12, "barn board")


def test_an_entry_for_several_parts_is_a_row_a_part(shop: Definitions) -> None:
    """Marks and uses that list parts become one row for each."""
    marks = shop.table("Marks", MarkRow)
    assert [(row.part, row.mark) for row in marks] == [
        ("front", "notch"),
        ("slat", "stamp"),
        ("end", "stamp"),
    ]
    assert (marks[0].along, marks[0].deep, marks[0].gap) == lengths("1", "3/8", "3")
    assert (marks[1].spread, marks[1].margin, marks[1].along) == ("even", Fraction(3, 4), None)


def test_uses_and_tools(shop: Definitions) -> None:
    """Each way of counting has its basis."""
    uses = shop.table("Consumables", UseRow)
    assert [(use.stock or use.tool, use.basis, use.amount, use.part) for use in uses] == [
        ("brass cup pull", "piece", 2, None),
        ("wood glue", "piece", 1.5, None),
        ("clear coat", "area", 2, "front"),
        ("clear coat", "area", 2, "face"),
        ("wood glue", "length", 0.02, "slat"),
        ("branding iron", "use", 1, None),
        ("jobsite table saw", "hour", 0.25, None),
    ]
    assert [use.faces for use in uses if use.basis == "area"] == [1, 1]


def test_tools(shop: Definitions) -> None:
    """Defaults of a tool, and what was taken before."""
    iron, saw = shop.table("Tool depreciation", ToolRow)
    assert (iron.business_share, iron.salvage, iron.expected_uses) == (1, 0, 400)
    assert (saw.wear, saw.life_hours, saw.taken_before) == ("hours", 2000, 91.46)


def test_variants(shop: Definitions) -> None:
    """Each variant is a project, with its own sizes; the plain one is none."""
    assert shop.projects == ("herb rail", "peg board small", "peg board large")
    long = {row.project: row.length for row in shop.table("Cut list", CutRow)}
    assert (long["peg board small"], long["peg board large"]) == lengths("16", "32")


def test_a_price_row_for_each_project_and_tier(shop: Definitions) -> None:
    """Tiers in the shop's order, with the asked price where there is one."""
    rows = shop.table("Pricing tiers", PriceRow)
    assert [(row.tier, row.asked) for row in rows[:3]] == [
        ("market stall", 32),
        ("online", None),
        ("trade", None),
    ]
    assert len(rows) == 9


def test_projects(shop: Definitions) -> None:
    """Cautions are joined; what is left out is blank."""
    rail, small, _ = shop.table("Projects", ProjectRow)
    assert (rail.cautions, rail.spoilage, rail.batch) == ("narrow rips; spray finish", 0.05, 6)
    assert (small.cautions, small.spoilage, small.local_factor) == (None, 0, None)


def test_places(shop: Definitions) -> None:
    """Later faults of a row can name its line, in a variant too."""
    assert shop.places["Stock", "barn board"] == ("stock.yaml", 5)
    assert shop.place_of_part("herb rail", "slat") == (RAIL, 12)
    assert shop.place_of_part("herb rail", "face") == (RAIL, 15)
    assert shop.place_of_part("peg board large", "board") == ("projects/peg-board.yaml", 9)
    assert shop.place_of_part("herb rail", "no such") == (RAIL, 1)
    assert shop.places["Sales ledger", "3"] == ("ledgers/sales.csv", 4)


def test_a_table_of_other_rows_is_refused(shop: Definitions) -> None:
    """Asking for a table by another row model is a slip of the program."""
    with pytest.raises(TypeError, match="Stock"):
        shop.table("Stock", CutRow)


def test_ledgers(shop: Definitions) -> None:
    """Empty cells take their defaults; quoted text keeps its comma."""
    first, second, third = shop.table("Sales ledger", SaleRow)
    assert (first.kind, first.fee, first.discount, first.receipt) == ("sale", None, 0, "101")
    assert (second.fee, second.note) == (2.73, "blue paper, ribbon")
    assert (third.kind, third.quantity) == ("return", -1)
    (statement,) = shop.table("Statements", StatementRow)
    assert (statement.first, statement.last) == (date(2026, 1, 1), date(2026, 6, 30))
    counts = shop.table("Counts", CountRow)
    assert [(row.stock, row.project) for row in counts] == [
        ("wood glue", None),
        (None, "herb rail"),
    ]


def test_a_ledger_saved_by_a_spreadsheet(tmp_path: Path) -> None:
    """Byte order mark, carriage returns, blank lines, other order, cells of two lines."""
    raw = (
        "\ufeffprice,tier,project,receipt,date,quantity,note\r\n\r\n"
        "32.00,online,herb rail,7,2026-05-02,1,\r\n,,,,,,\r\n"
        '30,online,herb rail,8,2026-05-03,2,"said: ""fine"""\r\n'
    )
    found = load(write_shop(tmp_path, **{"ledgers/sales.csv": raw}), TODAY)
    rows = found.table("Sales ledger", SaleRow)
    assert [(row.receipt, row.price, row.note) for row in rows] == [
        ("7", 32, None),
        ("8", 30, 'said: "fine"'),
    ]
    assert found.places["Sales ledger", "2"] == ("ledgers/sales.csv", 5)


def test_what_may_be_left_out(tmp_path: Path) -> None:
    """Tools and ledgers may be missing; other files and hidden ones are none of our business."""
    none = {name: None for name in GOOD if name.startswith("ledgers/") or name == "tools.yaml"}
    rail = GOOD[RAIL].split("tools:", maxsplit=1)[0]
    extra = {"shop 2026.xlsx": b"x", "projects/.DS_Store": b"\0", "projects/picture.png": b"x"}
    found = load(write_shop(tmp_path, **none, **extra, **{RAIL: rail}), TODAY)
    assert found.rows["Tool depreciation"] == found.rows["Sales ledger"] == ()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("mitre 45", Ends("mitre", Fraction(45), "both")),
        ("mitre 22.5 one end", Ends("mitre", Fraction(45, 2), "one end")),
        ("bevel 30 parallel", Ends("bevel", Fraction(30), "parallel")),
    ],
)
def test_ends(text: str, expected: Ends) -> None:
    """Ends are read, and written back as they were."""
    assert parse_ends(text) == expected
    assert str(expected) == text


@pytest.mark.parametrize("text", ["mitre", "mitre 0", "mitre 45 both", "45", "bevel -5", ""])
def test_ends_refused(text: str) -> None:
    """What cannot be cut, or is not said, is refused."""
    with pytest.raises(ValueError, match="write"):
        parse_ends(text)


@pytest.mark.parametrize(
    ("reads", "text", "expected"),
    [
        (Reads.PERCENT, "9.5%", 0.095),
        (Reads.PERCENT, "0.45", 0.45),
        (Reads.PERCENT, "12 %", 0.12),
        (Reads.FACTOR, "40%", 0.4),
        (Reads.FACTOR, "1.1", 1.1),
        (Reads.NUMBER, "2:30", None),
        (Reads.NUMBER, "1_000", None),
        (Reads.NUMBER, "1e3", None),
        (Reads.NUMBER, "0o17", None),
        (Reads.NUMBER, "١٢", None),
        (Reads.PERCENT, "%", None),
        (Reads.WHOLE, "012", 12),
        (Reads.LENGTH, "0.1", Fraction(1, 10)),
        (Reads.TEXT, "2026-03-02", "2026-03-02"),
        (Reads.TEXT, "yes", "yes"),
    ],
)
def test_values_are_read_by_their_key(reads: Reads, text: str, expected: object) -> None:
    """The key decides what a text is; None here means that it is refused."""
    key = Key("key", reads, "a value", "1")
    if expected is None:
        with pytest.raises(ValueError, match="write"):
            read_scalar(key, Scalar(text, 1), Scope("inch"))
    else:
        assert read_scalar(key, Scalar(text, 1), Scope("inch")) == expected


def test_the_declared_syntax_reads_its_own_examples() -> None:
    """Every example that the reference prints is what its key takes."""
    scope = Scope("inch", {"long": Fraction(24), "deep": Fraction(5)})
    several = {Reads.NAMES, Reads.TEXTS, Reads.PLACE, Reads.PLACES, Reads.FREE}
    for place, keys in SYNTAX.items():
        assert len({key.key for key in keys}) == len(keys), place
        for key in keys:
            assert key.meaning, (place, key.key)
            if key.reads in several:
                assert key.reads not in (Reads.PLACE, Reads.PLACES) or key.place in SYNTAX
            else:
                assert read_scalar(key, Scalar(key.example, 1), scope) is not None


def test_optional_keys_of_the_shop(tmp_path: Path) -> None:
    """What replaces a default is taken."""
    more = "tax: us\npaper: a4\nstock_method: inventory\ncheck_prices_after: 30\nusable_offcut: 8"
    found = changed(tmp_path, "shop.yaml", ("tax: us", more)).settings
    assert (found.paper, found.stock_method) == ("a4", "inventory")
    assert (found.check_prices_after, found.usable_offcut) == (30, Fraction(8))


def test_ledger_columns_follow_the_design() -> None:
    """The required columns, in the words of the CSV files."""
    required = {
        file: [key.key for key in SYNTAX[file] if key.required] for file in ("sales.csv", *LEDGERS)
    }
    assert required["sales.csv"] == ["date", "receipt", "project", "tier", "quantity", "price"]
    assert required["purchases.csv"] == ["date", "vendor", "what", "category", "amount"]
    assert required["statements.csv"] == ["channel", "from", "to", "gross"]


def test_a_shop_sheet_is_called_piece_where_another_sheet_has_its_name() -> None:
    """Whatever the case, in 31 letters, and told apart from a project that is called so."""
    projects = ["herb rail", "money", "Money (piece)", "History", "Months and channels"]

    assert title_pieces(projects, ["Money", "Months and channels"]) == {
        "herb rail": "herb rail",
        "money": "money (piece 2)",
        "Money (piece)": "Money (piece)",
        "History": "History (piece)",
        "Months and channels": "Months and channels (piece)",
    }
    assert title_pieces(["A" * 31], ["a" * 31]) == {"A" * 31: "A" * 23 + " (piece)"}


def test_nearest() -> None:
    """A near name is offered, a far one is not."""
    assert nearest("Pine 1x6", ["pine 1x6 8ft", "oak"]) == " (nearest known: pine 1x6 8ft)"
    assert nearest("teak", ["pine 1x6 8ft", "brass cup pull"]) == ""


@pytest.mark.parametrize(("code", "digits"), [("USD", 2), ("JPY", 0), ("KWD", 3), ("CLF", 4)])
def test_currency_decimals(code: str, digits: int) -> None:
    """Minor units as ISO 4217 gives them."""
    assert currency_decimals(code) == digits


@pytest.mark.parametrize("code", ["usd", "DEM", "", "US", "dollars\n"])
def test_no_currency(code: str) -> None:
    """Former codes and other texts are refused in one line."""
    with pytest.raises(ValueError, match=r"ISO 4217, such as [A-Z]{3}$"):
        currency_decimals(code)


@pytest.mark.parametrize(
    ("value", "decimals", "expected"),
    [
        (2.675, 2, "2.68"),
        (-2.675, 2, "-2.68"),
        (0.1 + 0.2, 2, "0.30"),
        (4.35 * 100, 0, "435"),
        (1.0005, 3, "1.001"),
        (0.5, 0, "1"),
        (-0.001, 2, "0.00"),
        (1234567.0, 2, "1234567.00"),
    ],
)
def test_round_money(value: float, decimals: int, expected: str) -> None:
    """Half away from zero, over the fifteen digits that a spreadsheet keeps."""
    assert str(round_money(value, decimals)) == expected
    assert round_money(value, decimals) == Decimal(expected)


def test_round_money_refuses_infinity() -> None:
    """No amount is infinite."""
    with pytest.raises(ValueError, match="not an amount"):
        round_money(float("inf"), 2)
