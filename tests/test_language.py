"""The language: what each node prints and gives, and that every engine agrees."""

from __future__ import annotations

import math
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notchbook.language.expressions import (
    Expression,
    Line,
    Literal,
    Round,
    RowNumber,
    SumLines,
    Unit,
    as_node,
    average,
    blank,
    call,
    count,
    greatest,
    join,
    least,
    look_up,
    products,
    rounded,
    sum_of,
    this,
    total,
    when,
    where,
    whole_down,
    whole_up,
)
from notchbook.language.formula import ROW, formula
from notchbook.language.kinds import RuleError, kind_of
from notchbook.language.order import in_order, needs
from notchbook.language.value_kinds import Kind
from notchbook.language.words import words
from notchbook.sheets import book_for, check
from notchbook.sheets.kit.column_words import ColumnWords
from notchbook.sheets.kit.columns import computed
from notchbook.sheets.kit.show import AMOUNT
from notchbook.sheets.tax.tool_depreciation import LEAST_YEARS, MOST_YEARS
from notchbook.workbook.layout.layout import RowPlaces, arrange

from . import small_book as small
from .engines import (
    Cells,
    agree,
    formula_values,
    recalculated_by_formualizer,
    recalculated_by_libreoffice,
)
from .searching import examples

NUMBER, TEXT, DATE = Kind.NUMBER, Kind.TEXT, Kind.DATE
N, M, DAY, KEY, WORD = (this(name) for name in ("n", "m", "day", "key", "word"))
RATE, STEP = Line("Settings", "rate"), Line("Settings", "step")
FIRST, LAST = Line("Settings", "first"), Line("Settings", "last")

