"""What every ledger asks of the day of its rows."""

from __future__ import annotations

from notchbook.language.expressions import this
from notchbook.sheets.kit.faults import look
from notchbook.sheets.kit.settings import YEAR_END, YEAR_START

OTHER_YEAR = look(
    "other year",
    (this.date < YEAR_START) | (this.date > YEAR_END),
    "it is in no total; write a day of the year, or move it to that year's workbook",
)
