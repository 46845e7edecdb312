"""A person at LibreOffice Calc: open the workbook, type into cells, save it."""

from __future__ import annotations

import html
import subprocess
import tempfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from .engines import libreoffice

Cell = tuple[str, str]  # sheet and address
_LIBRARY = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE library:library PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN"'
    ' "library.dtd">'
    '<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard"'
    ' library:readonly="false" library:passwordprotected="false">{}</library:library>'
)
_MODULE = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE script:module PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">'
    '<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Hand"'
    ' script:language="StarBasic">{}</script:module>'
)


def type_and_save(
    workbook: Path, saved: Path, typed: Mapping[Cell, float | str | date], edits: str = ""
) -> None:
    """Type each value into its cell, with a view open, and save as a workbook.

    `edits` are Basic statements on `b`, the open workbook, for all else that a person does.
    """
    program = libreoffice()
    with tempfile.TemporaryDirectory() as folder:
        profile = Path(folder) / "profile"
        start = [program, "--headless", "--norestore", f"-env:UserInstallation={profile.as_uri()}"]
        made = [*start, "--terminate_after_init"]
        subprocess.run(made, check=False, capture_output=True, timeout=120)
        basic = profile / "user" / "basic" / "Standard"
        basic.mkdir(parents=True, exist_ok=True)
        macro = _macro(workbook.resolve(), saved.resolve(), typed, edits)
        (basic / "Hand.xba").write_text(_MODULE.format(html.escape(macro)))
        element = '<library:element library:name="Hand"/>'
        (basic / "script.xlb").write_text(_LIBRARY.format(element))
        (basic / "dialog.xlb").write_text(_LIBRARY.format(""))
        command = [*start, "macro:///Standard.Hand.Work"]
        subprocess.run(command, check=True, capture_output=True, timeout=300)
    assert saved.exists(), "LibreOffice saved nothing; one of the cells may not be there"


def _macro(
    workbook: Path, saved: Path, typed: Mapping[Cell, float | str | date], edits: str
) -> str:
    entries = "\n".join(
        f'b.Sheets.getByName("{sheet}").getCellRangeByName("{address}").{_entry(value)}'
        for (sheet, address), value in typed.items()
    )
    return f"""Sub Work
On Error Goto Ended
Dim b As Object
Dim how(0) As New com.sun.star.beans.PropertyValue
b = StarDesktop.loadComponentFromURL("{workbook.as_uri()}", "_blank", 0, Array())
{entries}
{edits}
how(0).Name = "FilterName"
how(0).Value = "Calc MS Excel 2007 XML"
b.storeToURL("{saved.as_uri()}", how())
b.close(True)
Ended:
StarDesktop.terminate()
End Sub
"""


def _entry(value: float | str | date) -> str:
    match value:
        case date():
            return f"Value = {(value - date(1899, 12, 30)).days}"
        case str():
            return f'String = "{value}"'
    return f"Value = {float(value)!r}"
