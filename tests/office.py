"""One LibreOffice for all tests of a process: it starts once and runs macros as they come."""

from __future__ import annotations

import atexit
import html
import os
import shutil
import signal
import subprocess
import tempfile
import time
from functools import cache
from pathlib import Path

import pytest

_PATIENCE = 300.0  # seconds for one macro; a busy machine needs a tenth
_IDLE = 30_000  # hundredths of a second without work after which it leaves; it starts again
_DTD = '"-//OpenOffice.org//DTD OfficeDocument 1.0//EN"'
_LIBRARY = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    f'<!DOCTYPE library:library PUBLIC {_DTD} "library.dtd">'
    '<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard"'
    ' library:readonly="false" library:passwordprotected="false">{}</library:library>'
)
_MODULE = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    f'<!DOCTYPE script:module PUBLIC {_DTD} "module.dtd">'
    '<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Office"'
    ' script:language="StarBasic">{}</script:module>'
)


def libreoffice() -> str:
    """The LibreOffice program; its absence is a failure in CI and a told skip elsewhere."""
    found = shutil.which("soffice")
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("LibreOffice Calc is missing; CI must install it")
        pytest.skip("LibreOffice Calc is not installed, so its half of the checks cannot run")
    return found


def run_macro(macro: str) -> None:
    """Run the sub `Work` of a Basic module in LibreOffice; an error in it is a failure."""
    office = _office()
    if not office.is_open():
        _office.cache_clear()  # it broke down in the test before
        office = _office()
    told = office.run(macro)
    assert told == "done", told


def convert(workbook: Path, target: Path, kind: str = "Calc MS Excel 2007 XML") -> Path:
    """Save a workbook as LibreOffice writes it after calculating what has no value."""
    target.parent.mkdir(parents=True, exist_ok=True)
    run_macro(
        f"""\
Sub Work
{SAVE_AS.format(kind=kind)}
b = StarDesktop.loadComponentFromURL("{workbook.resolve().as_uri()}", "_blank", 0, Array())
b.storeToURL("{target.resolve().as_uri()}", how())
b.close(True)
End Sub
"""
    )
    return target


SAVE_AS = """\
Dim b As Object
Dim how(0) As New com.sun.star.beans.PropertyValue
how(0).Name = "FilterName"
how(0).Value = "{kind}\""""
"""What a macro declares that saves the workbook `b` in the way `how`."""


class Office:
    """A LibreOffice without a screen, with a user's folder of its own."""

    def __init__(self, program: str) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="notchbook-office-"))
        self.jobs, self.number = self.folder / "jobs", 0
        self.jobs.mkdir()
        user = f"-env:UserInstallation={(self.folder / 'profile').as_uri()}"
        command = [program, "--headless", "--norestore", user]
        # a user's folder is made at a first start, which takes no macro
        subprocess.run(
            [*command, "--terminate_after_init"],
            check=False,
            capture_output=True,
            timeout=_PATIENCE,
        )
        self._put_macros(self.folder / "profile" / "user" / "basic" / "Standard")
        self.process = subprocess.Popen(
            [*command, "macro:///Standard.Office.Serve"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    def _put_macros(self, basic: Path) -> None:
        serve = Path(__file__).with_name("office.bas").read_text(encoding="utf-8")
        serve = serve.replace("{jobs}", self.jobs.as_uri()).replace("{most}", str(_IDLE))
        basic.mkdir(parents=True, exist_ok=True)
        (basic / "Office.xba").write_text(_MODULE.format(html.escape(serve)), encoding="utf-8")
        (basic / "script.xlb").write_text(
            _LIBRARY.format('<library:element library:name="Office"/>')
        )
        (basic / "dialog.xlb").write_text(_LIBRARY.format(""))

    def is_open(self) -> bool:
        return self.process.poll() is None

    def run(self, macro: str) -> str:
        """Runs a macro to its end; gives what is told of it."""
        self.number += 1
        self._put(macro)
        told, until = self.jobs / f"{self.number}.told", time.monotonic() + _PATIENCE
        while not told.exists():
            if not self.is_open():
                return "LibreOffice broke down"
            if time.monotonic() > until:
                self.close()
                return f"LibreOffice was not ready after {_PATIENCE:g} seconds"
            time.sleep(0.01)
        return told.read_text(encoding="utf-8")

    def _put(self, macro: str) -> None:
        """A file is written under another name first, so that half of it is not read."""
        new = self.jobs / "new"
        new.write_text(macro, encoding="utf-8")
        new.rename(self.jobs / f"{self.number}.bas")

    def quit(self) -> None:
        """Ends it in its own way, and otherwise by force."""
        self.number += 1
        self._put("quit")
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.close()
        shutil.rmtree(self.folder, ignore_errors=True)

    def close(self) -> None:
        if self.is_open():
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()


@cache
def _office() -> Office:
    office = Office(libreoffice())
    atexit.register(office.quit)
    return office
