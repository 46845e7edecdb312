"""The kinds of cells a maker fills, with the limits that a spreadsheet sets to them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from typing import Annotated, Literal, get_args, get_origin

from pydantic import AfterValidator, BeforeValidator, Field
from pydantic.fields import FieldInfo

from notchbook.sheets.kit import show
from notchbook.sheets.kit.show import Look
from notchbook.sheets.kit.written import Reads

WILDCARDS = "*?~<>="
LARGEST = 1e9
"""Of numbers and amounts, below zero too; no product of a row's cells passes what a cell holds."""
LONGEST_NAME = 100
LONGEST_RECEIPT = 60
NOT_IN_FILE_NAMES = '/\\:*?"<>|'
_ESCAPE = re.compile(r"_x[0-9A-Fa-f]{4}_")  # read as a single sign by spreadsheet programs


def _name(text: str) -> str:
    found = sorted({sign for sign in text if sign in WILDCARDS})
    if found:
        raise ValueError(
            f"a name cannot hold {' '.join(found)}, which a spreadsheet reads as a wildcard "
            "or a comparison; write it in letters, digits, spaces and - / . ( )"
        )
    if ";" in text:
        raise ValueError(
            "a name cannot hold a semicolon, which parts the names of a list; write one name, and "
            "a row for each other"
        )
    if not any(sign.isalpha() for sign in text):
        raise ValueError(
            "a name without a letter is taken for a number or a date by a spreadsheet; "
            "add a word, as in no 12"
        )
    return _text(text)


def _receipt(text: str) -> str:
    found = sorted({sign for sign in text if sign in WILDCARDS})
    if found:
        raise ValueError(
            f"a receipt cannot hold {' '.join(found)}, which a spreadsheet reads as a wildcard "
            "or a comparison; write it in letters, digits, spaces and - / . ( )"
        )
    return _text(text)


def _text(text: str) -> str:
    if _ESCAPE.search(text):
        raise ValueError("text cannot hold _x0041_ and the like; write it without the underscores")
    if any(ord(sign) < 32 for sign in text):
        raise ValueError(
            "tabs, line breaks and control characters cannot stand in a cell; write plain text"
        )
    if text[:1] in ("=", "+", "@", "#", "'"):
        raise ValueError(
            f"text cannot begin with {text[0]}, which a spreadsheet reads as a formula; "
            "begin it with a letter or a digit"
        )
    return text


def _file_name(text: str) -> str:
    """Shops name their workbook's file."""
    if text.startswith(".") or any(sign in NOT_IN_FILE_NAMES for sign in text):
        raise ValueError(
            "it also names the workbook's file; write no . in front and none of "
            f"{' '.join(NOT_IN_FILE_NAMES)}"
        )
    return _text(text)


def _exact(value: object) -> object:
    """Lengths arrive as numbers of the shop's unit, exact."""
    return Fraction(str(value)) if isinstance(value, float | int) else value


def _not_bool(value: object) -> object:
    if isinstance(value, bool):
        raise ValueError("a number is needed, not yes or no")  # noqa: TRY004  # pydantic's way
    return value


WIDEST_KERF = {"inch": Fraction(1, 2), "mm": Fraction(13)}
"""Wider than the blade of any saw that boards are ripped on (common practice)."""


def refuse_wide_kerf(kerf: Fraction, units: str) -> None:
    """Refuse a kerf that no saw has, such as a depth or a diameter. Raises ValueError."""
    widest = WIDEST_KERF[units]
    if kerf > widest:
        raise ValueError(
            f"{float(kerf):g} is wider than any saw blade cuts; write the width of the cut, "
            f"{float(widest):g} at most"
        )


Name = Annotated[
    str, Field(min_length=1, max_length=LONGEST_NAME), AfterValidator(_name), show.NAME, Reads.NAME
]
Receipt = Annotated[
    str, Field(max_length=LONGEST_RECEIPT), AfterValidator(_receipt), show.WORD, Reads.TEXT
]
Text = Annotated[str, Field(max_length=500), AfterValidator(_text), show.TEXT, Reads.TEXT]
FileName = Annotated[str, Field(max_length=80), AfterValidator(_file_name), show.NAME, Reads.TEXT]
_Length = Annotated[Fraction, BeforeValidator(_exact), show.LENGTH, Reads.LENGTH]
Length = Annotated[_Length, Field(gt=0, le=100_000)]
LengthOrNone = Annotated[_Length, Field(ge=0, le=100_000)]
_Number = Annotated[float, BeforeValidator(_not_bool), Field(allow_inf_nan=False)]
Money = Annotated[_Number, Field(ge=0, le=LARGEST), show.MONEY, Reads.MONEY]
AnyMoney = Annotated[_Number, Field(ge=-LARGEST, le=LARGEST), show.MONEY, Reads.MONEY]
Share = Annotated[_Number, Field(ge=0, lt=1), show.PERCENT, Reads.PERCENT]
Portion = Annotated[_Number, Field(ge=0, le=1), show.PERCENT, Reads.PERCENT]
Factor = Annotated[_Number, Field(gt=0, le=10), show.FACTOR, Reads.FACTOR]
Number = Annotated[_Number, Field(ge=0, le=LARGEST), show.AMOUNT, Reads.NUMBER]
Positive = Annotated[_Number, Field(gt=0, le=LARGEST), show.AMOUNT, Reads.NUMBER]
Quantity = Annotated[_Number, Field(ge=-1e6, le=1e6), show.COUNT, Reads.NUMBER]
_Whole = Annotated[int, BeforeValidator(_not_bool), show.COUNT, Reads.WHOLE]
Whole = Annotated[_Whole, Field(ge=0, le=1_000_000)]
Count = Annotated[_Whole, Field(ge=1, le=100_000)]
Layers = Annotated[_Whole, Field(ge=1, le=50)]
Batch = Annotated[_Whole, Field(ge=1, le=1_000)]
Year = Annotated[int, BeforeValidator(_not_bool), Field(ge=1950, le=2150), show.YEAR, Reads.WHOLE]
Day = Annotated[date, Field(ge=date(1901, 1, 1), le=date(2199, 12, 31)), show.DATE, Reads.DATE]


def look_of(info: FieldInfo) -> Look:
    """How a field is shown, by the type that it has."""
    return next((each for each in _said(info) if isinstance(each, Look)), show.WORD)


def reads_of(info: FieldInfo) -> Reads:
    """How a field is read from a file, by the type that it has."""
    words = words_of(info)
    if words:
        return Reads.YES if words == ("yes",) else Reads.WORD
    return next((each for each in _said(info) if isinstance(each, Reads)), Reads.TEXT)


def words_of(info: FieldInfo) -> tuple[str, ...]:
    """The words that a field admits, where its type lists them."""
    for inner in (info.annotation, *get_args(info.annotation)):
        if get_origin(inner) is Literal:
            return tuple(word for word in get_args(inner) if isinstance(word, str))
    return ()


def _said(info: FieldInfo) -> Iterator[object]:
    """What the types say beside a field, inside of `| None` too."""
    yield from info.metadata
    for inner in get_args(info.annotation):
        yield from getattr(inner, "__metadata__", ())
