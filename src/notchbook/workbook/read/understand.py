"""What a maker's cell says, where it can be understood without guessing."""

from __future__ import annotations

import math
import re
from datetime import date, datetime, time, timedelta

from notchbook.language.value_kinds import Kind
from notchbook.measure import Units, evaluate
from notchbook.merging.cells import Value
from notchbook.sheets.kit.show import Look
from notchbook.sheets.kit.values import LARGEST

_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})")
_COMMA = re.compile(r"[+-]?[0-9]{1,15},(?:[0-9]{1,2}|[0-9]{4,15})")  # can only part decimals
_GROUPS = re.compile(  # thousands, told by a second sign or a second group
    r"[+-]?[0-9]{1,3}(?:(?:,[0-9]{3})+\.[0-9]{0,15}|(?:\.[0-9]{3})+,[0-9]{0,15}"
    r"|(?:,[0-9]{3}){2,}|(?:\.[0-9]{3}){2,}|(?: [0-9]{3})+(?:[.,][0-9]{1,15})?)"
)
_POWER = re.compile(r"[+-]?[0-9](?:\.[0-9]{1,15})?[eE]\+?[0-9]{1,3}")  # as huge ones are shown
_EITHER = re.compile(r"[+-]?[0-9]{1,3},[0-9]{3}")
_MONEY_SIGNS = "$€£¥"
_PERCENT = re.compile(r"(?P<number>[^%]*?)\s*%")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")  # which no workbook can hold
_CLOCK = re.compile(r"[T ][0-9:.]+Z?$")
_THREE_NUMBERS = re.compile(r"([0-9]{1,4})\s*[-/. ]\s*([0-9]{1,2})\s*[-/. ]\s*([0-9]{1,4})\.?")
_WORDED = re.compile(
    r"(?:[a-z]+,\s*)?"
    r"(?:(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?[\s.-]*(?P<month>[a-z]{3,9})\.?"
    r"|(?P<month_first>[a-z]{3,9})\.?\s*(?P<day_last>[0-9]{1,2})(?:st|nd|rd|th)?)"
    r"[\s,.-]*(?P<year>[0-9]{4})",
    re.IGNORECASE,
)
_MONTHS = (
    *("january", "february", "march", "april", "may", "june", "july"),
    *("august", "september", "october", "november", "december"),
)
_RECKONED = re.compile(
    rf"[-+.,(\s{_MONEY_SIGNS}]*[0-9]|({'|'.join(m[:3] for m in _MONTHS)})\w*\W*[0-9]", re.I
)
_EPOCH = date(1899, 12, 30)
_FIRST_DAY, _LAST_DAY = 367, 109_574  # 1901 to 2199, as day numbers


class NotUnderstoodError(ValueError):
    """A cell that cannot be understood; the message says what to write instead."""


def understand(raw: object, look: Look, units: Units) -> Value:
    """The value of a cell as its column takes it.

    Raises NotUnderstoodError for what could mean two things, or nothing.
    """
    if raw is None or (isinstance(raw, str) and not raw.strip()):
        return None
    if look.kind is Kind.TEXT:
        return as_text(raw)
    if look.kind is Kind.DATE:
        return _day(raw)
    return _number(raw, look, units)


def as_text(raw: object) -> str:
    """Give what a cell shows as text."""
    match raw:
        case bool():
            return str(raw).upper()
        case datetime() | date():
            return raw.isoformat()[:10]
        case int() | float():
            return f"{raw:.15g}"
    return _CONTROL.sub("", str(getattr(raw, "text", raw))).strip()


def as_words(raw: object) -> str:
    """Give what a cell shows as text that no spreadsheet program takes for a number or a day."""
    text = as_text(raw)
    return f'"{text}"' if _RECKONED.match(text) else text


def without_marks(raw: object) -> object:
    """Give what stood in a cell before `as_words` put it between quotation marks."""
    if isinstance(raw, str) and raw[:1] == raw[-1:] == '"' and as_words(raw[1:-1]) == raw:
        return raw[1:-1]
    return raw


