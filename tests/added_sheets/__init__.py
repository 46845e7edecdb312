"""Sheets that a shop may want one day, each a single file, and what becomes of them."""