# the rule, the formula it prints in row 7, what it gives in the four rows of the small book
CASES: dict[str, tuple[Expression, Kind, str, list[Any]]] = {
    "plus and times": (N + M * RATE, NUMBER, "$B7+$C7*Settings!$B$7", [-57.5, 73.005, 7, 6]),
    "brackets where needed": (
        (N + M) * RATE,
        NUMBER,
        "($B7+$C7)*Settings!$B$7",
        [0, 96.12, 168, 6],
    ),
    "minus from the right": (
        N - (M - STEP),
        NUMBER,
        "$B7-($C7-Settings!$B$8)",
        [5.25, -1.745, 7.25, 0],
    ),
    "a negation": (N - -M, NUMBER, "$B7--$C7", [0, 4.005, 7, 0.25]),
    "division by zero is 0": (N / M, NUMBER, "IF($C7=0,0,$B7/$C7)", [-1, 0.335, 0, 0]),
    "division by a unit": (N / Unit("hour"), NUMBER, "$B7/60", [2.5 / 60, 1.005 / 60, 7 / 60, 0]),
    "division binds left": (
        N / (M / STEP),
        NUMBER,
        "IF(IF(Settings!$B$8=0,0,$C7/Settings!$B$8)=0,0,$B7/IF(Settings!$B$8=0,0,$C7/Settings!$B$8))",
        [-0.25, 0.08375, 0, 0],
    ),
    "half away from zero": (rounded(N, 0), NUMBER, "ROUND($B7,0)", [3, 1, 7, 0]),
    "half of a negative": (rounded(M, 0), NUMBER, "ROUND($C7,0)", [-3, 3, 0, 0]),
    "a half that binary cannot hold": (rounded(N, 2), NUMBER, "ROUND($B7,2)", [2.5, 1.01, 7, 0]),
    "up to a whole": (whole_up(N), NUMBER, "ROUNDUP(ROUND($B7,6),0)", [3, 2, 7, 0]),
    "down to a whole": (whole_down(N), NUMBER, "ROUNDDOWN(ROUND($B7,6),0)", [2, 1, 7, 0]),
    "up to a step": (
        whole_up(N / STEP) * STEP,
        NUMBER,
        "ROUNDUP(ROUND(IF(Settings!$B$8=0,0,$B7/Settings!$B$8),6),0)*Settings!$B$8",
        [2.5, 1.25, 7, 0],
    ),
    "rounded down": (Round("down", N, 1), NUMBER, "ROUNDDOWN($B7,1)", [2.5, 1, 7, 0]),
    "whole columns are asked last": (
        when((total("Shelf", "price", where("name", "=", KEY)) > 0) & (N > 1), 1, 0),
        NUMBER,
        "IF(IF($B7>1,SUMIFS('The shelf'!$B$6:$B$1006,'The shelf'!$A$6:$A$1006,$A7)>0),1,0)",
        [1, 0, 0, 0],
    ),
    "smallest, a blank is 0": (call("MIN", N, M), NUMBER, "MIN($B7+0,$C7+0)", [-2.5, 1.005, 0, 0]),
    "smallest through a condition": (
        call("MIN", call("MAX", N, 1), when(WORD.equals("board"), N, N)),
        NUMBER,
        'MIN(MAX($B7+0,1),IF($E7="board",$B7,$B7)+0)',
        [2.5, 1.005, 7, 0],
    ),
    "largest": (call("MAX", N, M, 1), NUMBER, "MAX($B7+0,$C7+0,1)", [2.5, 3, 7, 1]),
    "without sign": (call("ABS", M), NUMBER, "ABS($C7)", [2.5, 3, 0, 0.25]),
    "whole part": (call("INT", M), NUMBER, "INT($C7)", [-3, 3, 0, 0]),
    "remainder": (
        call("MOD", M, RATE),
        NUMBER,
        "IF(Settings!$B$7=0,0,MOD($C7,Settings!$B$7))",
        [21.5, 3, 0, 0.25],
    ),
    "condition": (when(N > M, N, M), NUMBER, "IF($B7>$C7,$B7,$C7)", [2.5, 3, 7, 0.25]),
    "blank is not 0": (when(blank(N), 1, 0), NUMBER, 'IF($B7="",1,0)', [0, 0, 0, 1]),
    "blank equals 0": (when(N.equals(0), 1, 0), NUMBER, "IF($B7=0,1,0)", [0, 0, 0, 1]),
    "and, or, not": (
        when(call("AND", N > 0, call("OR", M > 0, call("NOT", blank(M)))), 1, 0),
        NUMBER,
        'IF(AND($B7>0,OR($C7>0,NOT($C7=""))),1,0)',
        [1, 1, 1, 0],
    ),
    "text ignores case": (
        when(WORD.equals("BOARD"), "yes", "no"),
        TEXT,
        'IF($E7="BOARD","yes","no")',
        ["yes", "yes", "no", "no"],
    ),
    "text differs": (
        when(WORD.differs("board"), 1, 0),
        NUMBER,
        'IF($E7<>"board",1,0)',
        [0, 0, 1, 1],
    ),
    "blank text stays blank": (
        when(N > 0, this("text"), "none"),
        TEXT,
        'IF($B7>0,$F7&"","none")',
        ["Café", "", "x & <y>", "none"],
    ),
    "joined": (
        join(WORD, ": ", rounded(N, 1), ' "'),
        TEXT,
        '$E7&": "&ROUND($B7,1)&" """',
        ['Board: 2.5 "', 'board: 1 "', 'hardware: 7 "', 'glue: 0 "'],
    ),
    "letters": (call("LEN", this("text")), NUMBER, "LEN($F7)", [4, 0, 7, 1]),
    "first letters": (call("LEFT", WORD, 1), TEXT, "LEFT($E7,1)", ["B", "b", "h", "g"]),
    "capitals": (call("UPPER", WORD), TEXT, "UPPER($E7)", ["BOARD", "BOARD", "HARDWARE", "GLUE"]),
    "year": (call("YEAR", DAY), NUMBER, "YEAR($D7)", [2026, 2026, 2025, 2026]),
    "month": (call("MONTH", DAY), NUMBER, "MONTH($D7)", [1, 2, 1, 12]),
    "day": (call("DAY", DAY), NUMBER, "DAY($D7)", [1, 28, 1, 31]),
    "date": (
        call("DATE", call("YEAR", DAY), call("MONTH", DAY) + 1, 1) - 1,
        DATE,
        "DATE(YEAR($D7),MONTH($D7)+1,1)-1",
        [46053, 46081, 45688, 46387],
    ),
    "days between": (DAY - FIRST, NUMBER, "$D7-Settings!$B$9", [0, 58, -365, 364]),
    "looked up": (
        look_up("Shelf", "price", name=KEY),
        NUMBER,
        "IFERROR(INDEX('The shelf'!$B$6:$B$1006,MATCH($A7,'The shelf'!$A$6:$A$1006,0)),0)",
        [4.15, 0, 0, 13.5],
    ),
    "looked up text": (
        look_up("Shelf", "sort", name=KEY, otherwise="unknown"),
        TEXT,
        "IFERROR(INDEX('The shelf'!$E$6:$E$1006,MATCH($A7,'The shelf'!$A$6:$A$1006,0)),"
        '"unknown")&""',
        ["board", "board", "unknown", "Hardware"],
    ),
    "looked up blank": (
        look_up("Shelf", "pack", name="glue", otherwise=1),
        NUMBER,
        "IFERROR(INDEX('The shelf'!$C$6:$C$1006,MATCH(\"glue\",'The shelf'!$A$6:$A$1006,0)),1)",
        [0, 0, 0, 0],
    ),
    "summed by a key": (
        total("Shelf", "price", sort=WORD),
        NUMBER,
        "SUMIFS('The shelf'!$B$6:$B$1006,'The shelf'!$E$6:$E$1006,$E7)",
        [4.15, 4.15, 13.5, 8.9],
    ),
    "summed over all": (
        total("Shelf", "price"),
        NUMBER,
        "SUM('The shelf'!$B$6:$B$1006)",
        [26.55, 26.55, 26.55, 26.55],
    ),
    "summed up to a date": (
        total("Shelf", "price", where("seen", "<=", DAY)),
        NUMBER,
        "SUMIFS('The shelf'!$B$6:$B$1006,'The shelf'!$D$6:$D$1006,\"<=\"&$D7)",
        [13.05, 26.55, 0, 26.55],
    ),
    "summed between dates by a key": (
        total("Shelf", "price", where("seen", ">=", FIRST), where("seen", "<", DAY), sort=WORD),
        NUMBER,
        "SUMIFS('The shelf'!$B$6:$B$1006,'The shelf'!$E$6:$E$1006,$E7,'The shelf'!$D$6:$D$1006,"
        '">="&Settings!$B$9,\'The shelf\'!$D$6:$D$1006,"<"&$D7)',
        [0, 4.15, 0, 0],
    ),
    "summed unless": (
        total("Shelf", "price", where("sort", "<>", "glue")),
        NUMBER,
        "SUMIFS('The shelf'!$B$6:$B$1006,'The shelf'!$E$6:$E$1006,\"<>\"&\"glue\")",
        [17.65, 17.65, 17.65, 17.65],
    ),
    "counted": (
        count("Shelf", "name", sort=WORD),
        NUMBER,
        "COUNTIFS('The shelf'!$E$6:$E$1006,$E7)",
        [2, 2, 1, 1],
    ),
    "average, blanks left out": (
        average("Shelf", "pack", sort=WORD),
        NUMBER,
        "IFERROR(AVERAGEIFS('The shelf'!$C$6:$C$1006,'The shelf'!$E$6:$E$1006,$E7),0)",
        [5.5, 5.5, 12, 0],
    ),
    "least of a key": (
        least("Shelf", "price", sort=WORD),
        NUMBER,
        "_xlfn.MINIFS('The shelf'!$B$6:$B$1006,'The shelf'!$E$6:$E$1006,$E7)",
        [0, 0, 13.5, 8.9],
    ),
    "greatest date": (
        greatest("Shelf", "seen", sort=WORD),
        DATE,
        "_xlfn.MAXIFS('The shelf'!$D$6:$D$1006,'The shelf'!$E$6:$E$1006,$E7)",
        [46023, 46023, 46081, 45992],
    ),
    "greatest of all": (
        greatest("Shelf", "pack"),
        NUMBER,
        "MAX('The shelf'!$C$6:$C$1006)",
        [12] * 4,
    ),
    "row products": (
        products("Shelf", ("price", "pack"), where("sort", "=", WORD)),
        NUMBER,
        "SUMPRODUCT(('The shelf'!$E$6:$E$1006=$E7)*1,"
        "'The shelf'!$B$6:$B$1006,'The shelf'!$C$6:$C$1006)",
        [41.5, 41.5, 162, 0],
    ),
    "row products in a period": (
        products("Shelf", ("price", "pack"), where("seen", ">=", FIRST), where("seen", "<=", LAST)),
        NUMBER,
        "SUMPRODUCT(('The shelf'!$D$6:$D$1006>=Settings!$B$9)*"
        "('The shelf'!$D$6:$D$1006<=Settings!$B$10),"
        "'The shelf'!$B$6:$B$1006,'The shelf'!$C$6:$C$1006)",
        [203.5] * 4,
    ),
    "row products unless": (
        products("Shelf", ("price",), where("sort", "<>", "board")),
        NUMBER,
        "SUMPRODUCT(('The shelf'!$E$6:$E$1006<>\"board\")*1,'The shelf'!$B$6:$B$1006)",
        [22.4] * 4,
    ),
    "row products of all": (
        products("Shelf", ("price", "pack")),
        NUMBER,
        "SUMPRODUCT('The shelf'!$B$6:$B$1006,'The shelf'!$C$6:$C$1006)",
        [203.5] * 4,
    ),
    "lines added": (
        SumLines("Settings", ("rate", "step")),
        NUMBER,
        "SUM(Settings!$B$7:$B$8)",
        [24.25] * 4,
    ),
    "columns of the row added": (sum_of("n", "m"), NUMBER, "SUM($B7,$C7)", [0, 4.005, 7, 0.25]),
    "the row's number": (RowNumber() * N, NUMBER, "(ROW()-ROW($G$6))*$B7", [2.5, 2.01, 21, 0]),
    "a line of text": (
        when(Line("Settings", "word").equals(WORD), 1, 0),
        NUMBER,
        "IF(Settings!$B$11=$E7,1,0)",
        [1, 1, 0, 0],
    ),
}