def _number(raw: object, look: Look, units: Units) -> float:
    number = _any_number(raw, look, units)
    if abs(number) > LARGEST:
        raise NotUnderstoodError(f"it is too large; write a number up to {LARGEST:,.0f}")
    return number


def _any_number(raw: object, look: Look, units: Units) -> float:
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        if not math.isfinite(raw):
            raise NotUnderstoodError("a number is needed")
        return float(raw)
    if isinstance(raw, str):
        text = raw.strip().replace("\u00a0", " ")
        if look.format == "money":
            text = text.strip(_MONEY_SIGNS + " ")
        written = _written(text)
        if written is not None:
            return written
        share = _PERCENT.fullmatch(text)
        part = _written(share["number"]) if share and look.format == "percent" else None
        if part is not None:
            return part / 100
        if _EITHER.fullmatch(text):
            raise NotUnderstoodError(
                f"it may be {text.replace(',', '')} or {text.replace(',', '.')}; write the one"
            )
        if look.format in ("length", "boards"):
            try:
                return float(evaluate(text, units, {}))
            except ValueError:
                pass
    raise NotUnderstoodError(
        "a length is needed, such as 14 3/8" if look.format == "length" else "a number is needed"
    )


def _written(text: str) -> float | None:
    """A number written with points or commas, where it can only be one."""
    if _NUMBER.fullmatch(text):
        return float(text)
    if _POWER.fullmatch(text):
        return float(text)
    if _COMMA.fullmatch(text):
        return float(text.replace(",", "."))
    if not _GROUPS.fullmatch(text):
        return None
    signs = [sign for sign in text if sign in ",."]
    decimal = signs[-1] if signs and signs.count(signs[-1]) == 1 else None
    kept = (("." if sign == decimal else sign) for sign in text if sign not in {*",. "} - {decimal})
    return float("".join(kept))


def _day(raw: object) -> date:
    match raw:
        case datetime():
            return raw.date()
        case date():
            return raw
        case bool() | time():
            pass
        case int() | float():
            if _FIRST_DAY <= raw <= _LAST_DAY:
                return _EPOCH + timedelta(days=int(raw))
            if float(raw).is_integer() and 19010101 <= raw <= 21991231:
                return _worded(f"{int(raw):08d}")
        case str():
            return _worded(raw.strip())
    raise NotUnderstoodError("a day is needed, such as 2026-03-14")


def _worded(text: str) -> date:
    """A day written as text, where it can only be one."""
    if re.fullmatch(r"[0-9]{8}", text):
        text = f"{text[:4]}-{text[4:6]}-{text[6:]}"
    day = _CLOCK.sub("", text) if "-" in text else text
    numbers = _THREE_NUMBERS.fullmatch(day)
    if numbers:
        first, middle, last = numbers.groups()
        if len(first) == 4 and len(last) <= 2:
            return _made(first, middle, last)
        if len(last) == 4 and len(first) <= 2:
            # the day is told from the month where it is above 12, or where both are equal
            if int(first) > 12 or first.zfill(2) == middle.zfill(2):
                return _made(last, middle, first)
            if int(middle) > 12:
                return _made(last, first, middle)
            raise NotUnderstoodError(
                f"it may be two days; write it as year-month-day, such as {last}-03-14"
            )
    worded = _WORDED.fullmatch(text)
    if worded:
        number = _month((worded["month"] or worded["month_first"]).lower())
        if number:
            return _made(worded["year"], str(number), worded["day"] or worded["day_last"])
    raise NotUnderstoodError("a day is needed, such as 2026-03-14")


def _month(word: str) -> int:
    """The number of a month, 0 for another word."""
    if word == "sept":
        return 9
    return next((n for n, name in enumerate(_MONTHS, 1) if word in (name, name[:3])), 0)


def _made(year: str, month: str, day: str) -> date:
    try:
        made = date(int(year), int(month), int(day))
    except ValueError:
        raise NotUnderstoodError(f"there is no day {year}-{month}-{day}") from None
    if not 1901 <= made.year <= 2199:
        raise NotUnderstoodError(f"{made} is far away; write a day from 1901 to 2199")
    return made
