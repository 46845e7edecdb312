"""The keys of shop.yaml, stock.yaml and tools.yaml."""

from __future__ import annotations

from collections.abc import Mapping

from notchbook.definitions.syntax.keys import Key, Reads, inside, listed, opt, word
from notchbook.sheets.tax.tool_rows import CONVENTIONS, METHODS

_VENDOR = (
    opt("vendor", Reads.TEXT, "where it is bought", "Yard A"),
    opt("priced_on", Reads.DATE, "the day the price was seen", "2026-03-02"),
)
_BOARDS = (
    opt("on_hand", Reads.WHOLE, "how many are there, by the last count; else 0", "3"),
    opt("prep_minutes", Reads.NUMBER, "minutes to clean and flatten one; else 0", "12"),
    opt("reclaimed", Reads.YES, "true: it cannot be bought again", "true"),
)
_PACKED = opt("on_hand", Reads.NUMBER, "how many, or how much, by the last count; else 0", "40")

SHOP_SYNTAX: Mapping[str, tuple[Key, ...]] = {
    "shop.yaml": (
        Key("shop", Reads.TEXT, "the shop's name, also the workbook's", "Marlow Street Joinery"),
        Key("year", Reads.WHOLE, "the year whose books the workbook holds", "2026"),
        Key("currency", Reads.TEXT, "the ISO 4217 code of all amounts", "USD"),
        word("units", ("inch", "mm"), "what a length without a unit is in"),
        opt("show_fractions_to", Reads.LENGTH, "the finest fraction shown; else 1/32", "1/32"),
        word("paper", ("letter", "a4"), "what is printed on; else letter, a4 in an mm shop", False),
        Key("labor_rate", Reads.MONEY, "what an hour of work costs", "24.00"),
        Key("overhead_rate", Reads.MONEY, "rent, power and the like, a bench hour", "4.50"),
        inside("saw", "saw", "what the saw takes and what it can do"),
        inside("pricing", "pricing", "how prices are found and judged"),
        opt(
            "check_prices_after", Reads.WHOLE, "days until a price is marked as old; else 90", "90"
        ),
        opt("usable_offcut", Reads.LENGTH, "shorter offcuts are scrap; else 12 in or 300 mm", "12"),
        word(
            "stock_method",
            ("materials", "inventory"),
            "how stock enters the cost of goods: when used and sold, or by counts; else materials",
            False,
        ),
        word("tax", ("us", "none"), "the tax form of the year's end"),
        inside("year_end", "year_end", "what the year's end asks beside the ledgers", False),
        listed("channels", "channel", "the ways of selling, at least one"),
        listed("tiers", "tier", "the kinds of price, at least one"),
    ),
    "saw": (
        Key("kerf", Reads.LENGTH, "what the blade turns to dust", "1/8"),
        Key(
            "squaring", Reads.LENGTH, "lost at each long edge before ripping, kerf included", "1/8"
        ),
        Key("end_trim", Reads.LENGTH, "lost at each end of a board, kerf included", "1/4"),
        Key("shortest_rip", Reads.LENGTH, "no shorter blank is ripped", "12"),
        opt("deepest_cut", Reads.LENGTH, "no rip is deeper; else unlimited", "3"),
    ),
    "pricing": (
        Key(
            "local_factor", Reads.FACTOR, "the share of a shop's price that people pay here", "0.40"
        ),
        Key("target_margin", Reads.PERCENT, "the profit wanted of a price", "45%"),
        Key("ending", Reads.MONEY, "what suggested prices end in", "0.95"),
        word("offcuts", ("share", "whole"), "whether usable offcuts are left out of the cost"),
        Key("main_tier", Reads.NAME, "the tier that projects are judged by", "market stall"),
        Key("worth_per_hour", Reads.MONEY, "earned an hour: from here worth making", "30"),
        Key("skip_per_hour", Reads.MONEY, "earned an hour: below it, skip it", "15"),
    ),
    "year_end": (
        opt("other_income", Reads.MONEY, "business income that is no sale; else 0", "40.00"),
        opt("home_use", Reads.MONEY, "what you claim for the home; else by home_area", "600.00"),
        opt("home_area", Reads.NUMBER, "square feet used for the business alone; else 0", "120"),
        opt("written_off", Reads.MONEY, "stock wasted or lost, written off; else 0", "12.00"),
        opt("carried_179", Reads.MONEY, "section 179 carried in from past years; else 0", "0.00"),
        opt("other_earned", Reads.MONEY, "wages and other business income; else 0", "21000.00"),
        opt("other_wages", Reads.MONEY, "wages with social security held back; else 0", "21000.00"),
        opt("income_tax_rate", Reads.PERCENT, "your own guess, to set aside; else 0", "12%"),
    ),
    "channel": (
        Key("channel", Reads.NAME, "a way of selling", "saturday market"),
        Key("fee", Reads.PERCENT, "the share of the price it keeps", "9.5%"),
        Key("fixed_fee", Reads.MONEY, "charged for each receipt", "0.45"),
        Key("packaging", Reads.MONEY, "box, paper and tape for a piece", "0.40"),
        Key("postage", Reads.MONEY, "paid by you for each receipt", "9.80"),
        word("collects_sales_tax", ("self", "marketplace"), "who collects it and pays it on"),
    ),
    "tier": (
        Key("tier", Reads.NAME, "a kind of price", "market stall"),
        Key("channel", Reads.NAME, "the channel it is sold through", "saturday market"),
        opt("margin", Reads.PERCENT, "the profit wanted; else the target margin", "45%"),
        opt("least_quantity", Reads.WHOLE, "sold from so many pieces at once; else 1", "6"),
        word("follows", ("market", "margin"), "what the price follows first; else market", False),
    ),
    "stock.yaml": (
        listed("lumber", "lumber", "boards", required=False),
        listed("panels", "panel", "plywood and other sheets", required=False),
        listed("hardware", "hardware", "what is used by the piece", required=False),
        listed("consumables", "consumable", "glue, finish and the like", required=False),
    ),
    "lumber": (
        Key("stock", Reads.NAME, "the name that parts refer to", "spruce 2x4 8ft"),
        opt("nominal", Reads.TEXT, "the trade's size, in place of thickness and width", "2x4"),
        opt("thickness", Reads.LENGTH, "the real thickness, where there is no nominal", "7/8"),
        opt("width", Reads.LENGTH, "the real width, where there is no nominal", "5 1/2"),
        Key("length", Reads.LENGTH, "as bought", "96"),
        Key("price", Reads.MONEY, "of a board, sales tax included; 0 for reclaimed", "4.15"),
        *_VENDOR,
        *_BOARDS,
    ),
    "panel": (
        Key("stock", Reads.NAME, "the name that parts refer to", "ply 1/4 2x4ft"),
        Key("thickness", Reads.LENGTH, "the real thickness", "1/4"),
        Key("width", Reads.LENGTH, "across the grain", "24"),
        Key("length", Reads.LENGTH, "along the grain", "48"),
        Key("price", Reads.MONEY, "of a sheet, sales tax included; 0 for reclaimed", "11.80"),
        opt("grain", Reads.YES, "true: parts keep their length along the sheet's", "true"),
        *_VENDOR,
        *_BOARDS,
    ),
    "hardware": (
        Key("stock", Reads.NAME, "the name that uses refer to", "brass cup pull"),
        Key("price", Reads.MONEY, "of the whole pack, sales tax included", "13.50"),
        opt("pack", Reads.NUMBER, "pieces in a pack; else 1", "10"),
        opt("unit", Reads.TEXT, "what the pack counts", "piece"),
        *_VENDOR,
        _PACKED,
    ),
    "consumable": (
        Key("stock", Reads.NAME, "the name that uses refer to", "wood glue"),
        Key("price", Reads.MONEY, "of the whole pack, sales tax included", "8.90"),
        Key("pack", Reads.NUMBER, "units in a pack", "16"),
        Key("unit", Reads.TEXT, "what the pack counts", "fl oz"),
        opt("covers", Reads.NUMBER, "ft2 (m2 in an mm shop) of one coat, with covers_per", "125"),
        opt("covers_per", Reads.NUMBER, "by so many units, with covers", "32"),
        *_VENDOR,
        _PACKED,
    ),
    "tools.yaml": (listed("tools", "tool", "tools that wear or are written off"),),
    "tool": (
        Key("tool", Reads.NAME, "the tool", "branding iron"),
        Key("cost", Reads.MONEY, "with tax, delivery and setting up", "48.00"),
        Key("in_service", Reads.DATE, "the day it was ready for work", "2026-02-10"),
        word("wear", ("per use", "hours"), "how its wear is counted in prices"),
        opt("expected_uses", Reads.NUMBER, "uses in its life, with wear: per use", "400"),
        opt("life_hours", Reads.NUMBER, "hours in its life, with wear: hours", "2000"),
        word("tax_method", METHODS, "how the tax form gets its cost"),
        opt("acquired", Reads.DATE, "the day it was ordered, where it matters", "2026-02-01"),
        opt("business_share", Reads.PERCENT, "the share of use for the business; else 100%", "80%"),
        opt("salvage", Reads.MONEY, "what it brings in the end; else 0", "50.00"),
        opt("life_years", Reads.NUMBER, "years of its life, for straight line", "7"),
        opt("elected_179", Reads.MONEY, "the part put under section 179; else all", "400.00"),
        opt("taken_before", Reads.MONEY, "depreciation of past years, as filed; else 0", "91.46"),
        word("convention", CONVENTIONS, "how its first year counts; else months", False),
        opt("disposed", Reads.DATE, "the day it was sold or lost", "2026-11-20"),
        opt("disposed_for", Reads.MONEY, "what it brought, with disposed", "300.00"),
    ),
}
