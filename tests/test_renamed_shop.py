"""A shop that gets another name keeps its workbook."""

from __future__ import annotations

import errno
import os
import shutil
from pathlib import Path

import pytest
from openpyxl import Workbook

from notchbook.base.refusals import RefusedError
from notchbook.commands.adopting import adoption
from notchbook.commands.hand_over import hand_over, write
from notchbook.commands.year_end import read_books

from .desk import Desk

NEW = "Oak Corner 2026.xlsx"


def sheets(desk: Desk) -> list[str]:
    """The names of all workbooks in the shop's folder."""
    return sorted(path.name for path in desk.folder.glob("*.xlsx"))


def rename_in_files(desk: Desk, name: str = "Oak Corner") -> None:
    """Another name of the shop in shop.yaml."""
    desk.replace("shop.yaml", "shop: Bench and Burr", f"shop: {name}")


def sell(desk: Desk) -> None:
    """A sale typed into the workbook."""
    with desk.open() as book:
        book.add(
            "Sales ledger",
            receipt="N1",
            project="peg board small",
            tier="market stall",
            date="2026-05-09",
            quantity=1,
            price=31,
        )


def assert_moved(desk: Desk) -> None:
    """The workbook has the new name, and the sale in it."""
    assert sheets(desk) == [NEW]
    desk.path = desk.folder / NEW
    assert "N1" in desk.look().column("Sales ledger", "receipt")


@pytest.mark.deep
def test_a_new_name_in_the_files_keeps_what_was_typed(desk: Desk) -> None:
    """The workbook is read under its old name, and written under the new one."""
    sell(desk)
    old = desk.path.read_bytes()
    rename_in_files(desk)
    report = desk.compile()

    assert_moved(desk)
    assert any(NEW in notice for notice in report.notices)
    assert report.backup is not None
    assert Path(report.backup).read_bytes() == old


@pytest.mark.deep
def test_a_new_name_on_settings_is_the_workbooks_too(desk: Desk) -> None:
    """Typed on Settings it renames the file; later commands find it under either name."""
    sell(desk)
    with desk.open() as book:
        book.line("Settings", "shop").value = "Oak Corner"
    desk.compile()
    again = desk.compile()

    assert_moved(desk)
    assert not any(NEW in notice for notice in again.notices)
    assert read_books(desk.folder, None).priced.definitions.settings.shop == "Oak Corner"
    adoption(desk.folder).write()
    assert "shop: Oak Corner" in (desk.folder / "shop.yaml").read_text(encoding="utf-8")
    assert not list(desk.compile().changes)


def test_two_of_them_are_not_guessed_between(desk: Desk) -> None:
    """Where two workbooks may be meant, nothing is written."""
    shutil.copy(desk.path, desk.folder / "Second Bench 2026.xlsx")
    rename_in_files(desk)
    before = {path: path.read_bytes() for path in desk.folder.glob("*.xlsx")}

    with pytest.raises(RefusedError, match=r"Bench and Burr 2026\.xlsx, Second Bench 2026\.xlsx"):
        desk.compile()
    assert {path: path.read_bytes() for path in desk.folder.glob("*.xlsx")} == before


def test_a_name_that_is_taken_is_refused(desk: Desk) -> None:
    """Another file of the new name is not written over."""
    (desk.folder / NEW).write_bytes(b"a letter")
    with desk.open() as book:
        book.line("Settings", "shop").value = "Oak Corner"
    before = desk.path.read_bytes()

    with pytest.raises(RefusedError, match="another file of that name"):
        desk.compile()
    assert desk.path.read_bytes() == before
    assert (desk.folder / NEW).read_bytes() == b"a letter"


@pytest.mark.deep
def test_a_full_disk_leaves_the_old_name(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the new workbook cannot be written, the old one stands as it was called."""

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    rename_in_files(desk)
    before = {path: path.read_bytes() for path in desk.folder.glob("*.xlsx")}
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RefusedError, match="No space left"):
        desk.compile()

    assert {path: path.read_bytes() for path in desk.folder.glob("*.xlsx")} == before


@pytest.mark.deep
def test_strangers_and_copies_are_not_taken_for_it(desk: Desk) -> None:
    """A partner's copy, a workbook of another program and a broken one are left alone."""
    copy = desk.folder / "For a partner 2026.xlsx"
    write(hand_over(desk.folder, ["peg board small"], copy, None).file(), copy)
    Workbook().save(desk.folder / "Garden 2026.xlsx")
    (desk.folder / "Torn 2026.xlsx").write_bytes(desk.path.read_bytes()[:5_000])
    others = sorted({*sheets(desk)} - {desk.path.name})
    sell(desk)
    rename_in_files(desk)
    desk.compile()

    assert sheets(desk) == sorted([*others, NEW])
