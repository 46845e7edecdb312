"""Spelling follows the shop, and both spellings are understood."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path
from xml.etree.ElementTree import fromstring

import pytest

from notchbook.base.spelling import Spelling, is_spelled_alike, spell, spelling_of
from notchbook.commands.adopting import adoption
from notchbook.gathering.sides import SETTINGS, grids
from notchbook.sheets import book_for

from .desk import Desk
from .examples import ROOT, SHOPS, priced, workbook
from .shops import GOOD
from .test_cli import run

AMERICAN = (
    r"labors?|mit(?:er|ers|ered)|centers?|centered|colors?|colored|gr[a]y|neighbors?|harbors?|"
    r"vapors?|sensitizes?|recognizes?|organized?|molding|jewelry|catalogs?|fibers?|railroad ties?"
)
BRITISH = (
    r"labours?|mit(?:re|res|red)|centres?|centred|colours?|coloured|grey|neighbours?|harbours?|"
    r"vapours?|sensitises?|recognises?|organised?|moulding|jewellery|catalogues?|fibres?|licences?|"
    r"sleepers?|metres?"
)
"""Written down here for themselves, not taken from the table that the program spells by."""
OTHER = {"inch": BRITISH, "metric": AMERICAN}
QUICK = [("prices",), ("cuts", "--drawn"), ("ideas",), ("year-end", "--full"), ("check",)]


def words_of(path: Path) -> str:
    """What is read in a workbook: cells, notes, charts, words to pick; of formulas the values."""
    with zipfile.ZipFile(path) as package:
        parts = [
            fromstring(package.read(name))
            for name in package.namelist()
            if name.startswith("xl/") and name.endswith(".xml") and "styles" not in name
        ]
    texts = [each.text or "" for part in parts for each in part.iter() if each.tag[-2:] != "}f"]
    said = ("prompt", "error", "name", "descr", "title")
    texts += [
        each.attrib[key]
        for part in parts
        for each in part.iter()
        for key in said
        if key in each.attrib and not each.attrib[key].startswith("nb_")
    ]
    return "\n".join(texts)


def found(pattern: str, text: str) -> set[str]:
    """The words of a pattern in a text, whatever their capitals."""
    return {each.lower() for each in re.findall(rf"(?i)\b(?:{pattern})\b", text)}


@pytest.mark.parametrize("shop", SHOPS)
def test_a_workbook_has_no_word_of_the_other_spelling(shop: str) -> None:
    """Everything in it, as both examples stand, but the column of what is looked for, too."""
    looked_for = set(priced(shop).filled.tables["Months and channels"]["also"])
    assert found(OTHER[shop], words_of(workbook(shop))) <= {
        word for each in looked_for for word in each.split()
    }


@pytest.mark.deep
@pytest.mark.parametrize("shop", SHOPS)
def test_the_terminal_has_no_word_of_the_other_spelling(shop: str) -> None:
    """What the commands say of both examples."""
    for command, *more in QUICK:
        result = run(command, SHOPS[shop], *more)
        assert found(OTHER[shop], result.stdout + result.stderr) == set(), command


@pytest.mark.parametrize(
    ("text", "american", "british"),
    [
        ("Grey cells; labour", "Gray cells; labor", "Grey cells; labour"),
        ("GRAY", "GRAY", "GREY"),
        ("labor_rate", "labor_rate", "labour_rate"),
        ("centred between sleepers", "centered between railroad ties", "centred between sleepers"),
        ("labored greyhounds", "labored greyhounds", "labored greyhounds"),
    ],
)
def test_words_are_spelled_whole(text: str, american: str, british: str) -> None:
    """Capitals stay; parts of other words stay."""
    assert (spell(text, Spelling.AMERICAN), spell(text, Spelling.BRITISH)) == (american, british)


def test_the_shop_decides() -> None:
    """American with the American form or inches, else British."""
    assert {
        (tax, units): spelling_of(tax, units).value
        for tax in ("us", "none")
        for units in ("inch", "mm")
    } == {
        ("us", "inch"): "american",
        ("us", "mm"): "american",
        ("none", "inch"): "american",
        ("none", "mm"): "british",
    }


def test_what_is_picked_counts_in_either_spelling() -> None:
    """A drop-down offers the shop's word once; rules look for both."""
    for spelling, word in ((Spelling.AMERICAN, "centered"), (Spelling.BRITISH, "centred")):
        marks = book_for("none", 2026, spelling=spelling).tables["Marks"]
        assert marks.by_name["spread"].choices == ("even", word)


def test_changes_are_told_as_the_shop_spells() -> None:
    """A setting that was changed is named as its label on the sheet is spelled."""
    told = [grids(book_for("none"), each)[SETTINGS].headers["labor_rate"] for each in Spelling]
    assert sorted(told) == ["labor rate an hour", "labour rate an hour"]


@pytest.mark.deep
def test_both_are_understood(tmp_path: Path) -> None:
    """Keys, ends, ways of spreading and categories; `adopt` changes the key that stands there."""
    shop = GOOD["shop.yaml"].replace("labor_rate", "labour_rate")
    assert shop != GOOD["shop.yaml"]
    desk = Desk(tmp_path / "desk")
    desk.replace("shop.yaml", "labor_rate", "labour_rate")
    with desk.open() as book:
        book.line("Settings", "labor_rate").value = 31
    adopted = adoption(desk.folder)

    assert "+labour_rate: 31" in adopted.diff()
    assert "+labor_rate" not in adopted.diff()
    assert is_spelled_alike("licences", "licenses")


@pytest.mark.parametrize("place", ["templates", "example_projects"])
def test_files_of_ours_are_in_one_spelling(place: str) -> None:
    """A starter and an example shop are spelled as their workbooks are."""
    for folder in sorted((ROOT / place).iterdir()):
        inch = "units: inch" in (folder / "shop.yaml").read_text(encoding="utf-8")
        for path in sorted(folder.rglob("*.[yc][as][mv]*")):
            wrong = found(BRITISH if inch else AMERICAN, path.read_text(encoding="utf-8"))
            assert wrong == set(), path
