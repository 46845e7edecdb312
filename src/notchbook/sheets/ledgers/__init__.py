"""Ledgers and what is summed up of them by month, channel and piece.

Decisions:

- A discount on a return makes the refund smaller, as it made the sale smaller.
- Statements, and the note that a return gave back a deposit, need worked-out cells: a row typed
  below the ledger is named by Checks, and counted after a compile. So is one on Tool depreciation.
- Profit by month is the sum of the ledger's worked-out profit; a row typed below its ready rows is
  missing from it until the next compile, and Checks names it.
- Sold before made is asked on the production log, before each run: between runs the shelf only
  empties, so nothing is missed and no sale looks at every other.
- Months and channels is one table of months, quarters, channels and categories; the year-end form
  reads its categories, the checks its months and channels.
"""
