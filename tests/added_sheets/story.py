"""A shop whose notchbook has got two sheets more, step by step; run with that notchbook in reach.

`python -m tests.added_sheets.story FOLDER`: the folder holds a shop with the workbook of a
notchbook that does not know the two sheets.
"""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from notchbook.cli import main
from tests.desk import Desk
from tests.shops import write_shop

RAIL = "projects/herb-rail.yaml"
JIGS = """\
jigs:
  - {jig: drill guide, made_of: spruce 2x4 8ft, length: 14, worth: 2.50}
"""
FAIRS = "date,channel,hours,note\n2026-05-02,saturday market,6,rain\n"


def run(*arguments: object, code: int = 0) -> Result:
    """A command, as at a terminal."""
    result = CliRunner().invoke(main, [str(each) for each in arguments])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    assert result.exit_code == code, (arguments, result.exit_code, result.output)
    return result


def compile_it(desk: Desk) -> Result:
    """A compile of a shop in which nothing is wrong but what the small shop lacks anyway."""
    return run("compile", desk.folder, code=1)


def an_older_workbook_takes_them(desk: Desk) -> None:
    """The workbook that lacks the sheets gets them, with what the files say."""
    file = desk.folder / RAIL
    file.write_text(file.read_text(encoding="utf-8") + JIGS, encoding="utf-8")

    told = compile_it(desk).output

    assert "Jigs, herb rail" not in told.partition("deleted")[2]
    with desk.open() as sheets:
        names = sheets.book.sheetnames
        assert names[names.index("Work steps") + 1] == "Jigs"
        assert names[names.index("Production log") + 1] == "Fairs"
        assert sheets.column("Jigs", "jig") == ["drill guide"]
        assert sheets.cell("Jigs", "share", 0).value.startswith("=")
        # the maker goes on in the workbook
        sheets.put("Jigs", 0, worth=3)
        sheets.add("Jigs", project="herb rail", jig="sled", stock="pine 1x6 8ft", length=20)
        sheets.put("Fairs", 0, date=datetime(2026, 5, 9), channel="web shop", hours=5)


def rows_are_merged_and_follow_names(desk: Desk) -> None:
    """What was typed stays, and goes by the new name that the files give a stock."""
    for file in ("stock.yaml", RAIL, "projects/peg-board.yaml"):
        desk.replace(file, "pine 1x6 8ft", "pine board 8ft")
    desk.replace("shop.yaml", "web shop", "parcel shop")

    compile_it(desk)

    sheets = desk.look()
    assert sheets.column("Jigs", "worth") == [3]
    assert sheets.column("Jigs", "stock") == ["spruce 2x4 8ft", "pine board 8ft"]
    assert sheets.column("Fairs", "channel") == ["parcel shop"]
    assert sheets.column("Fairs", "hours") == [5]


def the_files_take_them_back(desk: Desk) -> None:
    """`adopt` writes the row that was typed as an entry of the list."""
    run("adopt", desk.folder, "--yes")

    text = (desk.folder / RAIL).read_text(encoding="utf-8")
    assert "{jig: sled, made_of: pine board 8ft, length: 20}" in text
    assert "worth: 3.00" in text


def slips_are_told(desk: Desk) -> None:
    """A name that is not there, and a column that is not known, at their lines."""
    desk.replace(RAIL, "made_of: spruce 2x4 8ft", "made_of: spruce 2x4 8tf")
    desk.path.unlink()
    ledger = desk.folder / "ledgers" / "fairs.csv"
    ledger.write_text(FAIRS.replace("hours", "hrs"), encoding="utf-8")

    told = run("check", desk.folder, code=2).output

    assert "(nearest known: spruce 2x4 8ft)" in told
    assert "ledgers/fairs.csv:1: 'hrs' is not a column here" in told


def a_ledger_is_read(folder: Path) -> None:
    """A new workbook takes the ledger in."""
    write_shop(folder, **{"ledgers/fairs.csv": FAIRS})
    run("compile", folder, "--as-of", "2026-06-01", code=1)

    sheets = Desk(folder.with_name("seen"), folder).look()
    assert sheets.column("Fairs", "hours") == [6]
    assert sheets.column("Fairs", "note") == ["rain"]


def the_reference_names_them() -> None:
    """Keys and columns stand in the reference."""
    told = run("reference").output

    assert (
        "\nfairs.csv\n  date: the day of the fair; a date, YYYY-MM-DD, such as 2026-03-02" in told
    )
    assert "\njig\n  jig: what the jig is called; a name, such as drill guide" in told
    assert "made_of: what it is made of; a name, such as spruce 2x4 8ft" in told
    assert "\nJigs\n" in told


def tell(folder: Path) -> None:
    """The whole story."""
    desk = Desk(folder / "desk", folder / "before")
    an_older_workbook_takes_them(desk)
    rows_are_merged_and_follow_names(desk)
    the_files_take_them_back(desk)
    slips_are_told(desk)
    a_ledger_is_read(folder / "new")
    the_reference_names_them()


if __name__ == "__main__":
    pytest.register_assert_rewrite(__name__)
    tell(Path(sys.argv[1]))
