"""What a new workbook takes over from the old one.

Every old place is mapped to its new one: rows by their origin in the merge, planned rows by their
words, lines by their anchors, shop sheets by their first column. What stands in a declared column
is ours; everything else on our sheets is the maker's, if the new sheet leaves its place free.

Decisions:

- Formulas of the maker's are written without a stored value: spreadsheet programs then calculate
  them, where a stale one would be trusted. So are the worked-out cells of a row that nobody
  understands.
- Rows that a filter hid are shown again, because the filter is not carried; rows hidden by hand
  stay so.
"""
