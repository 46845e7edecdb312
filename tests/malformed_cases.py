"""Slips that makers make: each a small change of the good shop, and what must be said of it."""

from __future__ import annotations

from dataclasses import dataclass

from tests.shops import FOLDER, GOOD

SHOP, STOCK, TOOLS, IDEAS = "shop.yaml", "stock.yaml", "tools.yaml", "ideas.yaml"
RAIL, PEGS = "projects/herb-rail.yaml", "projects/peg-board.yaml"
SALES, COUNTS = "ledgers/sales.csv", "ledgers/counts.csv"
BUYS, MADE, PAID = "ledgers/purchases.csv", "ledgers/production.csv", "ledgers/statements.csv"


@dataclass(frozen=True)
class Case:
    """A change of one file (None: it is left out), where it is told and a fragment of the words."""

    name: str
    file: str
    text: str | bytes | None
    line: int
    says: str
    told_in: str

    @property
    def changes(self) -> dict[str, str | bytes | None]:
        """What `write_shop` is to change."""
        return {self.file: self.text}

    @property
    def start(self) -> str:
        """How the problem's line begins."""
        return f"{self.told_in}:{self.line}: "


def whole(
    name: str, file: str, text: str | bytes | None, line: int, says: str, told_in: str = ""
) -> Case:
    """A case in which a file has another text, or none."""
    return Case(name, file, text, line, says, told_in or file)


def swap(name: str, file: str, old: str, new: str, says: str, line: int = 0) -> Case:
    """A case in which the first `old` of a file becomes `new`; told at its line, unless given."""
    text = GOOD[file]
    at = text.index(old)
    told_at = line or text[:at].count("\n") + 1
    return Case(name, file, text[:at] + new + text[at + len(old) :], told_at, says, file)