def printed(rule: Expression, kind: Kind) -> str:
    """The rule's formula in the first row."""
    book = small.small_book([(rule, kind)])
    layout = arrange(book, small.fill(book), small.UNITS)
    spot = layout.tables["Asked"]
    return formula(rule, RowPlaces(layout, spot, spot.table.by_name["rule_0"])).replace(ROW, "7")


@pytest.mark.parametrize("case", CASES)
def test_prints_the_formula(case: str) -> None:
    """Each node prints just the text expected, with no bracket too many or too few."""
    rule, kind, text, _ = CASES[case]

    assert printed(rule, kind) == text


@pytest.mark.parametrize("case", CASES)
def test_gives_the_value(case: str) -> None:
    """pandas gives the values that the table states."""
    rule, kind, _, expected = CASES[case]
    found = small.fill(small.small_book([(rule, kind)])).tables["Asked"]["rule_0"].tolist()

    assert len(found) == len(expected)
    assert all(agree(left, right) for left, right in zip(found, expected, strict=True)), found


@pytest.fixture(scope="module")
def all_cases(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One workbook with a column for each case."""
    path = tmp_path_factory.mktemp("language") / "cases.xlsx"
    small.write_small([(rule, kind) for rule, kind, _, _ in CASES.values()], path)
    return path


@pytest.mark.parametrize(
    "engine", [recalculated_by_libreoffice, recalculated_by_formualizer], ids=["calc", "second"]
)
def test_engines_give_the_stored_values(all_cases: Path, engine: Any) -> None:
    """The real spreadsheet program and a second engine give what pandas stored, node by node."""
    stored = formula_values(all_cases, all_cases)

    assert len(stored) > 4 * len(CASES)
    assert differences(stored, engine(all_cases)) == {}


def differences(stored: Cells, found: Cells) -> dict[tuple[str, str], tuple[Any, Any]]:
    """Where an engine does not give what is stored."""
    return {
        place: (value, found[place])
        for place, value in stored.items()
        if not agree(value, found[place])
    }


# --- random trees ------------------------------------------------------------------------------

_numbers = st.sampled_from([N, M, RATE, STEP, Literal(0), Literal(1), Unit("hour"), Unit("both")])
_texts = st.sampled_from([KEY, WORD, Line("Settings", "word"), Literal("board")])


def _grow(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    conditions = st.one_of(
        st.builds(lambda a, b: a.equals(b), _texts, _texts),
        st.builds(lambda a, b: a > b, inner, inner),
        st.builds(lambda a, b: a <= b, inner, inner),
        st.sampled_from([blank(N), blank(M)]),
    )
    return st.one_of(
        st.builds(lambda a, b: a + b, inner, inner),
        st.builds(lambda a, b: a - b, inner, inner),
        st.builds(lambda a, b: a * b, inner, inner),
        st.builds(lambda a: -a, inner),
        st.builds(lambda a, b: a / b, inner, st.sampled_from([N, M, RATE, STEP])),
        st.builds(when, conditions, inner, inner),
        st.builds(lambda a, b: call("MAX", a, b), inner, inner),
        st.builds(lambda a, b: call("MIN", a, b), inner, inner),
        st.builds(lambda a: call("ABS", a), inner),
        st.builds(lambda a, c: when(call("NOT", c), a, 0), inner, conditions),
        st.builds(lambda text: total("Shelf", "price", sort=text), _texts),
        st.builds(lambda text: look_up("Shelf", "price", name=text), _texts),
    )


trees = st.recursive(_numbers, _grow, max_leaves=12)


@examples(6)
@given(st.lists(trees, min_size=40, max_size=40))
@pytest.mark.parametrize(
    "engine", [recalculated_by_libreoffice, recalculated_by_formualizer], ids=["calc", "second"]
)
def test_random_trees_agree(engine: Any, rules: list[Expression]) -> None:
    """Trees that nobody thought of give the same in pandas and in the engines."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "random.xlsx"
        small.write_small([(rule, NUMBER) for rule in rules], path)
        stored = formula_values(path, path)

        assert differences(stored, engine(path)) == {}


# --- refusals and words ------------------------------------------------------------------------

REFUSED: dict[str, Expression] = {
    "unknown column": this("prize") + 1,
    "unknown table": total("Shelves", "price"),
    "unknown line": Line("Settings", "rat") + 1,
    "text in arithmetic": WORD + 1,
    "text summed": total("Shelf", "sort"),
    "number meets text": N.equals("board"),
    "text ordered": WORD > "a",
    "a number as condition": when(N, 1, 0),
    "branches of two kinds": when(N > 0, 1, "no"),
    "unknown function": call("XLOOKUP", N),
    "too few arguments": call("MOD", N),
    "text for a number": call("ABS", WORD),
    "key of another kind": look_up("Shelf", "price", name=N),
    "unrounded number joined": join("n", N),
    "a number without a label": N / 60,
}


@pytest.mark.parametrize("case", REFUSED)
def test_refuses_what_makes_no_sense(case: str) -> None:
    """A rule that cannot be right is refused when it is checked, not in the maker's workbook."""
    book = small.small_book([(Literal(0), NUMBER)])

    with pytest.raises(RuleError):
        kind_of(REFUSED[case], "Asked", book)


@pytest.mark.parametrize("tool_years", [LEAST_YEARS, MOST_YEARS])
@pytest.mark.parametrize(("tax", "year"), [("none", 2026), *(("us", y) for y in range(2023, 2027))])
def test_rules_of_every_book_make_sense(tax: str, year: int, tool_years: int) -> None:
    """Each rule and chart of a shop's book names known things of fitting kinds, in no circle."""
    check(book_for(tax, year, tool_years))


@pytest.mark.parametrize("rule", [this("misspelt"), look_up("Shelf", "misspelt", name=WORD)])
def test_check_tells_the_column_of_a_wrong_rule(rule: Expression) -> None:
    """A misspelt column is told with the table and column whose rule names it."""
    with pytest.raises(RuleError, match=r"Asked\.[\w ]+: .*misspelt"):
        check(small.small_book([(rule, NUMBER)]))


def test_refuses_numbers_in_formulas() -> None:
    """Only 0 and 1 stand in a formula; every other number is a cell with a label."""
    with pytest.raises(ValueError, match="put it into a cell"):
        printed(N * 12, NUMBER)


def test_names_a_circle() -> None:
    """Rules that need one another are told with their names."""
    rules = {"a": this("b") + 1, "b": this("c") * 1, "c": this("a") - 1}
    graph = {("T", name): needs(rule, "T") for name, rule in rules.items()}

    with pytest.raises(RuleError, match=r"T\.\w needs T\.\w needs"):
        in_order(graph)


def test_no_rows_give_no_values() -> None:
    """Every node works on a table without rows."""
    book = small.small_book([(rule, kind) for rule, kind, _, _ in CASES.values()])
    filled = small.fill(book, asked=())

    assert len(filled.tables["Asked"]) == 0
    assert list(filled.tables["Asked"].columns)[-1] == f"rule_{len(CASES) - 1}"


def test_tells_rules_in_words() -> None:
    """The third rendering is a sentence a maker can read."""
    rule = this("n") * look_up("Shelf", "price", name=KEY)
    book = small.small_book([(rule, NUMBER)])
    names = ColumnWords(book, "inch")
    names.table = book.tables["Asked"]

    assert words(rule, names) == "n × price in Shelf for key"


@pytest.mark.parametrize("case", CASES)
def test_every_node_has_words(case: str) -> None:
    """No node is left without words."""
    rule, kind, _, _ = CASES[case]
    book = small.small_book([(rule, kind)])
    names = ColumnWords(book, "inch")
    names.table = book.tables["Asked"]

    told = words(rule, names)
    assert told
    assert "Expression" not in told
    assert not math.isnan(len(told))


def test_computed_column_carries_its_rule() -> None:
    """A column is declared with its rule and nothing else."""
    column = computed("twice", AMOUNT, N + N)

    assert column.rule == N + N


def test_a_broken_number_is_refused_where_the_rule_is_made() -> None:
    """No formula may hold it."""
    with pytest.raises(TypeError, match=r"60\.5 stands in a rule"):
        as_node(60.5)  # type: ignore[arg-type]
