"""A person at LibreOffice Calc: open the workbook, type into cells, look at it or save it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

from openpyxl.utils import get_column_letter

from .office import SAVE_AS, run_macro

Cell = tuple[str, str]  # sheet and address
Typed = Mapping[Cell, float | str | date]
Seen = dict[Cell, float | str]  # the cells of the sheets in sight that show something
ERROR = "an error"
_READ: dict[str, Callable[[str], float | str]] = {
    "number": float,
    "text": str,
    "error": lambda _: ERROR,
}
BEFORE, AFTER = "before all", "after all"
_SITTING = Path(__file__).with_name("sitting.bas")


def type_and_save(workbook: Path, saved: Path, typed: Typed, edits: str = "") -> None:
    """Type each value into its cell, with a view open, and save as a workbook.

    `edits` are Basic statements on `b`, the open workbook, for all else that a person does.
    """
    run_macro(_macro(workbook.resolve(), saved.resolve(), typed, edits))
    assert saved.exists(), "LibreOffice saved nothing; one of the cells may not be there"


def save_again(workbooks: Sequence[Path]) -> None:
    """Open each workbook and save it in its place, one after another in one sitting."""
    saved = [each.with_name(f"{each.stem} saved.xlsx") for each in workbooks]
    steps = [
        f'b = StarDesktop.loadComponentFromURL("{old.resolve().as_uri()}", "_blank", 0, Array())\n'
        f'b.storeToURL("{new.resolve().as_uri()}", how())\nb.close(True)'
        for old, new in zip(workbooks, saved, strict=True)
    ]
    run_macro(_saving("\n".join(steps)))
    for old, new in zip(workbooks, saved, strict=True):
        new.replace(old)  # told as missing where LibreOffice saved nothing


def try_out(
    workbook: Path, scenarios: Mapping[str, Typed], seen: Path, saved: Mapping[str, Path]
) -> dict[str, Seen]:
    """What the workbook shows after each of some scenarios, tried one by one in one sitting.

    Before the next scenario, its cells get back what stood in them. What was seen is written to
    the file `seen`, with how it was BEFORE and AFTER all scenarios; those named in `saved` are
    saved as a workbook too.
    """
    steps = [f'LookAt "{BEFORE}"']
    for name, typed in scenarios.items():
        steps += [
            f'TypeIn "{sheet}", "{address}", {_literal(value)}'
            for (sheet, address), value in typed.items()
        ]
        steps.append(f'LookAt "{name}"')
        if name in saved:
            steps.append(f'StoreAs "{saved[name].resolve().as_uri()}"')
        steps.append("PutBack")
    steps.append(f'LookAt "{AFTER}"')
    macro = _SITTING.read_text(encoding="utf-8")
    macro = macro.replace("{workbook}", workbook.resolve().as_uri())
    macro = macro.replace("{seen}", seen.resolve().as_uri())
    run_macro(macro.replace("{steps}", "\n".join(steps)))
    return _looks(seen, [BEFORE, *scenarios, AFTER])


def _looks(seen: Path, expected: list[str]) -> dict[str, Seen]:
    """The looks that a sitting wrote; a sitting that broke off wrote why instead of `done`."""
    assert seen.exists(), "LibreOffice wrote nothing; the macro did not run"
    *lines, last = seen.read_text(encoding="utf-8").split("\n")
    assert last == "done", last
    looks: dict[str, Seen] = {}
    sheet = ""
    for line in lines:
        what, *rest = line.split("\t")
        match what:
            case "look":
                cells = looks[rest[0]] = {}
            case "sheet":
                sheet = rest[0]
            case _:
                row, column, text = rest
                place = sheet, f"{get_column_letter(int(column) + 1)}{int(row) + 1}"
                cells[place] = _READ[what](text)
    assert list(looks) == expected
    assert all(looks.values()), "a look saw nothing"
    return looks


def _macro(workbook: Path, saved: Path, typed: Typed, edits: str) -> str:
    entries = "\n".join(
        f'b.Sheets.getByName("{sheet}").getCellRangeByName("{address}").{_entry(value)}'
        for (sheet, address), value in typed.items()
    )
    return _saving(f"""\
b = StarDesktop.loadComponentFromURL("{workbook.as_uri()}", "_blank", 0, Array())
{entries}
{edits}
b.storeToURL("{saved.as_uri()}", how())
b.close(True)""")


def _saving(steps: str) -> str:
    """The macro `Work` of some steps, which save in the way that `how` holds."""
    how = SAVE_AS.format(kind="Calc MS Excel 2007 XML")
    return f"Sub Work\n{how}\n{steps}\nEnd Sub\n"


def _entry(value: float | str | date) -> str:
    return f"{'String' if isinstance(value, str) else 'Value'} = {_literal(value)}"


def _literal(value: float | str | date) -> str:
    match value:
        case date():
            return str((value - date(1899, 12, 30)).days)
        case str():
            return f'"{value}"'
    return repr(float(value))
