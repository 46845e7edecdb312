"""The sheets of each form, which tests of declarations go through."""

from __future__ import annotations

from notchbook.sheets import book_for

BOOKS = {tax: book_for(tax) for tax in ("us", "none")}