CASES: tuple[Case, ...] = (
    # files
    whole("shop missing", SHOP, None, 1, "the file is missing"),
    whole("stock missing", STOCK, None, 1, "the file is missing"),
    whole("shop is a folder", SHOP, FOLDER, 1, "this is a folder"),
    whole("tools is a folder", TOOLS, FOLDER, 1, "this is a folder"),
    whole("project is a folder", "projects/x.yaml", FOLDER, 1, "this is a folder"),
    whole("ledger is a folder", SALES, FOLDER, 1, "this is a folder"),
    whole("shop empty", SHOP, "", 1, "the file is empty"),
    whole("tools empty", TOOLS, "\n\n", 1, "the file is empty"),
    whole("stock only comments", STOCK, "# later\n", 1, "only comments"),
    whole("sales empty", SALES, "", 1, "the file is empty"),
    whole("not UTF-8", STOCK, b"# prices\nlumber: [\xe9t\xe9]\n", 2, "not UTF-8"),
    whole("UTF-16", SHOP, "shop: x\n".encode("utf-16"), 1, "not UTF-8"),
    whole("too large", RAIL, "# " + "x" * 1_100_000, 1, "over 1 MB"),
    whole("yml", "projects/third.yml", "project: third\n", 1, "name it 'third.yaml'"),
    whole("unknown ledger", "ledgers/sale.csv", "date\n", 1, "(nearest known: sales.csv)"),
    # YAML
    swap("tab", RAIL, "  - {where", "\t- {where", "a tab stands before the text"),
    swap("no colon", SHOP, "units: inch", "units inch", "cannot be read as YAML", 5),
    swap("bracket open", RAIL, "front, face]", "front, face", "cannot be read as YAML"),
    swap("quote open", SHOP, "shop: Bench", "shop: 'Bench", "cannot be read as YAML"),
    swap("duplicate key", SHOP, "tax: us", "year: 2025\ntax: us", "stands on line 2 already"),
    swap("alias", RAIL, "long: 24", "long: &a 24", "& and * names are not used"),
    swap("tag", SHOP, "year: 2026", "year: !!int 2026", "a ! tag is not used"),
    swap("control character", SHOP, "Bench and", "Bench\x07and", "control character"),
    swap("second document", SHOP, "tax: us", "---\ntax: us", "a second document"),
    swap("list as key", SHOP, "tax: us", "? [tax]\n: us", "a key is a single word"),
    swap("nested deep", RAIL, "batch: 6", "batch: " + "[" * 40 + "]" * 40, "nested more than 8"),
    whole("bracket flood", RAIL, "a: " + "[" * 100_000, 1, "nested more than 8"),
    whole("a list for a file", RAIL, "- project: x\n", 1, "the file is a list"),
    whole("text for a file", TOOLS, "branding iron\n", 1, "the file is plain text"),
    # keys
    swap("unknown key", SHOP, "labor_rate", "labor_rates", "(nearest known: labor_rate)"),
    swap("missing key", SHOP, "tax: us\n", "", "tax is missing", 1),
    swap("colon forgotten", RAIL, "{part: front", "{part front", "a colon and a space after part"),
    swap("key missing in part", RAIL, "make: 5, ", "", "make is missing"),
    swap("key without value", SHOP, "year: 2026", "year:", "nothing is written"),
    swap(
        "text for keys",
        SHOP,
        "saw: {kerf: 1/8, squaring: 1/8, end_trim: 1/4, shortest_rip: 12, deepest_cut: 3}",
        "saw: thin",
        "stands where keys are wanted",
    ),
    swap(
        "keys for a list",
        RAIL,
        "tools: [{tool: branding iron, uses: 1}, {tool: jobsite table saw, hours: 0.25}]",
        "tools: {tool: saw}",
        "a list is wanted",
    ),
    swap("list for a value", SHOP, "year: 2026", "year: [2026]", "a list stands where"),
    swap(
        "no parts",
        PEGS,
        "parts:\n  - {part: board, make: 1, size: 3/4 x 5 1/2 x long, from: [pine 1x6 8ft]}\n",
        "",
        "no parts; write its parts",
        6,
    ),
    # values
    swap("margin in full", SHOP, "target_margin: 45%", "target_margin: 45", "write 45%"),
    swap("tier margin in full", SHOP, "margin: 20%", "margin: 20", "write 20%"),
    swap("fee above all", SHOP, "fee: 0%", "fee: 120%", "fee: 1.2 is too high"),
    swap("nothing is left", SHOP, "margin: 20%", "margin: 100%", "margin: 1 is too high"),
    swap("fee and margin", SHOP, "fee: 0%", "fee: 60%", "no margin left", 23),
    swap("number in words", RAIL, "batch: 6", "batch: six", "'six' is not a whole number"),
    swap("half a piece", RAIL, "batch: 6", "batch: 6.5", "'6.5' is not a whole number"),
    swap("batch of none", RAIL, "batch: 6", "batch: 0", "batch: 0 is too low; write 1 or more"),
    swap("currency sign", STOCK, "price: 7.60", "price: $7.60", "'$7.60' is not a number"),
    swap("negative price", STOCK, "price: 7.60", "price: -7.60", "price: -7.6 is too low"),
    swap("huge price", STOCK, "price: 7.60", "price: 7600000000000", "write at most 1000000000"),
    swap("infinite price", STOCK, "price: 7.60", "price: .inf", "'.inf' is not a number"),
    swap("pack of none", STOCK, "pack: 10", "pack: 0", "pack: 0 is too low"),
    swap("day unclear", STOCK, "2026-03-02", "3/2/2026", "is not a day"),
    swap("day that is none", STOCK, "2026-03-02", "2026-02-30", "is not a day"),
    swap("day long ago", STOCK, "2026-03-02", "0026-03-02", "write 1901-01-01 or more"),
    swap("word unknown", SHOP, "units: inch", "units: inches", "(nearest known: inch)"),
    swap("yes unclear", STOCK, "grain: true", "grain: maybe", "neither yes nor no"),
    swap("truth for text", SHOP, "shop: Bench and Burr", "shop: true", "true is not text"),
    swap("currency unknown", SHOP, "currency: USD", "currency: usd", "ISO 4217, such as USD"),
    swap("file name", SHOP, "Bench and Burr", "Bench/Burr", "names the workbook's file"),
    swap("long text", RAIL, "Windowsill herb rail", "x" * 10_000, "is 10000 characters long"),
    swap("formula", RAIL, "Windowsill herb rail", "'=1+1'", "cannot begin with ="),
    swap("line break", RAIL, "Windowsill herb rail", '"two\\nlines"', "U+000A cannot stand"),
    swap("half a character", RAIL, "Windowsill herb rail", '"\\ud800"', "U+D800 cannot stand"),
    swap("name of digits", STOCK, "brass cup pull", "12/4", "without a letter"),
    swap("wildcard", STOCK, "brass cup pull", "pull*", "a name cannot hold *"),
    swap("semicolon", STOCK, "brass cup pull", "pull; brass", "cannot hold a semicolon"),
    # lengths
    swap("bad length", STOCK, "length: 60", "length: sixty", "'sixty' is not a length; write one"),
    swap("length of zero", STOCK, "length: 60", "length: 0", "length: 0 is too low"),
    swap("fractions of zero", SHOP, "tax: us", "show_fractions_to: 0\ntax: us", "0 is too low"),
    swap("size of two", RAIL, "3/4 x 5 1/2 x long", "5 1/2 x long", "2 dimensions"),
    swap("size below zero", RAIL, "deep - 1 1/2", "deep - 7", "less than zero"),
    swap("no spaces", RAIL, "deep - 1 1/2", "deep -1 1/2", "space"),
    swap("area", RAIL, "deep - 1 1/2", "deep * long", "product of two lengths"),
    swap("size unknown", RAIL, "x deep x deep", "x dep x deep", "no size named 'dep'; write deep"),
    swap("circle", RAIL, "long: 24", "long: inner", "needs"),
    swap("size without length", RAIL, "long: 24", "long: ", "sizes: long: the length is empty"),
    swap(
        "too many sizes",
        RAIL,
        "long: 24",
        ", ".join(f"s{n}: 1" for n in range(501)) + ", long: 24",
        "write at most 500",
    ),
    swap("nominal unknown", STOCK, "nominal: 2x4", "nominal: 2x13", "no nominal softwood size"),
    swap("no size at all", STOCK, "nominal: 2x4, ", "", "thickness: no size"),
    swap("both sizes", STOCK, "nominal: 2x4", "nominal: 2x4, width: 3", "beside nominal"),
    swap("square ends", RAIL, "mitre 45", "miter joint", "write miter 45"),
    swap("flat mitre", RAIL, "mitre 45", "mitre 90", "between 0 and 90"),
    # names
    swap("stock unknown", RAIL, "[pine 1x6 8ft]", "[pine 1x6]", "known: pine 1x6 8ft)"),
    swap("hardware in from", RAIL, "[ply 1/4 2x4ft]", "[brass cup pull]", "is hardware"),
    swap(
        "from twice",
        RAIL,
        "barn board]}\n  - {part: back",
        "Spruce 2x4 8ft]}\n  - {part: back",
        "is listed twice",
    ),
    swap("stock twice", STOCK, "stock: wood glue", "stock: Brass Cup Pull", "at stock.yaml:10"),
    swap(
        "channel twice", SHOP, "channel: web shop, fee", "channel: saturday market, fee", "already"
    ),
    swap("tier twice", SHOP, "tier: trade", "tier: Online", "stands at shop.yaml:24"),
    swap(
        "tier's channel",
        SHOP,
        "tier: online, channel: web shop",
        "tier: online, channel: web",
        "(nearest known: web shop)",
    ),
    swap("main tier", SHOP, "main_tier: market stall", "main_tier: stall", "there is no tier"),
    swap("tool twice", TOOLS, "jobsite table saw", "branding iron", "at tools.yaml:2 already"),
    swap("part twice", RAIL, "part: slat", "part: Front", "herb-rail.yaml:10 already"),
    swap("surface is a part", RAIL, "surface: face", "surface: back", "surface: a part too"),
    swap("step twice", RAIL, "step: finish", "step: rip and crosscut", "rail.yaml:26 already"),
    whole("project twice", "projects/copy.yaml", GOOD[RAIL], 1, "projects/copy.yaml:1", RAIL),
    swap("project too long", RAIL, "project: herb rail", "project: " + "herb " * 7, "at most 31"),
    swap("variant too long", PEGS, "small:", "x" * 40 + ":", "at most 31"),
    swap("project with signs", RAIL, "project: herb rail", "project: herb/rail", "holds /"),
    swap("project as header", RAIL, "project: herb rail", "project: Project", "like its column"),
    swap("stock as header", STOCK, "stock: wood glue", "stock: Stock", "like its column"),
    swap("variant's size", PEGS, "{long: 16}", "{log: 16}", "(nearest known: long)"),
    swap("variant of nothing", PEGS, "{long: 16}", "16", "holds no sizes"),
    swap("asked tier", RAIL, "{market stall: 32}", "{market: 32}", "there is no tier 'market'"),
    swap("asked in words", RAIL, "{market stall: 32}", "{market stall: dear}", "is not a number"),
    # uses, marks, tools
    swap("no form", RAIL, "brass cup pull, each: 2", "brass cup pull", "how this is counted"),
    swap("two forms", RAIL, "each: 1.5", "each: 1.5, coats: 2, on: [end]", "stands beside each"),
    swap("coats on nothing", RAIL, "coats: 2, on: [front, face], ", "coats: 2, ", "no part"),
    swap("coat that covers not", RAIL, "stock: clear coat", "stock: wood glue", "no covers"),
    swap("coats on a stranger", RAIL, "on: [front, face]", "on: [frnt]", "nearest known: front"),
    swap("along a surface", RAIL, "along: [slat]", "along: [face]", "there is no part 'face'"),
    swap("faces", RAIL, "faces: 1", "faces: 3", "write 1 or 2"),
    swap("lumber used", RAIL, "stock: brass cup pull", "stock: barn board", "wood is cut"),
    swap("covers alone", STOCK, ", covers_per: 32", "", "covers_per: no covers per"),
    swap("mark on a stranger", RAIL, "on: front", "on: frond", "(nearest known: front)"),
    swap("mark without gap", RAIL, "gap: 3, ", "", "gap: no gap"),
    swap("even with first", RAIL, "margin: 3/4", "margin: 3/4, first: 1", "first: of no use here"),
    swap("one mark spread", RAIL, "count: 7", "count: 1", "cannot be spread evenly"),
    swap(
        "tool unknown", RAIL, "tool: branding iron", "tool: brand iron", "nearest known: branding"
    ),
    swap("tool by hours", RAIL, "branding iron, uses", "branding iron, hours", "other wear"),
    swap("wear without life", TOOLS, "life_hours: 2000, ", "", "life_hours: no hours", 4),
    swap("salvage", TOOLS, "cost: 48.00", "cost: 48.00, salvage: 50", "more than it cost"),
    swap(
        "sold before bought",
        TOOLS,
        "wear: per use",
        "disposed: 2026-01-01, wear: per use",
        "disposed before it was in service",
    ),
    swap(
        "rates crossed",
        SHOP,
        "skip_per_hour: 15",
        "skip_per_hour: 45",
        "worth making from less than skip below",
        14,
    ),
    # ledgers
    swap("column unknown", SALES, "receipt", "reciept", "(nearest known: receipt)"),
    swap("column missing", SALES, ",price", ",return_of", "the column price is missing"),
    swap("column twice", SALES, ",fee", ",price", "stands twice"),
    swap("semicolons", PAID, "channel,from,to,gross", "channel;from;to;gross", "not parted by"),
    swap("sale undated", SALES, "2026-05-03", "05/03/2026", "date: '05/03/2026' is not a day"),
    swap("sale priceless", SALES, "2,32.00", "2,", "price: the cell is empty"),
    swap("thousands", BUYS, "41.50", '"1,041.50"', "a point: 1041.50"),
    swap("sale of a stranger", SALES, "herb rail", "herb rial", "(nearest known: herb rail)"),
    swap("the plain project", SALES, "peg board small", "peg board", "peg board small)"),
    swap("sale at no tier", SALES, "online", "onlin", "(nearest known: online)"),
    swap("kind unknown", SALES, "return,,", "refund,,", "kind: 'refund' is not known"),
    swap("return of plenty", SALES, "-1", "1", "wrong sign; a return is below zero"),
    swap("comma unquoted", SALES, '"blue paper, ribbon"', "blue paper, ribbon", "10 cells under 9"),
    swap("quote never closed", SALES, 'ribbon"', "ribbon", "cannot be read as CSV"),
    swap("bought stock", BUYS, ",spruce 2x4 8ft", ",spruce", "there is no stock 'spruce'"),
    swap(
        "used by an idea",
        IDEAS,
        "brass cup pull, each: 4",
        "rope, each: 4",
        "stock: there is no stock 'rope'; write one of Stock, or what it costs under other",
    ),
    swap(
        "an idea's board",
        IDEAS,
        "{from: spruce 2x4 8ft, boards",
        "{from: spruce 2x4, boards",
        "from: there is no stock 'spruce 2x4' (nearest known: spruce 2x4 8ft); write one of Stock",
    ),
    swap("no category", BUYS, "materials", "", "category: the cell is empty"),
    swap("spoiled more", MADE, "6,1,75", "6,7,75", "too many; write no more than were made"),
    swap("count of both", COUNTS, "wood glue,,", "wood glue,herb rail,", "one of the two"),
    swap("count of none", COUNTS, "wood glue,,", ",,", "one of the two"),
    swap("period backwards", PAID, "2026-06-30", "2025-06-30", "to: ends too early"),
    swap("channel of a statement", PAID, "web shop", "webshop", "(nearest known: web shop)"),
    # commas, blanks and names in numbers and lengths
    swap("decimal comma", STOCK, "price: 4.15", "price: '4,15'", "write it with a point: 4.15"),
    swap("a comma in brackets", STOCK, "price: 4.15", "price: 4,15", "with a point: 4.15"),
    swap("comma of thousands", TOOLS, "cost: 48.00", "cost: '1,048.00'", "a point: 1048.00"),
    swap("either comma", TOOLS, "cost: 48.00", "cost: '1,048'", "a point: 1.048, or 1048"),
    swap("comma of a share", SHOP, "fee: 9.5%", "fee: '9,5%'", "with a point: 9.5"),
    swap("comma of a length", SHOP, "kerf: 1/8", "kerf: '3,2'", "with a point: 3.2"),
    swap("size without blanks", RAIL, "3/4 x 5 1/2 x long", "18x145x900", "18 x 145 x 900"),
    swap("no length", SHOP, "deepest_cut: 3", "deepest_cut: three", "'three' is not a length;"),
    swap("kerf of a blade's width", SHOP, "kerf: 1/8", "kerf: 9", "wider than any saw blade"),
)

NAMED = (
    *("no parts", "step twice", "asked tier", "sale of a stranger", "the plain project"),
    *("sale at no tier", "return of plenty", "bought stock", "spoiled more", "count of both"),
    *("count of none", "period backwards", "channel of a statement", "kind unknown"),
)
"""Those in which nothing is refused: the row is named, and counts or is left out."""
