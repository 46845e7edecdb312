"""What compile refuses to open or to lose; nothing is written then, and nothing is lost."""

from __future__ import annotations

import io
import json
import os
import random
import signal
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from openpyxl import Workbook, load_workbook
from openpyxl.chart.bar_chart import BarChart
from openpyxl.chart.reference import Reference

from notchbook.base.refusals import RefusedError
from notchbook.base.replace_file import BACKUPS, KEPT, replace_bytes, replace_old, write_new
from notchbook.cli import main
from notchbook.workbook.file.snapshot import FORMAT
from notchbook.workbook.read.safety import refuse_if_open

from .desk import Desk
from .examples import ROOT
from .maker import shop
from .searching import seldom

KILLS = 5


def with_parts(data: bytes, parts: dict[str, bytes]) -> bytes:
    """A package with more parts in it."""
    target = io.BytesIO(data)
    with zipfile.ZipFile(target, "a", zipfile.ZIP_DEFLATED) as package:
        for name, part in parts.items():
            package.writestr(name, part)
    return target.getvalue()


def changed(data: bytes, part: str, change: Callable[[bytes], bytes]) -> bytes:
    """A package with one part changed."""
    target = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as old,
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, change(old.read(name)) if name == part else old.read(name))
    return target.getvalue()


def foreign(_: bytes) -> bytes:
    target = io.BytesIO()
    Workbook().save(target)
    return target.getvalue()


def damaged(data: bytes) -> bytes:
    place = data.index(b"xl/worksheets/sheet3.xml") + 200
    return data[:place] + b"\0" * 300 + data[place + 300 :]


ORDINARY = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
STRICT = b"http://purl.oclc.org/ooxml/spreadsheetml/main"


SPARK = b"<extLst><ext><x14:sparklineGroup /></ext></extLst></worksheet>"
HEADER = b'<legacyDrawingHF id="rId9"/></worksheet>'
BEHIND = b'<picture id="rId9"/></worksheet>'
REFUSED: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "no workbook": (lambda _: b"a letter to the bank", "no workbook"),
    "empty": (lambda _: b"", "no workbook"),
    "cut off": (lambda data: data[: len(data) // 2], "no workbook"),
    "damaged": (damaged, "damaged|no workbook"),
    "encrypted": (lambda _: bytes.fromhex("d0cf11e0a1b11ae1") + b"x" * 999, "encrypted"),
    "another's": (foreign, "none of its tables"),
    "a zip of something": (lambda _: with_parts(b"", {"a.txt": b"x"}), "no workbook"),
    "blown up": (lambda data: with_parts(data, {"x.xml": b"0" * 60_000_000}), "unpacks to"),
    "a document type": (
        lambda data: with_parts(data, {"xl/x.xml": b"<?xml version='1.0'?><!DOCTYPE a []><a/>"}),
        "document type",
    ),
    "broken sheet": (
        lambda data: changed(data, "xl/worksheets/sheet3.xml", lambda part: part[:-400]),
        "cannot be read",
    ),
    "the strict form": (
        lambda data: changed(data, "xl/workbook.xml", lambda part: part.replace(ORDINARY, STRICT)),
        "in the strict form of .xlsx.*save it as an ordinary",
    ),
    "macros": (lambda data: with_parts(data, {"xl/vbaProject.bin": b"x"}), "macros"),
    "a pivot table": (
        lambda data: with_parts(data, {"xl/pivotTables/pivotTable1.xml": b"<a/>"}),
        "pivot tables",
    ),
    "a slicer": (lambda data: with_parts(data, {"xl/slicers/slicer1.xml": b"<a/>"}), "slicers"),
    "threaded comments": (
        lambda data: with_parts(data, {"xl/threadedComments/c1.xml": b"<a/>"}),
        "threaded comments",
    ),
    "a shape": (
        lambda data: with_parts(
            data, {"xl/drawings/drawing9.xml": b"<xdr:sp ><a:t>my sketch</a:t></xdr:sp>"}
        ),
        r"shapes \(my sketch\)",
    ),
    "sparklines": (
        lambda data: changed(
            data, "xl/worksheets/sheet3.xml", lambda part: part.replace(b"</worksheet>", SPARK)
        ),
        "sparklines|cannot be read",
    ),
    "a picture in a page header": (
        lambda data: changed(
            data, "xl/worksheets/sheet3.xml", lambda part: part.replace(b"</worksheet>", HEADER)
        ),
        "pictures in page headers",
    ),
    "a picture behind cells": (
        lambda data: changed(
            data, "xl/worksheets/sheet3.xml", lambda part: part.replace(b"</worksheet>", BEHIND)
        ),
        "pictures behind cells",
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_refused(desk: Desk, case: str) -> None:
    """A sentence that names it; the file stays as it was, and nothing lies beside it."""
    make, says = REFUSED[case]
    desk.path.write_bytes(make(desk.path.read_bytes()))
    before = {path: path.read_bytes() for path in desk.folder.rglob("*") if path.is_file()}
    with pytest.raises(RefusedError, match=says):
        desk.compile()

    assert before == {path: path.read_bytes() for path in desk.folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize("lock", [".~lock.{}#", *seldom("~${}")])
def test_an_open_workbook_is_left_alone(desk: Desk, lock: str) -> None:
    """The lock files of the usual programs are seen."""
    path = desk.folder / lock.format(desk.path.name)
    path.touch()
    with pytest.raises(RefusedError, match="is open in a spreadsheet program"):
        desk.compile()
    path.unlink()
    desk.compile()


@pytest.mark.deep
def test_a_chart_is_named_and_left_out_only_when_told(desk: Desk) -> None:
    """Refused without --accept-loss; with it the loss is told and a copy kept."""
    with desk.open() as book:
        chart = BarChart()
        chart.add_data(Reference(book.book["Stock"], min_col=9, min_row=7, max_row=9))
        book.book["Stock"].add_chart(chart, "AF2")
    before = desk.path.read_bytes()
    with pytest.raises(RefusedError, match="charts"):
        desk.compile()
    report = desk.compile(accept_loss=True)

    assert "left out: charts" in report.notices
    assert report.backup is not None
    assert Path(report.backup).read_bytes() == before


def test_a_deleted_ledger_is_not_lost_silently(desk: Desk) -> None:
    """The sheet of a ledger was deleted: its rows are named as lost, and nothing is written."""
    with desk.open() as book:
        del book.book["Sales ledger"]
        book.book.defined_names = {
            name: each
            for name, each in book.book.defined_names.items()
            if "Sales ledger" not in each.attr_text
        }
    with pytest.raises(RefusedError, match="the rows of Sales ledger, whose sheet was deleted"):
        desk.compile()


def test_a_newer_workbook_is_refused(desk: Desk) -> None:
    """Written by a later program, it is not guessed at."""
    with desk.open() as book:
        book.book["As compiled"]["A2"] = FORMAT + 1
    with pytest.raises(RefusedError, match="newer notchbook"):
        desk.compile()


@pytest.mark.deep
@pytest.mark.parametrize("change", ["value", "gone"])
def test_a_changed_memory_is_not_trusted(desk: Desk, change: str) -> None:
    """The hidden sheet changed by hand: the workbook's cells stand, and it says so."""
    with desk.open() as book:
        sheet = book.book["As compiled"]
        sheet["A5"] = None if change == "gone" else str(sheet["A5"].value).swapcase()
    report = desk.compile()

    assert any("hidden sheet of the last compile was changed" in line for line in report.look)
    assert not report.changes.conflicts


def test_twenty_backups_are_kept(tmp_path: Path) -> None:
    """Dated copies of the old file; the oldest go, and no one else's."""
    target = tmp_path / "A shop [1] 2026.xlsx"
    write_new(target, b"0")
    (tmp_path / "backups").mkdir()
    (tmp_path / "backups" / "A shop [1] 2025 2026-01-01 0900.xlsx").write_bytes(b"other")
    for n in range(30):
        now = datetime(2026, 1, 1) + timedelta(hours=n)
        replace_old(target, target.read_bytes(), str(n + 1).encode(), now)
    copies = sorted((tmp_path / "backups").glob("*2026 2026*"))

    assert target.read_bytes() == b"30"
    assert [path.read_bytes() for path in copies] == [str(n).encode() for n in range(10, 30)]
    assert len(list((tmp_path / "backups").iterdir())) == KEPT + 1


def test_a_makers_own_copy_is_no_backup(tmp_path: Path) -> None:
    """What a maker put among the copies stays, however like a copy it is called."""
    target = tmp_path / "W 2026.xlsx"
    write_new(target, b"0")
    (tmp_path / BACKUPS).mkdir()
    own = [
        tmp_path / BACKUPS / name
        for name in (
            "W 2026 2026-01-05 as the tax office has it.xlsx",
            "W 2026 2026-01-05 101500 before the fair.xlsx",
        )
    ]
    for path in own:
        path.write_bytes(b"mine")
    for n in range(KEPT + 3):
        replace_old(target, target.read_bytes(), b"%d" % n, datetime(2026, 6, 1, n))

    assert [path.read_bytes() for path in own] == [b"mine", b"mine"]
    assert len(list((tmp_path / BACKUPS).iterdir())) == KEPT + 2


def test_copies_within_a_second_go_in_their_order(tmp_path: Path) -> None:
    """The first of them goes first, the tenth is not taken for the second."""
    target = tmp_path / "W 2026.xlsx"
    write_new(target, b"0")
    for n in range(KEPT + 3):
        replace_old(target, target.read_bytes(), b"%d" % (n + 1), datetime(2026, 6, 1))
    kept = {int(path.read_bytes()) for path in (tmp_path / BACKUPS).iterdir()}

    assert kept == set(range(3, KEPT + 3))


def test_a_wrong_clock_costs_no_new_copy(tmp_path: Path) -> None:
    """Copies dated years ahead give way to those of today."""
    target = tmp_path / "W 2026.xlsx"
    write_new(target, b"0")
    for n in range(KEPT):
        replace_old(target, target.read_bytes(), b"early", datetime(2031, 1, 1, n))
    made = []
    for n in range(3):
        typed = b"typed %d" % n
        target.write_bytes(typed)
        made.append(replace_old(target, typed, b"new", datetime(2026, 6, 1, n)))

    assert [path.read_bytes() for path in made] == [b"typed 0", b"typed 1", b"typed 2"]
    assert len(list((tmp_path / BACKUPS).iterdir())) == KEPT


def linked(tmp_path: Path, name: str) -> tuple[Path, Path]:
    """A file in a folder of its own, and the link to it in the shop's."""
    real, link = tmp_path / "cloud" / name, tmp_path / "shop" / name
    for path in (real, link):
        path.parent.mkdir(exist_ok=True)
    real.write_bytes(b"old")
    real.chmod(0o600)
    link.symlink_to(real)
    return real, link


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """The file that it leads to is replaced, and read by those who could read it before."""
    real, link = linked(tmp_path, "W 2026.xlsx")
    copy = replace_old(link, b"old", b"new", datetime(2026, 6, 1))
    text, text_link = linked(tmp_path, "stock.yaml")
    replace_bytes(text_link, b"new")

    assert link.is_symlink()
    assert text_link.is_symlink()
    assert copy.parent == link.parent / BACKUPS
    assert [path.read_bytes() for path in (real, text, copy)] == [b"new", b"new", b"old"]
    assert [path.stat().st_mode & 0o777 for path in (real, text, copy)] == [0o600] * 3
    assert sorted(path.name for path in real.parent.iterdir()) == ["W 2026.xlsx", "stock.yaml"]


def test_a_new_file_can_be_read_by_all(tmp_path: Path) -> None:
    """As other programs write theirs."""
    write_new(tmp_path / "W 2026.xlsx", b"new")
    replace_bytes(tmp_path / "stock.yaml", b"new")

    assert {path.stat().st_mode & 0o777 for path in tmp_path.iterdir()} == {0o644}


def test_a_link_to_an_open_workbook_is_left_alone(tmp_path: Path) -> None:
    """The lock file lies beside the file that was opened."""
    real, link = linked(tmp_path, "W 2026.xlsx")
    refuse_if_open(link)
    real.with_name(f".~lock.{real.name}#").touch()

    with pytest.raises(RefusedError, match="is open in a spreadsheet program"):
        refuse_if_open(link)


@pytest.mark.parametrize(
    "command",
    [
        "check SHOP",
        *seldom("prices SHOP", "cuts SHOP", "year-end SHOP", "hand-over SHOP rail --output COPY"),
    ],
)
def test_an_open_workbook_is_told(tmp_path: Path, command: str) -> None:
    """Commands that only read go on, and say that what is not saved is not in their answer."""
    desk = Desk(tmp_path / "shop", shop())
    (project, *_) = desk.look().column("Projects", "project")
    words = {"SHOP": str(desk.folder), "COPY": str(tmp_path / "copy.xlsx"), "rail": project}
    told = []
    for _ in range(2):
        done = CliRunner().invoke(main, [words.get(word, word) for word in command.split()])
        told.append("is open in a spreadsheet program" in " ".join(done.stderr.split()))
        assert done.exit_code in (0, 1)
        desk.path.with_name(f".~lock.{desk.path.name}#").touch()

    assert told == [False, True]


def test_leftovers_of_killed_compiles_are_cleared(tmp_path: Path) -> None:
    """Old ones go with the next compile; one that may be being written stays, folders too."""
    target = tmp_path / "a.xlsx"
    write_new(target, b"old")
    old, new = tmp_path / ".notchbook-1.xlsx", tmp_path / ".notchbook-2.xlsx"
    old.touch()
    new.touch()
    folder = tmp_path / ".notchbook-year"  # of a next year that was broken off
    folder.mkdir()
    for each in (old, folder):
        os.utime(each, (1, 1))
    replace_old(target, b"old", b"new", datetime.now())

    assert not old.exists()
    assert new.exists()
    assert folder.exists()


def test_a_file_saved_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    """Between reading and replacing, the maker may have saved."""
    target = tmp_path / "a.xlsx"
    write_new(target, b"old")
    target.write_bytes(b"saved meanwhile")
    with pytest.raises(RefusedError, match="compile again"):
        replace_old(target, b"old", b"new", datetime(2026, 1, 1))
    with pytest.raises(RefusedError, match="nothing was written"):
        write_new(target, b"new")

    assert target.read_bytes() == b"saved meanwhile"


def killed_compiles(desk: Desk, times: int, chance: random.Random) -> int:
    """Kills compiles at random moments; gives how many were killed before they ended.

    Each time the workbook must be complete, and one of those that a compile would leave.
    """
    program = "from tests.desk import few_blank_rows as few\nfrom notchbook.cli import main"
    command = [sys.executable, "-c", f"{program}\nwith few():\n main()", "compile"]
    environment = {"PYTHONPATH": f"{ROOT / 'src'}:{ROOT}", "PATH": "/usr/bin:/bin"}
    began = time.monotonic()
    subprocess.run([*command, str(desk.folder)], env=environment, check=False, capture_output=True)
    lasts = time.monotonic() - began
    killed = 0
    for n in range(times):
        typed = float(n + 10)
        with desk.open() as book:
            book.put("Stock", 0, price=typed)
        before = desk.path.read_bytes()
        running = subprocess.Popen(
            [*command, str(desk.folder)],
            env=environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        # the last part of a run is where files are written and moved
        time.sleep(lasts * chance.uniform(0.6, 1.1))
        running.send_signal(signal.SIGKILL)
        was_killed = running.wait() == -signal.SIGKILL
        killed += was_killed
        lasts *= 1 if was_killed else 0.7  # the first may have had less of the machine
        after = desk.path.read_bytes()
        with zipfile.ZipFile(io.BytesIO(after)) as package:
            assert package.testzip() is None
        if after != before:
            new: Any = load_workbook(io.BytesIO(after))
            assert new["As compiled"]["A2"].value == FORMAT
        assert desk.look().cell("Stock", "price", 0).value == typed
    return killed


@pytest.mark.seeds(quick=0, deep=4)
@pytest.mark.usefixtures("few_rows")
def test_killed_at_any_moment(seed: int, tmp_path: Path) -> None:
    """kill -9 during compile: the workbook is the old one or the new one, whole."""
    desk = Desk(tmp_path, shop())
    assert killed_compiles(desk, KILLS, random.Random(7 + seed)) > 0
    assert not desk.compile().changes.conflicts


def test_json_of_a_refusal_is_no_report(desk: Desk) -> None:
    """With --json, a refusal is still a sentence on stderr and exit code 2."""
    desk.path.write_bytes(b"")
    result = CliRunner().invoke(main, ["compile", str(desk.folder), "--json"])

    assert result.exit_code == 2
    assert result.stdout == ""
    assert "no workbook" in result.stderr
    with pytest.raises(json.JSONDecodeError):
        json.loads(result.stderr)
